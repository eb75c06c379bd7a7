"""Temperature through the day and night between a low and a high."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

DAY_S = 86400.0
# Lag of the high behind the middle of the day, decay over the night and lag of the low behind sunrise, for air at the
# height of a screen. [parton_logan_1981]
HIGH_LAG_S = 1.86 * 3600.0
NIGHT_DECAY = 2.20
LOW_LAG_S = -0.17 * 3600.0


@dataclass(frozen=True)
class SunTimes:
    """Sunrise and sunset [s after local midnight], taken alike for the days around. Sunset may lie after 24:00.

    Raises ValueError unless the sun is up for some time and down for some; a day without either has no such course.
    """

    rise_clock_s: float
    set_clock_s: float

    def __post_init__(self) -> None:
        if not 0.0 < self.day_s < DAY_S:
            raise ValueError(
                "sunset comes after sunrise and within a day of it; type usual times where the sun does not"
            )

    @property
    def day_s(self) -> float:
        return self.set_clock_s - self.rise_clock_s

    @property
    def low_clock_s(self) -> float:
        """When the day is coldest."""
        return self.rise_clock_s + LOW_LAG_S

    @property
    def high_clock_s(self) -> float:
        """When it is warmest: where the sine stands at 90 degrees."""
        return self.low_clock_s + self.day_s / 2.0 + HIGH_LAG_S

    def days_since_low(self, clock_s: npt.ArrayLike) -> FloatArray:
        """Days since the low of the trip's date, same shape: day d runs from its low to the next one."""
        return (np.asarray(clock_s, float) - self.low_clock_s) / DAY_S


def warmth_share(day_share: npt.ArrayLike, sun: SunTimes) -> tuple[FloatArray, FloatArray]:
    """How the temperature is made up of this day's low and high and of the next day's low.

    Equations, m after the low, Y from sunrise to sunset, a, b, c the three lags: by day T = Tn + (Tx - Tn) w with
    w = sin(pi m / (Y + 2a)), until sunset, m = Y - c; by night, n after sunset of Z,
    T = Tn' + (Ts - Tn') k with k = (exp(-b n / Z) - exp(-b)) / (1 - exp(-b)).

    Parameters
    ----------
    day_share : array
        Share of the day from its low to the next one, 0 to 1.
    sun : SunTimes
        Of that day.

    Returns
    -------
    w, k : arrays, same shape
        T = Tn' + (Tn + (Tx - Tn) w - Tn') k. By day k is 1; by night w is that of sunset.

    Notes
    -----
    The source lets the night end where exp(-b) leaves it, above the low; here it ends at the low, so that no step is
    left at dawn.

    Sources
    -------
    parton_logan_1981.
    """
    since_s = np.asarray(day_share, float) * DAY_S
    lit_s = sun.day_s - LOW_LAG_S
    by_day = np.sin(np.pi * np.minimum(since_s, lit_s) / (sun.day_s + 2.0 * HIGH_LAG_S))
    night = np.exp(-NIGHT_DECAY * np.maximum(since_s - lit_s, 0.0) / (DAY_S - lit_s))
    left = np.exp(-NIGHT_DECAY)
    return by_day, (night - left) / (1.0 - left)


def day_course_C(day: npt.ArrayLike, low_C: FloatArray, high_C: FloatArray, sun: SunTimes) -> FloatArray:
    """Temperature at times counted in days since the first low.

    Parameters
    ----------
    day : array, shape (times,)
        Days since the first low, 0 to under the last of ``low_C``.
    low_C, high_C : arrays, shape (members, days)
        Of each day [deg C].
    sun : SunTimes

    Returns
    -------
    array, shape (members, times)
        [deg C].

    Sources
    -------
    parton_logan_1981.
    """
    whole = np.floor(np.asarray(day, float)).astype(int)
    w, k = warmth_share(day - whole, sun)
    low, high, next_low = low_C[:, whole], high_C[:, whole], low_C[:, whole + 1]
    return next_low + (low + (high - low) * w - next_low) * k
