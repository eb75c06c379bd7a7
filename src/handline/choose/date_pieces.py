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
from handline.day.simulation import Days, Draws, Itinerary, draw_days, walk
from handline.day.subjects import Setting
from handline.line.geometry import RAISED
from handline.trip.model import Trip
from handline.weather.rock_state import STATES

Floats = NDArray[np.float64]

PUSH, NIGHT = "push", "night"
WAYS = (PUSH, NIGHT)
"""One push, and a night out on the way."""

# What a date can be, in the order of the numbers that stand for it.
GOES, CLOSED = 0, 1
WEATHER_FROM: Mapping[str, int] = MappingProxyType({"nothing": 0, "months": 1, "forecast": 2})
"""What the weather of a date rests on, and the number that stands for it."""
# The rock a party may meet, the most slippery first: that or worse counts.
_SLIPPERY = tuple(STATES.index(state) for state in ("iced", "wet", "damp"))
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
        (ways, dates, starts): ``chance`` of all limits and its standard ``error``; ``rock`` (…, 3), the share of days
        that find it iced, wet or iced, and other than dry on tying on, each the worse of up and down. (ways, dates):
        ``planned_clock_s``, the planned start; from there ``planned_rock`` (…, 3) as ``rock``, and ``home_clock_s``
        (…, 3), the 10th, 50th and 90th percentile. (dates,): ``state`` GOES or CLOSED; ``raised``; ``storm``, the
        chance of one that day; ``light_s`` from the first light to the last; ``sunrise_clock_s``; ``weather_from`` as
        ``WEATHER_FROM``. NaN where the way is closed.
    """
    ways, dates, starts = len(asked.ways), len(piece.dates), len(asked.start_clock_s)
    found = {
        "chance": np.full((ways, dates, starts), np.nan),
        "error": np.full((ways, dates, starts), np.nan),
        "rock": np.full((ways, dates, starts, len(_SLIPPERY)), np.nan),
        "planned_clock_s": np.full((ways, dates), np.nan),
        "planned_rock": np.full((ways, dates, len(_SLIPPERY)), np.nan),
        "home_clock_s": np.full((ways, dates, 3), np.nan),
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
    found["planned_clock_s"][place] = setting.trip.morning_clock_s
    found["planned_rock"][place] = _rock_met(itinerary, draws, planned.leave_clock_s)
    for some in _some_at_a_time(len(asked.start_clock_s)):
        start_clock_s = np.array(asked.start_clock_s)[some]
        days, first = _days_from(itinerary, draws, planned, start_clock_s)
        kept = _kept(setting, days, first, planned)
        found["chance"][place][some] = kept.mean(axis=1)
        found["error"][place][some] = kept.std(axis=1) / np.sqrt(draws.days)
        found["rock"][place][some] = _rock_met(itinerary, draws, [*planned.leave_clock_s[:first], *days.leave_clock_s])


def _days_from(itinerary: Itinerary, draws: Draws, planned: Days, start_clock_s: Floats) -> tuple[Days, int]:
    """Each day from each start, (starts, days), and the passing from which it is walked.

    After a night out the start is from the camp, for who comes to it later than that from coming there.
    """
    night = itinerary.night
    if night is None:
        return walk(itinerary, draws, start_clock_s[:, None]), 0
    leave_s = np.maximum(start_clock_s[:, None], planned.arrive_clock_s[night.passing])
    return walk(itinerary.leaving_camp(), draws, leave_s, first=night.passing), night.passing


def _kept(setting: Setting, days: Days, first: int, planned: Days) -> Floats:
    """How surely each day keeps all limits from each start, (starts, days).

    After a night out, being at the camp before dark is among the limits.
    """
    itinerary, limits, night = setting.itinerary, setting.limits, setting.itinerary.night
    if night is None:
        return kept_share(limits, itinerary, days, setting.storm)["all"]
    kept = kept_share(limits, itinerary.leaving_camp(), days, setting.storm, first)["all"]
    at_camp_s = planned.arrive_clock_s[night.passing]
    return kept if limits.camp_clock_s is None else kept * (at_camp_s <= limits.camp_clock_s)


def _rock_met(itinerary: Itinerary, draws: Draws, leave_clock_s: Sequence[Floats]) -> Floats:
    """On what share of days the rock is as slippery as each of ``_SLIPPERY``, or worse, on tying on: (..., 3).

    Of all legs on the line each has the worst; ``leave_clock_s`` by leg, (..., days).
    """
    worst = np.zeros(len(_SLIPPERY))
    for line_leg, leave_s in zip(itinerary.line_legs, leave_clock_s, strict=True):
        if line_leg is not None:
            state = itinerary.rock.at(leave_s, draws.member)
            met = np.stack([(state >= at_least).mean(axis=-1) for at_least in _SLIPPERY], axis=-1)
            worst = np.maximum(worst, met)
    return worst


def _some_at_a_time(starts: int) -> Sequence[NDArray[np.int64]]:
    return np.array_split(np.arange(starts), -(-starts // _TOGETHER))
