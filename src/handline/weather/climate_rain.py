"""Rain of a usual day: whether it rains, how much, and in which hours."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from handline.weather.climate_months import RAIN_DAY_FROM_MM, DateClimate
from handline.weather.storms import storm_hazard

FloatArray = NDArray[np.float64]

DAY_HOURS = 24
# Rain is the likelier the day after rain: this share of a day's rain is kept from the day before. [practice_climate]
RAIN_KEPT_SHARE = 0.3
# Of days of rain, those whose rain is of the afternoon's storms, where no table says how many storms there are.
USUAL_STORM_RAIN_SHARE = 0.5
# A storm's rain falls in two hours, most in the first; other rain lasts an hour and five more on average.
# [practice_climate]
STORM_FIRST_HOUR_SHARE = 0.7
STEADY_MORE_HOURS = 5.0


def rain_days(rng: np.random.Generator, members: int, days: int, climate: DateClimate) -> NDArray[np.bool_]:
    """Which days have 1 mm or more, shape (members, days); each day's chance is the climate's.

    P(rain after rain) = p + r (1 - p), P(rain after none) = p (1 - r), r the share kept. Sources: practice_climate.
    """
    uniform = rng.random((members, days))
    p, kept = climate.rain_chance, RAIN_KEPT_SHARE
    wet = np.empty((members, days), bool)
    wet[:, 0] = uniform[:, 0] < p
    for day in range(1, days):
        wet[:, day] = uniform[:, day] < np.where(wet[:, day - 1], p + kept * (1.0 - p), p * (1.0 - kept))
    return wet


def rain_by_hour_mm(rng: np.random.Generator, wet: NDArray[np.bool_], climate: DateClimate) -> FloatArray:
    """What falls in each hour of each day as water [mm], shape (members, days, 24).

    A day of rain has 1 mm and an exponential amount besides, so that its mean is the climate's and none is under 1 mm.
    It falls within its own day: as a storm's, begun as storms are, or at any hour for some hours, heavier and lighter.

    Notes
    -----
    Days with less than 1 mm have none here; their rain is in the month's sum and so falls on the other days.

    Sources
    -------
    practice_climate; storms begin by nws_pueblo_lightning.
    """
    days = wet.size
    amount_mm = RAIN_DAY_FROM_MM + rng.exponential(1.0, days) * (climate.rain_day_mm - RAIN_DAY_FROM_MM)
    of_storm = rng.random(days) < storm_rain_share(climate)
    start_share, weight = rng.random(days), rng.exponential(1.0, (days, DAY_HOURS))
    hour = np.arange(DAY_HOURS)
    steady_hours = np.minimum(1 + rng.poisson(STEADY_MORE_HOURS, days), DAY_HOURS)
    steady_from = np.floor(start_share * (DAY_HOURS - steady_hours + 1))
    steady = weight * ((hour >= steady_from[:, None]) & (hour < (steady_from + steady_hours)[:, None]))
    steady /= steady.sum(axis=1, keepdims=True)
    storm_from = np.searchsorted(_storms_begun_share(), start_share, side="right")[:, None]
    storm = np.where(hour == storm_from, STORM_FIRST_HOUR_SHARE, 0.0)
    storm += np.where(hour == storm_from + 1, 1.0 - STORM_FIRST_HOUR_SHARE, 0.0)
    share = np.where(of_storm[:, None], storm, steady)
    fallen_mm = np.where(wet.ravel(), amount_mm, 0.0)[:, None] * share
    return fallen_mm.reshape(*wet.shape, DAY_HOURS)


def storm_rain_share(climate: DateClimate) -> float:
    """Of days of rain, those whose rain is a storm's: every storm brings rain as far as the days of rain go."""
    if np.isnan(climate.storm_chance):
        return USUAL_STORM_RAIN_SHARE
    return min(climate.storm_chance / climate.rain_chance, 1.0) if climate.rain_chance > 0.0 else 0.0


@lru_cache(maxsize=1)
def _storms_begun_share() -> FloatArray:
    """Of the storms of a day those begun by the end of each hour but the last two, in which no storm begins."""
    begun = storm_hazard(0.5).cumulative(np.arange(1, DAY_HOURS - 1) * 3600.0)
    return begun / begun[-1]
