"""Latest passing times: for each passing, the latest clock time from which the limits are still met often enough."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from handline.day.limits import DayLimits, chance_from
from handline.day.simulation import Draws, Floats, Itinerary
from handline.weather.storms import StormHazard

# The clock is searched from this long before the planned start to the end of the next day, in steps.
_BEFORE_START_S = 8 * 3600.0
_UNTIL_CLOCK_S = 48 * 3600.0
_STEP_S = 3600.0
_FINER_STEPS_S = (600.0, 60.0)
# Enough days for a chance within about 0.7 points (one standard error at 90 %).
LATEST_DAYS = 2000
_ROUGH_DAYS = 300


def latest_passing_s(
    limits: DayLimits,
    itinerary: Itinerary,
    draws: Draws,
    storm: StormHazard,
    start_clock_s: float,
    told: Callable[[float], None] = lambda share: None,
) -> Floats:
    """Latest arrival at every passing [s after local midnight]; NaN where no time meets the limits.

    The chance as the clock goes on is followed from early to late until it first falls under the wanted one; what
    comes after is not looked at, so that a lucky late hour (the storms are over, but so is the day) is never offered.
    The step of the fall is then searched down to the minute.

    Returns
    -------
    ndarray, shape (legs + 1,)
        For the first passing it is the latest departure. Infinite where no limit is left to miss.
    """
    coarse_s = np.arange(start_clock_s - _BEFORE_START_S, _UNTIL_CLOCK_S + 1.0, _STEP_S)
    latest = np.full(itinerary.legs + 1, np.nan)
    for passing in range(itinerary.legs + 1):

        def chance(clock_s: Floats, few: bool = False, passing: int = passing) -> Floats:
            days = draws.first(_ROUGH_DAYS) if few else draws
            return chance_from(limits, itinerary, days, storm, passing, clock_s)

        latest[passing] = _last_minute(chance, coarse_s, limits.chance)
        told((passing + 1) / (itinerary.legs + 1))
    return latest


def _last_minute(chance: Callable[..., Floats], coarse_s: Floats, wanted: float) -> float:
    """The last whole minute before the chance first falls under the wanted one.

    A few days say roughly where; all of them then look closely there, and everywhere when the rough answer was wrong.
    """
    rough = np.flatnonzero(chance(coarse_s, few=True) < wanted)
    first = int(rough[0]) if rough.size else coarse_s.size
    near_s = coarse_s[max(first - 2, 0) : first + 2]
    bracket = _fall(near_s, chance(near_s), wanted)
    if bracket is None:
        whole = chance(coarse_s)
        if (whole >= wanted).all():
            return float("inf")
        bracket = _fall(coarse_s, whole, wanted)
        if bracket is None:
            return float("nan")
    for step_s in _FINER_STEPS_S:
        clock_s = np.arange(bracket[0], bracket[1] + 1.0, step_s)
        under = int(np.argmax(chance(clock_s) < wanted))
        bracket = float(clock_s[under - 1]), float(clock_s[under])
    return bracket[0]


def _fall(clock_s: Floats, chance: Floats, wanted: float) -> tuple[float, float] | None:
    """The step in which the chance first falls under the wanted one; None when it starts under it or never falls."""
    under = np.flatnonzero(chance < wanted)
    if under.size == 0 or under[0] == 0:
        return None
    return float(clock_s[under[0] - 1]), float(clock_s[under[0]])
