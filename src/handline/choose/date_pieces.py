"""One piece of a season: some dates, each in every way of sleeping and from every start, through the day simulation."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline.day.limits import kept_share
from handline.day.line_setting import line_state
from handline.day.on_date import set_up_on, trip_on, without_forecast
from handline.day.plan import RANGE
from handline.day.rock_setting import DRY, rock_met
from handline.day.simulation import Days, Draws, Itinerary, draw_days, walk
from handline.day.subjects import Setting
from handline.line.geometry import RAISED
from handline.trip.model import Trip

Floats = NDArray[np.float64]

PUSH, NIGHT = "push", "night"
WAYS = (PUSH, NIGHT)
"""One push, and a night out on the way."""

# What a date can be, in the order of the numbers that stand for it.
GOES, CLOSED = 0, 1
WEATHER_FROM: Mapping[str, int] = MappingProxyType({"nothing": 0, "months": 1, "forecast": 2})
"""What the weather of a date rests on, and the number that stands for it."""
# Starts are walked so many at a time: no slower than all at once, and the memory stays flat.
_TOGETHER = 12


@dataclass(frozen=True)
class DatePiece:
    """Some dates of a season in a row."""

    dates: tuple[dt.date, ...]

    @property
    def key(self) -> str:
        """The name of the piece."""
        return f"{self.dates[0]} to {self.dates[-1]}"


@dataclass(frozen=True)
class SeasonAsked:
    """What all pieces of a season share.

    ``known`` has a setting of the trip for each way and each state of the line on open dates: what a date shares with
    it is not looked at again. ``open_dates`` are those on which the way is open, ``forecast_dates`` those the forecast
    may say something of. ``start_clock_s`` are starts on the clock of each date [s], of a night out those from the
    camp.
    """

    trip: Trip
    known: Mapping[tuple[str, str], Setting]
    open_dates: frozenset[dt.date]
    forecast_dates: frozenset[dt.date]
    ways: tuple[str, ...]
    start_clock_s: tuple[float, ...]
    days: int


def do_dates(asked: SeasonAsked, piece: DatePiece) -> Mapping[str, NDArray[Any]]:
    """Every date of a piece.

    Returns
    -------
    mapping of arrays
        (ways, dates, starts): ``chance`` of all limits and its standard ``error``. (ways, dates): ``home_clock_s`` (…,
        3) from the planned start, the 10th, 50th and 90th percentile; ``not_dry`` the share of days that find the rock
        other than dry on tying on, going up. (dates,): ``state`` GOES or CLOSED; ``raised``; ``storm``, the chance of
        one that day; ``light_s`` from the first light to the last; ``sunrise_clock_s``; ``weather_from`` as
        ``WEATHER_FROM``. NaN where the way is closed.
    """
    ways, dates, starts = len(asked.ways), len(piece.dates), len(asked.start_clock_s)
    found = {
        "chance": np.full((ways, dates, starts), np.nan),
        "error": np.full((ways, dates, starts), np.nan),
        "home_clock_s": np.full((ways, dates, 3), np.nan),
        "not_dry": np.full((ways, dates), np.nan),
        "state": np.full(dates, CLOSED, np.int8),
        "raised": np.zeros(dates, bool),
        "storm": np.full(dates, np.nan),
        "light_s": np.full(dates, np.nan),
        "sunrise_clock_s": np.full(dates, np.nan),
        "weather_from": np.zeros(dates, np.int8),
    }
    for at, date in enumerate(piece.dates):
        first: Setting | None = None
        for way, name in enumerate(asked.ways if date in asked.open_dates else ()):
            setting = _on(asked, date, name, first)
            if first is None:
                first = setting
                _the_date(found, at, setting)
            _one(found, (way, at), setting, asked)
    return found


def _on(asked: SeasonAsked, date: dt.date, way: str, first: Setting | None) -> Setting:
    """The setting of an open date; ``first`` is that of another way on the same date."""
    trip = trip_on(asked.trip, date, way == NIGHT)
    if date not in asked.forecast_dates:
        trip = without_forecast(trip)
    near = asked.known[way, line_state(trip)[0]]
    return set_up_on(first or near, trip, near)


def _the_date(found: dict[str, NDArray[Any]], at: int, setting: Setting) -> None:
    light = setting.light
    found["state"][at] = GOES
    found["raised"][at] = setting.line.state == RAISED
    found["storm"][at] = setting.storm_chance
    found["light_s"][at] = light.civil_dusk_clock_s - light.civil_dawn_clock_s
    found["sunrise_clock_s"][at] = light.sunrise_clock_s
    found["weather_from"][at] = WEATHER_FROM[setting.weather.source]


def _one(found: dict[str, NDArray[Any]], place: tuple[int, int], setting: Setting, asked: SeasonAsked) -> None:
    """One date in one way: every start, and the planned day."""
    itinerary = setting.itinerary
    draws = draw_days(itinerary, asked.days, setting.trip.about.seed)
    planned = walk(itinerary, draws, np.array([setting.trip.depart_clock_s]))
    found["home_clock_s"][place] = np.quantile(planned.arrive_clock_s[-1], RANGE)
    found["not_dry"][place] = 1.0 - _dry_share(itinerary, draws, planned)
    for some in _some_at_a_time(len(asked.start_clock_s)):
        start_clock_s = np.array(asked.start_clock_s)[some]
        kept = _kept(setting, draws, planned, start_clock_s)
        found["chance"][place][some] = kept.mean(axis=1)
        found["error"][place][some] = kept.std(axis=1) / np.sqrt(draws.days)


def _kept(setting: Setting, draws: Draws, planned: Days, start_clock_s: Floats) -> Floats:
    """How surely each day keeps all limits from each start, (starts, days).

    After a night out the start is from the camp, for who comes to it later than that from coming there, and being
    there before dark is among the limits.
    """
    itinerary, limits, night = setting.itinerary, setting.limits, setting.itinerary.night
    if night is None:
        days = walk(itinerary, draws, start_clock_s[:, None])
        return kept_share(limits, itinerary, days, setting.storm)["all"]
    at_camp_s, onward = planned.arrive_clock_s[night.passing], itinerary.leaving_camp()
    days = walk(onward, draws, np.maximum(start_clock_s[:, None], at_camp_s), first=night.passing)
    kept = kept_share(limits, onward, days, setting.storm, night.passing)["all"]
    return kept if limits.camp_clock_s is None else kept * (at_camp_s <= limits.camp_clock_s)


def _dry_share(itinerary: Itinerary, draws: Draws, days: Days) -> float:
    met = rock_met(itinerary, draws, days)
    return met[0].share[DRY] if met else 1.0


def _some_at_a_time(starts: int) -> Sequence[NDArray[np.int64]]:
    return np.array_split(np.arange(starts), -(-starts // _TOGETHER))
