"""A smooth curve over time, and where it crosses a level: exact to well under a second, grazing touches included."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

_STEP_S = 1200.0
_CUTS = 8
_ROUNDS = 2


@dataclass(frozen=True)
class Crossings:
    """Where a curve crosses a level, in order [s], and whether it goes up there."""

    time_s: FloatArray
    upward: npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Curve:
    """A function of time and its samples, turning points among them."""

    function: Callable[[FloatArray], FloatArray]
    time_s: FloatArray
    value: FloatArray

    def crossings(self, level: float) -> Crossings:
        """Where the curve crosses ``level``: each bracket between samples is cut finer, then taken as straight."""
        above = self.value >= level
        at = np.flatnonzero(above[1:] != above[:-1])
        left_s, right_s, upward = self.time_s[at], self.time_s[at + 1], above[at + 1]
        left, right = self.value[at], self.value[at + 1]
        if at.size == 0:
            return Crossings(left_s, upward)
        row = np.arange(at.size)
        for _ in range(_ROUNDS):
            time_s = left_s[:, None] + (right_s - left_s)[:, None] * np.linspace(0.0, 1.0, _CUTS + 1)
            value = self.function(time_s.ravel()).reshape(time_s.shape)
            value[:, 0], value[:, -1] = left, right
            changed = np.argmax((value[:, 1:] >= level) == upward[:, None], axis=1)
            left_s, right_s = time_s[row, changed], time_s[row, changed + 1]
            left, right = value[row, changed], value[row, changed + 1]
        return Crossings(left_s + (right_s - left_s) * (level - left) / (right - left), upward)

    def spans_below(self, level: float) -> FloatArray:
        """Start and end of each span where the curve is below ``level`` [s], shape (k, 2), cut at the curve's ends."""
        found = self.crossings(level)
        starts_s, ends_s = found.time_s[~found.upward], found.time_s[found.upward]
        if self.value[0] < level:
            starts_s = np.concatenate(([self.time_s[0]], starts_s))
        if self.value[-1] < level:
            ends_s = np.concatenate((ends_s, [self.time_s[-1]]))
        return np.column_stack((starts_s, ends_s))


def sample(function: Callable[[FloatArray], FloatArray], start_s: float, end_s: float) -> Curve:
    """A curve from ``start_s`` to ``end_s``.

    Samples lie at most 20 minutes apart. The vertex of the parabola through each three samples that turn is added, so
    that a sun that only just touches the horizon between two samples is seen.
    """
    time_s = np.linspace(start_s, end_s, int(np.ceil((end_s - start_s) / _STEP_S)) + 1)
    value = function(time_s)
    before, middle, after = value[:-2], value[1:-1], value[2:]
    bend = before - 2.0 * middle + after
    turns = ((middle - before) * (after - middle) <= 0.0) & (bend != 0.0)
    offset = 0.5 * (before - after)[turns] / bend[turns]
    vertex_s = time_s[1:-1][turns] + offset * (time_s[1] - time_s[0])
    time_s, value = np.concatenate((time_s, vertex_s)), np.concatenate((value, function(vertex_s)))
    order = np.argsort(time_s, kind="stable")
    return Curve(function, time_s[order], value[order])
