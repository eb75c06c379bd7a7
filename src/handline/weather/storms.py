"""When a storm begins: a chance for the day, spread over the clock as lightning is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

# Mean flashes by hour, local 06 to 14. [nws_pueblo_lightning]
PUBLISHED_HOURS = tuple(range(6, 15))
PUBLISHED_FLASHES = (5.6, 3.8, 3.6, 3.3, 8.2, 39.0, 131.0, 273.0, 396.0)
# High mountains peak about an hour before lower ground, so the whole shape is moved an hour earlier.
MOUNTAIN_LEAD_S = 3600.0
# After its last published hour the rate is held level until 17, and then falls to nothing within four hours; before the
# first it is held level back to midnight. [practice_storm]
LEVEL_UNTIL_H, GONE_AFTER_H = 17.0, 4.0
# The hour at which the published counts begin to rise steeply.
RISE_H = 10.5
# How many days on the clock may have a storm: a push that starts in the evening meets the next day's.
STORM_DAYS = 3
STORM_STEP_S, _HOUR_S, _DAY_S = 300.0, 3600.0, 86400.0
# Used where the trip file gives no chance. [practice_storm]
DEFAULT_STORM_CHANCE = 0.40
# A chance of exactly one would put the whole storm at midnight; no forecast is that sure.
MOST_STORM_CHANCE = 0.99


@dataclass(frozen=True)
class StormHazard:
    """Cumulative hazard of a storm's beginning over the clock; chance begun by t is 1 - exp(-H(t)).

    ``clock_s`` and ``hazard`` are the corners of a rising broken line; it is level outside them.
    """

    clock_s: NDArray[np.float64]
    hazard: NDArray[np.float64]

    def cumulative(self, clock_s: ArrayLike) -> NDArray[np.float64]:
        """H at clock times [s after local midnight], same shape."""
        return np.interp(np.asarray(clock_s, float), self.clock_s, self.hazard)

    def begun_share(self, clock_s: ArrayLike) -> NDArray[np.float64]:
        """Chance that a storm has begun by each clock time, same shape."""
        return -np.expm1(-self.cumulative(clock_s))

    def none_between_share(self, from_clock_s: ArrayLike, to_clock_s: ArrayLike) -> NDArray[np.float64]:
        """Chance that none begins between two clock times, given that none had by the first; same shape."""
        return np.exp(self.cumulative(from_clock_s) - self.cumulative(to_clock_s))


@dataclass(frozen=True)
class HourlyStorm:
    """A hazard from a forecast's chances by hour, and what was not taken from them.

    ``capped`` (hours,) marks chances above ``MOST_STORM_CHANCE``, which count as that; ``assumed`` (hours,) marks hours
    without a chance. They, and all hours of the three days outside the forecast, count as a mountain's usual day does.
    """

    hazard: StormHazard
    capped: NDArray[np.bool_]
    assumed: NDArray[np.bool_]


def storm_hazard(chance: float, first_clock_s: float | None = None) -> StormHazard:
    """The hazard for days that each have this chance of any storm.

    Parameters
    ----------
    chance : float
        Chance of a storm at some time of the day, 0 to ``MOST_STORM_CHANCE``.
    first_clock_s : float, optional
        Where given, no storm begins before it and the published rise is moved so that it starts there.

    Returns
    -------
    StormHazard
        Scaled so that the chance by the end of the first day's storms is ``chance``; the days after are alike.

    Raises
    ------
    ValueError
        A chance outside its range.

    Sources
    -------
    nws_pueblo_lightning for the shape, practice_storm for its tail and where none is given.
    """
    if not 0.0 <= chance <= MOST_STORM_CHANCE:
        raise ValueError(f"the chance of a storm lies from 0 to {MOST_STORM_CHANCE}")
    rise_s = (np.array(PUBLISHED_HOURS, float) + 0.5) * 3600.0 - MOUNTAIN_LEAD_S
    if first_clock_s is not None:
        rise_s = rise_s + (first_clock_s - (RISE_H * 3600.0 - MOUNTAIN_LEAD_S))
    level_until_s = max(LEVEL_UNTIL_H * 3600.0, float(rise_s[-1]))
    corners_s = np.concatenate([rise_s, [level_until_s, level_until_s + GONE_AFTER_H * 3600.0]])
    rates = np.concatenate([PUBLISHED_FLASHES, [PUBLISHED_FLASHES[-1], 0.0]])
    clock_s = np.arange(0.0, STORM_DAYS * _DAY_S + 1.0, STORM_STEP_S)
    middle_s = clock_s[:-1] + STORM_STEP_S / 2.0
    rate = np.zeros_like(middle_s)
    for day in range(STORM_DAYS):
        since_s = middle_s - day * _DAY_S
        begun = since_s >= (0.0 if first_clock_s is None else first_clock_s)
        rate += np.where(begun, np.interp(since_s, corners_s, rates), 0.0)
    steps = np.concatenate([[0.0], np.cumsum(rate)])
    one_day = np.interp(min(corners_s[-1], _DAY_S), clock_s, steps)
    return StormHazard(clock_s=clock_s, hazard=steps * (-np.log1p(-chance) / one_day))


def storm_hazard_hourly(chance_by_hour: ArrayLike, clock_s: ArrayLike) -> HourlyStorm:
    """The hazard from a forecast's chance of thunder in each hour.

    Equation: H rises by -ln(1 - p) through each hour, so that 1 - exp(-H) at its end is 1 - (1 - p1)(1 - p2)...

    Parameters
    ----------
    chance_by_hour : array, shape (hours,)
        0 to 1; NaN where the forecast says nothing.
    clock_s : array, shape (hours,)
        Start of each hour, evenly an hour apart [s after local midnight of the trip's date].

    Returns
    -------
    HourlyStorm
        From that midnight on: storms of the day before are over. An hour that midnight cuts counts by its later part.

    Raises
    ------
    ValueError
        Chances outside 0 to 1, or hours of another number or not an hour apart.

    Notes
    -----
    Chances of neighbouring hours are taken as independent. A forecast often means one storm that may come in either, so
    the whole day's chance comes out high rather than low.

    Sources
    -------
    practice_storm and nws_pueblo_lightning for hours without a chance.
    """
    chance, start_s = np.asarray(chance_by_hour, float), np.asarray(clock_s, float)
    if chance.ndim != 1 or chance.shape != start_s.shape or (np.abs(np.diff(start_s) - _HOUR_S) > 1e-6).any():
        raise ValueError("the chances of thunder need the start of their hours, an hour apart")
    if (chance < 0.0).any() or (chance > 1.0).any():
        raise ValueError("the chance of thunder in an hour lies from 0 to 1")
    assumed, capped = np.isnan(chance), chance > MOST_STORM_CHANCE
    usual = storm_hazard(DEFAULT_STORM_CHANCE)
    edges_s = np.append(start_s, start_s[-1:] + _HOUR_S)
    corners_s = np.unique(np.concatenate([usual.clock_s, np.maximum(edges_s, 0.0)]))
    middle_s = (corners_s[:-1] + corners_s[1:]) / 2.0
    hour = np.searchsorted(edges_s, middle_s, side="right") - 1
    covered = (hour >= 0) & (hour < chance.size)
    covered[covered] = ~assumed[hour[covered]]
    steps = np.diff(usual.cumulative(corners_s))
    rate = -np.log1p(-np.minimum(chance, MOST_STORM_CHANCE)) / _HOUR_S
    steps[covered] = rate[hour[covered]] * np.diff(corners_s)[covered]
    return HourlyStorm(StormHazard(corners_s, np.concatenate([[0.0], np.cumsum(steps)])), capped, assumed)


def storm_chance_of_days(storm_days: ArrayLike, days_in_month: ArrayLike) -> NDArray[np.float64]:
    """Chance of a storm on a day of a month that has this mean number of days with one, same shape.

    Validity: from 0 to all days of the month, else NaN. A month of storms every day gives 1, above what
    ``storm_hazard`` takes. Sources: practice_storm.
    """
    storms, days = np.asarray(storm_days, float), np.asarray(days_in_month, float)
    fits = (storms >= 0.0) & (days > 0.0) & (storms <= days)
    return np.where(fits, storms, np.nan) / np.where(fits, days, 1.0)
