"""What a crowd does to whoever arrives when: tables by clock time, put together day by day in flat memory."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from handline.crowd.rules import Floats, Ints
from handline.crowd.simulate import CrowdDays


@dataclass(frozen=True)
class Measure:
    """Something a climber has on one pass. ``unit`` is "s" or "people"."""

    key: str
    words: str
    unit: str


MEASURES: Mapping[str, Measure] = MappingProxyType(
    {
        "wait_s": Measure("wait_s", "wait before the line", "s"),
        "on_line_s": Measure("on_line_s", "time on the line", "s"),
        "stuck_s": Measure("stuck_s", "of it, what others cost", "s"),
        "held_s": Measure("held_s", "of it, standing in a bay, blocked or passed", "s"),
        "delay_s": Measure("delay_s", "wait and what others cost on the line, together", "s"),
        "meetings": Measure("meetings", "people met in a bay", "people"),
        "above_most": Measure("above_most", "most people above in the fall line", "people"),
    }
)
"""What the tables tell of a pass, by key."""


@dataclass(frozen=True, eq=False)
class PassTable:
    """What a pass was like by the clock time of joining its queue.

    ``edges_clock_s`` (bins + 1,) [s after local midnight]. ``rows`` has for each bin an array (kept, measures), its
    columns in the order of ``MEASURES``; ``seen`` (bins,) counts the passes of which these are an even sample.
    """

    way: int
    edges_clock_s: Floats
    rows: tuple[Floats, ...]
    seen: Ints

    def quantile(self, measure: str, level: ArrayLike) -> Floats:
        """Quantiles of a measure for each bin, (levels, bins); NaN where nobody joined the queue."""
        raise NotImplementedError

    def sample(self, join_clock_s: ArrayLike, uniform: ArrayLike) -> Sampled:
        """One whole pass for each arrival and each number in [0, 1), so that wait and delay belong together."""
        raise NotImplementedError


@dataclass(frozen=True, eq=False)
class Sampled:
    """Passes drawn from a table, in the broadcast shape. Add ``wait_s`` before the line and ``stuck_s`` on it.

    ``borrowed`` is true where the bin itself had too few passes and neighbours were added, or the clock lies outside
    the table and its nearest end was taken.
    """

    wait_s: Floats
    stuck_s: Floats
    on_line_s: Floats
    meetings: Floats
    above_most: Floats
    borrowed: np.ndarray


@dataclass(frozen=True, eq=False)
class Counts:
    """How many people are somewhere at each clock time, over the days: quantiles (levels, clocks)."""

    clock_s: Floats
    levels: Floats
    on_line: Floats
    at_foot: Floats
    at_head: Floats


@dataclass(frozen=True, eq=False)
class CrowdTables:
    """The tables of many days.

    ``off_per_h`` (2, bins) are people stepping off the line an hour, up and down, mean over the days, by the bins of
    ``up``. ``clears_clock_s`` has one value a day with people, ascending. ``density_per_m`` is ``counts.on_line`` over the length.
    """

    days: int
    people: int
    length_m: float
    up: PassTable
    down: PassTable
    counts: Counts
    off_per_h: Floats
    clears_clock_s: Floats
    flags: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Window:
    """From when to when one may join the queue [s after local midnight], and the worst quantile of the delay within."""

    start_clock_s: float
    end_clock_s: float
    delay_s: float


def crowd_tables(
    chunks: Iterable[CrowdDays],
    *,
    start_clock_s: float = 0.0,
    end_clock_s: float = 86_400.0,
    bin_s: float = 900.0,
    levels: tuple[float, ...] = (0.1, 0.5, 0.9),
) -> CrowdTables:
    """Put the chunks of ``simulate_chunks`` together."""
    raise NotImplementedError


def best_windows(table: PassTable, *, most_delay_s: float, level: float = 0.9) -> tuple[Window, ...]:
    """The spans of joining the queue in which the delay stays within a limit, with the least delay first."""
    raise NotImplementedError
