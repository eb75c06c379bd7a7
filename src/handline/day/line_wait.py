"""What others on the line cost the party: a wait as typed, or by the hour in which it joins the queue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from statistics import NormalDist
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_NORMAL = NormalDist()
_Z_90 = _NORMAL.inv_cdf(0.90)


class LineWait(Protocol):
    """What others cost: before the line, and on it."""

    def cost_s(self, join_clock_s: Floats, normal: Floats) -> tuple[Floats, Floats]:
        """The wait before the line and what is added on it [s], for a time of joining and a standard normal draw."""

    def mean_s(self, join_clock_s: float) -> tuple[float, float]:
        """The means of both for a time of joining [s]: long waits make long days."""

    def quantiles_s(self, join_clock_s: float, shares: Sequence[float]) -> tuple[float, ...]:
        """Quantiles of the wait before the line for a time of joining [s]."""

    def times(self, factor: float) -> Self:
        """The same, so many times as long."""


@dataclass(frozen=True)
class Wait:
    """A wait as a log-normal by its median and its 90th percentile [s]; both 0 for no wait."""

    median_s: float
    long_s: float

    @property
    def sigma(self) -> float:
        return float(np.log(self.long_s / self.median_s)) / _Z_90 if self.median_s > 0 else 0.0

    def draw_s(self, normal: Floats) -> Floats:
        """Waits [s] for standard normal draws, same shape."""
        return self.median_s * np.exp(self.sigma * normal)

    def cost_s(self, join_clock_s: Floats, normal: Floats) -> tuple[Floats, Floats]:
        """The wait [s], the same at every clock time, in the shape of ``normal``; nothing more on the line."""
        return self.draw_s(normal), np.zeros(())

    def mean_s(self, join_clock_s: float) -> tuple[float, float]:
        """The mean of a log-normal [s]."""
        return self.median_s * float(np.exp(self.sigma**2 / 2.0)), 0.0

    def quantiles_s(self, join_clock_s: float, shares: Sequence[float]) -> tuple[float, ...]:
        """The same at every clock time [s]."""
        return tuple(float(self.draw_s(np.asarray(_NORMAL.inv_cdf(share)))) for share in shares)

    def times(self, factor: float) -> Wait:
        """The same, so many times as long."""
        return Wait(self.median_s * factor, self.long_s * factor)


@dataclass(frozen=True, eq=False)
class WaitByClock:
    """What a crowd costs the party by when it joins the queue, from simulated days.

    ``edges_clock_s`` (bins + 1,) [s after local midnight], evenly apart. ``wait_s`` and ``held_s`` (bins, ranks) are
    pairs that belong to one simulated day each, by rising sum: the wait before the line, and what others add to the
    time on it [s]. Before the first bin and after the last the nearest counts.
    """

    edges_clock_s: Floats
    wait_s: Floats
    held_s: Floats

    def __post_init__(self) -> None:
        bins = self.edges_clock_s.size - 1
        if bins < 1 or self.wait_s.shape != self.held_s.shape or self.wait_s.shape[0] != bins or not self.ranks:
            raise ValueError("each bin of the clock has as many waits as times held, and at least one")
        if not (np.isfinite(self.edges_clock_s).all() and (np.diff(self.edges_clock_s) > 0.0).all()):
            raise ValueError("the edges of bins are clock times in order")
        if not ((self.wait_s >= 0.0).all() and (self.held_s >= 0.0).all()):
            raise ValueError("a wait is 0 s or more")

    @property
    def ranks(self) -> int:
        return int(self.wait_s.shape[1])

    @cached_property
    def rank_edges(self) -> Floats:
        """Standard normal values that part the ranks evenly, (ranks - 1,)."""
        return np.array([_NORMAL.inv_cdf(k / self.ranks) for k in range(1, self.ranks)])

    def cost_s(self, join_clock_s: Floats, normal: Floats) -> tuple[Floats, Floats]:
        """The pair of the rank that a draw has in the bin of its clock time [s], in the broadcast shape.

        A higher draw never costs less in the same bin.
        """
        at = self._bin(join_clock_s) * self.ranks + np.searchsorted(self.rank_edges, normal, side="right")
        return self.wait_s.ravel()[at], self.held_s.ravel()[at]

    def mean_s(self, join_clock_s: float) -> tuple[float, float]:
        """The means of the bin [s]."""
        at = int(self._bin(np.array(join_clock_s)))
        return float(self.wait_s[at].mean()), float(self.held_s[at].mean())

    def quantiles_s(self, join_clock_s: float, shares: Sequence[float]) -> tuple[float, ...]:
        """Of the waits in the bin, each one that was seen [s]."""
        waits_s = self.wait_s[int(self._bin(np.array(join_clock_s)))]
        return tuple(float(value) for value in np.quantile(waits_s, shares, method="higher"))

    def times(self, factor: float) -> WaitByClock:
        """The same, so many times as long."""
        return replace(self, wait_s=self.wait_s * factor, held_s=self.held_s * factor)

    def _bin(self, clock_s: Floats) -> NDArray[np.int64]:
        step_s = (self.edges_clock_s[-1] - self.edges_clock_s[0]) / self.wait_s.shape[0]
        at = np.floor((clock_s - self.edges_clock_s[0]) / step_s)
        return np.clip(at, 0, self.wait_s.shape[0] - 1).astype(np.int64)
