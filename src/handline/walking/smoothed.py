"""A recording as a line over time: averaged over windows, so that jitter adds neither length nor climb."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from handline.walking.grade_models import FloatArray


@dataclass(frozen=True, eq=False)
class SmoothedLine:
    """One coordinate of a recording, straight between its points.

    ``time_s`` rises strictly, shape (n,), n at least 2; ``value_m`` has the same shape. Windows that reach past an end
    of the recording stop there.
    """

    time_s: FloatArray
    value_m: FloatArray
    _area: FloatArray = field(init=False, repr=False)

    def __post_init__(self) -> None:
        strips = np.diff(self.time_s) * (self.value_m[:-1] + self.value_m[1:]) / 2.0
        object.__setattr__(self, "_area", np.concatenate(([0.0], np.cumsum(strips))))

    def at(self, at_s: FloatArray) -> FloatArray:
        """The value itself [m], not averaged."""
        return np.interp(at_s, self.time_s, self.value_m)

    def mean(self, start_s: FloatArray, end_s: FloatArray) -> FloatArray:
        """The mean between two times [m], exact for the line; where they are the same, the value there."""
        start, end = np.maximum(start_s, self.time_s[0]), np.minimum(end_s, self.time_s[-1])
        wide = end - start > 1e-9
        span = np.where(wide, end - start, 1.0)
        mean: FloatArray = np.where(wide, (self._area_to(end) - self._area_to(start)) / span, self.at(start))
        return mean

    def around(self, at_s: FloatArray, window_s: float) -> FloatArray:
        """The mean over a window around each time [m]. Near an end the window shrinks to what fits on both sides."""
        reach = np.minimum(window_s / 2.0, np.minimum(at_s - self.time_s[0], self.time_s[-1] - at_s))
        reach = np.maximum(reach, 0.0)
        return self.mean(at_s - reach, at_s + reach)

    def velocity_m_s(self, at_s: FloatArray, half_window_s: float) -> FloatArray:
        """How fast the value changes [m/s]: the mean after each time less that before, over the time between them.

        ::

            v(t) = (mean(t, t + h) - mean(t - h, t)) / h

        At an even change it is exact; where somebody stops, it falls to half exactly then.
        """
        before = np.maximum(at_s - half_window_s, self.time_s[0])
        after = np.minimum(at_s + half_window_s, self.time_s[-1])
        apart = (after - before) / 2.0
        change = self.mean(at_s, after) - self.mean(before, at_s)
        return np.divide(change, apart, out=np.zeros_like(change), where=apart > 0.0)

    def _area_to(self, to_s: FloatArray) -> FloatArray:
        """Integral from the first point to each time [m s]."""
        i = np.clip(np.searchsorted(self.time_s, to_s, side="right") - 1, 0, self.time_s.size - 2)
        area: FloatArray = self._area[i] + (to_s - self.time_s[i]) * (self.value_m[i] + self.at(to_s)) / 2.0
        return area
