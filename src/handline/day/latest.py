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
_MINUTE_S = 60.0
# Enough days for a chance within about 0.7 points (one standard error at 90 %).
LATEST_DAYS = 2000


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
    The step of the fall is then searched minute by minute.

    Returns
    -------
    ndarray, shape (legs + 1,)
        For the first passing it is the latest departure. Infinite where no limit is left to miss.
    """
    coarse_s = np.arange(start_clock_s - _BEFORE_START_S, _UNTIL_CLOCK_S + 1.0, _STEP_S)
    latest = np.full(itinerary.legs + 1, np.nan)
    for passing in range(itinerary.legs + 1):
        chance = chance_from(limits, itinerary, draws, storm, passing, coarse_s)
        under = np.flatnonzero(chance < limits.chance)
        if under.size == 0:
            latest[passing] = np.inf
        elif under[0] > 0:
            fine_s = np.arange(coarse_s[under[0] - 1], coarse_s[under[0]] + 1.0, _MINUTE_S)
            fine = chance_from(limits, itinerary, draws, storm, passing, fine_s)
            latest[passing] = fine_s[int(np.argmax(fine < limits.chance)) - 1]
        told((passing + 1) / (itinerary.legs + 1))
    return latest
