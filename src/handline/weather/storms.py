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
# After the last published hour the rate is held level until 17, then falls to nothing at 21; before the first it is
# held level back to midnight. [practice_storm]
_LEVEL_UNTIL_H, _GONE_BY_H = 17.0, 21.0
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

    def onset_clock_s(self, uniform: ArrayLike, after_clock_s: float) -> NDArray[np.float64]:
        """Clock time a storm begins, given none had by ``after_clock_s``; infinity on days without one.

        ``uniform`` are draws from (0, 1], one a day.
        """
        target = self.cumulative(after_clock_s) - np.log(np.asarray(uniform, float))
        onset = np.interp(target, self.hazard, self.clock_s)
        return np.where(target >= self.hazard[-1], np.inf, onset)


def storm_hazard(chance: float, first_clock_s: float | None = None) -> StormHazard:
    """The hazard for a day with this chance of any storm.

    Parameters
    ----------
    chance : float
        Chance of a storm at some time of the day, 0 to ``MOST_STORM_CHANCE``.
    first_clock_s : float, optional
        Where given, no storm begins before it and the published shape is moved so that its steep rise starts there.

    Returns
    -------
    StormHazard
        Scaled so that the chance by the end of the day is ``chance``.

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
    centres_h = np.array(PUBLISHED_HOURS, float) + 0.5
    corners_h = np.concatenate([[0.0], centres_h, [_LEVEL_UNTIL_H, _GONE_BY_H]])
    rate = np.concatenate([[PUBLISHED_FLASHES[0]], PUBLISHED_FLASHES, [PUBLISHED_FLASHES[-1], 0.0]])
    clock_s = corners_h * 3600.0 - MOUNTAIN_LEAD_S
    if first_clock_s is not None:
        # The steep rise of the published counts starts at the hour of 10.
        clock_s = clock_s + (first_clock_s - (10.5 * 3600.0 - MOUNTAIN_LEAD_S))
    fine_s = np.arange(clock_s[0], clock_s[-1] + 1.0, 300.0)
    fine_rate = np.interp(fine_s, clock_s, rate)
    if first_clock_s is not None:
        fine_rate[fine_s < first_clock_s] = 0.0
    steps = np.concatenate([[0.0], np.cumsum((fine_rate[1:] + fine_rate[:-1]) / 2.0)])
    scale = -np.log1p(-chance) / steps[-1]
    return StormHazard(clock_s=fine_s, hazard=steps * scale)
