"""A forecast laid onto the even hours of the trip's clock.

Values are joined by straight lines between times. Rain falls evenly over its step. A chance of a step is spread over it
as an even hazard, so that the chance of any over all its hours stays the same: 1 - (1 - p)^(1 / n) for each of n hours;
steps shorter than an hour are taken as independent, which errs upward. The gust of an hour is the strongest in it.

What a forecast leaves out where it gives a temperature is taken on the careful side, and said.
Sources: practice_forecast.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.errors import InputError, Problem
from handline.quantity import say_clock, show_share
from handline.weather.forecast import ForecastPlace
from handline.weather.hours import HOUR_S, FloatArray, HourlyWeather

LONGEST_STEP_S = 6.0 * HOUR_S
"""Times farther apart than this are a gap: nothing is said of the hours between. [practice_forecast]"""
LONE_STEP_S = HOUR_S
"""How long a forecast's only time counts; else its last one counts as long as the step before. [practice_forecast]"""

# --- what stands in for what a forecast leaves out [practice_forecast] ----------------------------------------------
UNSAID_WIND_M_S = 5.0
"""A breeze that is felt all day: colder than still air. It also dries rock sooner than still air would."""
UNSAID_HUMIDITY_SHARE = 0.7
UNSAID_HUMIDITY_IN_RAIN_SHARE = 0.95
"""Moister than most fair days, so that wet rock stays wet and heat is felt."""
UNSAID_CLOUD_SHARE = 0.5
UNSAID_CLOUD_IN_RAIN_SHARE = 1.0
"""Half a sky: neither all the sun that dries nor all the cloud that keeps a night from freezing."""
LIKELY_RAIN_CHANCE = 0.25
LIKELY_RAIN_MM_H = 1.0
"""Where only a chance of rain is said: from this chance of the step up it rains so much each hour, below it none."""
UNSAID_RAIN_MM_H = 0.2
"""Where nothing at all is said of rain: a drizzle, so that nobody reckons with dry rock that no forecast promised."""

_DAY_S = 24.0 * HOUR_S


@dataclass(frozen=True)
class ClockForecast:
    """A forecast by the hours of the trip's clock.

    ``hours`` has one member. The other arrays are (hours,), of each whole hour: the chance of any thunder and of any
    rain in it [1], and its strongest gust [m/s]; NaN where the forecast does not say. ``notes`` say which hours are
    missing and what was taken for what the forecast leaves out.
    """

    hours: HourlyWeather
    thunder_chance: FloatArray
    rain_chance: FloatArray
    gust_m_s: FloatArray
    notes: tuple[str, ...]


def on_clock(
    place: ForecastPlace, midnight_utc_s: float, hours: int = 72, first_clock_s: float = -12.0 * HOUR_S
) -> ClockForecast:
    """One place's forecast by the hours of the trip's clock.

    Parameters
    ----------
    place : ForecastPlace
    midnight_utc_s : float
        Where the clock is zero [s after 1970-01-01 00:00 UTC].
    hours : int
        How many.
    first_clock_s : float
        Start of the first one, a whole hour [s after local midnight].

    Returns
    -------
    ClockForecast
        An hour is known where the temperature of its start and all of its time are within steps of at most
        ``LONGEST_STEP_S``.

    Raises
    ------
    InputError
        No hour of the date (from 00:00 to 24:00; of the whole span, where that leaves the date out) is known.
    ValueError
        No hours, or a first one that is not whole.

    Sources: practice_forecast.
    """
    if hours < 1 or first_clock_s % HOUR_S != 0.0 or not math.isfinite(midnight_utc_s):
        raise ValueError("at least one hour is needed, and the first at a whole hour of a known midnight")
    clock_s = first_clock_s + HOUR_S * np.arange(hours, dtype=float)
    start_s = clock_s + midnight_utc_s
    steps = _Steps.of(place)
    temperature_C = _joined(start_s, place.time_s, place.temperature_C)
    known = np.isfinite(temperature_C) & (steps.share_known(start_s, np.ones(steps.count, bool)) >= 1.0)
    date = (clock_s >= 0.0) & (clock_s < _DAY_S)
    if not known[date].any() and not (known.any() and not date.any()):
        raise InputError(_not_covered(place, midnight_utc_s))
    laid = _Laid(
        clock_s, start_s, known, place, steps, [f"no forecast from {span}" for span in _spans(clock_s, ~known)]
    )
    rain_mm = _rain(laid)
    wet = rain_mm > 0.0
    weather = HourlyWeather(
        clock_s=clock_s,
        elevation_m=place.elevation_m,
        temperature_C=np.where(known, temperature_C, math.nan)[None],
        humidity_share=_filled(laid, place.humidity_share, _HUMIDITY, wet)[None],
        wind_m_s=_filled(laid, place.wind_m_s, _WIND, wet)[None],
        cloud_share=_filled(laid, place.cloud_share, _CLOUD, wet)[None],
        rain_mm=np.where(known, rain_mm, math.nan)[None],
    )
    return ClockForecast(
        hours=weather,
        thunder_chance=steps.chance(start_s, place.thunder_chance),
        rain_chance=steps.chance(start_s, place.rain_chance),
        gust_m_s=_strongest(start_s, place),
        notes=tuple(laid.notes),
    )


@dataclass(frozen=True)
class _Laid:
    """The clock, what the forecast has for it, and the notes so far."""

    clock_s: FloatArray
    start_s: FloatArray
    known: NDArray[np.bool_]
    place: ForecastPlace
    steps: _Steps
    notes: list[str]


# --- what is not said ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Unsaid:
    """What is taken for a value that is not said, in a dry hour and in a wet one; in words; and what would tell it."""

    word: str
    dry: float
    wet: float
    taken: str
    column: str


_HUMIDITY = _Unsaid(
    "humidity",
    UNSAID_HUMIDITY_SHARE,
    UNSAID_HUMIDITY_IN_RAIN_SHARE,
    f"{show_share(UNSAID_HUMIDITY_SHARE)} is taken, {show_share(UNSAID_HUMIDITY_IN_RAIN_SHARE)} in rain",
    "humidity_pct or dew_point_C",
)
_WIND = _Unsaid(
    "wind", UNSAID_WIND_M_S, UNSAID_WIND_M_S, f"{UNSAID_WIND_M_S:g} m/s is taken", "wind_m_s or of another unit"
)
_CLOUD = _Unsaid(
    "cloud",
    UNSAID_CLOUD_SHARE,
    UNSAID_CLOUD_IN_RAIN_SHARE,
    f"{show_share(UNSAID_CLOUD_SHARE)} of the sky is taken, all of it in rain",
    "cloud_pct",
)


def _filled(laid: _Laid, values: FloatArray, unsaid: _Unsaid, wet: NDArray[np.bool_]) -> FloatArray:
    """The values at the hours' starts, with what stands in for those that are not said."""
    found = _joined(laid.start_s, laid.place.time_s, values)
    missing = laid.known & np.isnan(found)
    _note_unsaid(laid, missing, unsaid.word, unsaid.taken, unsaid.column)
    found = np.where(missing, np.where(wet, unsaid.wet, unsaid.dry), found)
    return np.where(laid.known, found, math.nan)


def _rain(laid: _Laid) -> FloatArray:
    """Rain of each hour [mm]: what is said, and for what is not what its chance or nothing makes of it."""
    steps, place = laid.steps, laid.place
    hours_of_step = np.diff(steps.edges_s) / HOUR_S
    said = np.isfinite(place.rain_mm)
    by_chance = ~said & np.isfinite(place.rain_chance)
    likely = np.where(place.rain_chance >= LIKELY_RAIN_CHANCE, LIKELY_RAIN_MM_H * hours_of_step, 0.0)
    unsaid = UNSAID_RAIN_MM_H * hours_of_step
    rain_mm = steps.in_hours(laid.start_s, np.where(said, place.rain_mm, np.where(by_chance, likely, unsaid)))
    for step, word, taken, column in (
        (
            by_chance,
            "how much rain",
            f"{LIKELY_RAIN_MM_H:g} mm each hour is taken where its chance is {show_share(LIKELY_RAIN_CHANCE)} or more, "
            "else none",
            "rain_mm",
        ),
        (
            ~said & ~by_chance,
            "rain",
            f"a drizzle of {UNSAID_RAIN_MM_H:g} mm each hour is taken, so that no rock is reckoned dry",
            "rain_mm or rain_chance_pct",
        ),
    ):
        _note_unsaid(laid, laid.known & (steps.share_known(laid.start_s, step) > 0.0), word, taken, column)
    return rain_mm


def _note_unsaid(laid: _Laid, missing: NDArray[np.bool_], word: str, taken: str, column: str) -> None:
    """What is not said, from when to when unless it is all the time, what is taken for it, and how to mend it."""
    if missing.any():
        all_of_it = bool((missing == laid.known).all())
        when = "" if all_of_it else f" from {', '.join(_spans(laid.clock_s, missing))}"
        laid.notes.append(f"the forecast does not say {word}{when}: {taken}; a column {column} would tell")


# --- steps ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Steps:
    """From each time of a forecast to the next; the last is as long as the one before."""

    edges_s: FloatArray
    usable: NDArray[np.bool_]

    @classmethod
    def of(cls, place: ForecastPlace) -> _Steps:
        time_s = place.time_s
        last_s = time_s[-1] - time_s[-2] if time_s.size > 1 else LONE_STEP_S
        edges_s = np.append(time_s, time_s[-1] + last_s)
        return cls(edges_s, np.diff(edges_s) <= LONGEST_STEP_S)

    @property
    def count(self) -> int:
        return int(self.usable.size)

    def in_hours(self, start_s: FloatArray, amounts: FloatArray) -> FloatArray:
        """What of an amount for each step falls into each hour, spread evenly over the step; (hours,)."""
        total = np.concatenate([[0.0], np.cumsum(amounts)])
        before, after = (np.interp(at_s, self.edges_s, total) for at_s in (start_s, start_s + HOUR_S))
        # The sum never falls; the last bit of an interpolation may.
        return np.maximum(after - before, 0.0)

    def share_known(self, start_s: FloatArray, said: NDArray[np.bool_]) -> FloatArray:
        """Which share of each hour lies in steps that are not too long and of which something is said; (hours,)."""
        seconds = np.where(self.usable & said, np.diff(self.edges_s), 0.0)
        share = self.in_hours(start_s, seconds) / HOUR_S
        return np.where(share > 1.0 - 1e-9, 1.0, share)

    def chance(self, start_s: FloatArray, chances: FloatArray) -> FloatArray:
        """The chance in each hour; NaN where the hour is not wholly said."""
        said = self.usable & np.isfinite(chances)
        sure = said & (chances >= 1.0)
        hazard = -np.log1p(-np.where(said & ~sure, chances, 0.0))
        found = -np.expm1(-self.in_hours(start_s, hazard))
        found = np.where(self.in_hours(start_s, np.where(sure, np.diff(self.edges_s), 0.0)) > 0.0, 1.0, found)
        return np.where(self.share_known(start_s, said) >= 1.0, found, math.nan)


# --- values --------------------------------------------------------------------------------------------------------


def _joined(at_s: FloatArray, time_s: FloatArray, values: FloatArray) -> FloatArray:
    """Straight lines between the times that say something, NaN outside them and in gaps over ``LONGEST_STEP_S``."""
    said = np.isfinite(values)
    if not said.any():
        return np.full(at_s.shape, math.nan)
    times, found = time_s[said], np.interp(at_s, time_s[said], values[said])
    after = np.searchsorted(times, at_s)
    exact = times[np.minimum(after, times.size - 1)] == at_s
    inside = (after > 0) & (after < times.size)
    gap_s = times[np.minimum(after, times.size - 1)] - times[np.maximum(after - 1, 0)]
    return np.where(exact | (inside & (gap_s <= LONGEST_STEP_S)), found, math.nan)


def _strongest(start_s: FloatArray, place: ForecastPlace) -> FloatArray:
    """The strongest gust from the start to the end of each hour; NaN where its start says nothing."""
    first = _joined(start_s, place.time_s, place.gust_m_s)
    last = _joined(start_s + HOUR_S, place.time_s, place.gust_m_s)
    strongest = np.fmax(first, last)
    for hour, at_s in enumerate(start_s):
        within = place.gust_m_s[np.searchsorted(place.time_s, at_s) : np.searchsorted(place.time_s, at_s + HOUR_S)]
        strongest[hour] = np.fmax.reduce(within, initial=strongest[hour])
    return np.where(np.isfinite(first), strongest, math.nan)


# --- words ---------------------------------------------------------------------------------------------------------


def _spans(clock_s: FloatArray, where: NDArray[np.bool_]) -> list[str]:
    """Runs of hours in words: "14:00 to 20:00"."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], where, [False]]).astype(int)))
    return [
        f"{say_clock(float(clock_s[first]))} to {say_clock(float(clock_s[after - 1]) + HOUR_S)}"
        for first, after in zip(edges[::2], edges[1::2], strict=True)
    ]


def _not_covered(place: ForecastPlace, midnight_utc_s: float) -> Problem:
    where = f' of "{place.name}"' if place.name else ""
    said = place.time_s[np.isfinite(place.temperature_C)]
    covers = f"{_utc(said[0])} to {_utc(said[-1])}" if said.size else "no temperature at all"
    return Problem(
        f"the forecast{where} says nothing of this date",
        read=covers,
        allowed=f"hours between {_utc(midnight_utc_s)} and {_utc(midnight_utc_s + _DAY_S)}, the date's own, "
        f"at most {LONGEST_STEP_S / HOUR_S:g} h apart",
        mend="get the forecast of that date, or plan a date that it covers",
    )


def _utc(time_s: float) -> str:
    return f"{dt.datetime.fromtimestamp(float(time_s), dt.UTC):%Y-%m-%d %H:%M} UTC"
