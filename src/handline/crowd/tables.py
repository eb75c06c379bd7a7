"""What a crowd does to whoever arrives when: tables by clock time, put together day by day in flat memory."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from handline.crowd.rules import DOWN, UP, Flags, Floats, Ints
from handline.crowd.simulate import CrowdDays, Passes
from handline.crowd.thinning import EvenSample, TimeCounts

# A bin with fewer passes than this is no ground for a quantile: sampling adds its neighbours. Ours. [our_crowd_rules]
FEWEST = 30
# How many passes of a bin are kept: the standard error of its 90th percentile is then 0.7 % of rank.
_KEPT = 2000


@dataclass(frozen=True)
class Measure:
    """Something a climber has on one pass. ``unit`` is "s" or "people"."""

    key: str
    words: str
    unit: str
    of: Callable[[Passes], Floats]


MEASURES: Mapping[str, Measure] = MappingProxyType(
    {
        measure.key: measure
        for measure in (
            Measure("wait_s", "wait before the line", "s", lambda passes: passes.wait_s),
            Measure("on_line_s", "time on the line", "s", lambda passes: passes.on_line_s),
            Measure("stuck_s", "of it, what others cost", "s", lambda passes: passes.stuck_s),
            Measure("held_s", "of it, standing in a bay, blocked or passed", "s", lambda passes: passes.held_s),
            Measure("delay_s", "wait and what others cost on the line", "s", lambda passes: passes.delay_s),
            Measure("meetings", "people met in a bay", "people", lambda passes: passes.meetings),
            Measure("above_most", "most people above in the fall line", "people", lambda passes: passes.above_most),
        )
    }
)
"""What the tables tell of a pass, by key; the columns of their rows in this order."""

_COLUMN = {key: column for column, key in enumerate(MEASURES)}


@dataclass(frozen=True, eq=False)
class Sampled:
    """Passes drawn from a table, in the broadcast shape. Add ``wait_s`` before the line and ``stuck_s`` on it.

    ``borrowed`` is true where the bin itself had too few passes and its neighbours were added, or the clock lies
    outside the table and its nearest end was taken.
    """

    wait_s: Floats
    on_line_s: Floats
    stuck_s: Floats
    held_s: Floats
    meetings: Floats
    above_most: Floats
    borrowed: Flags


@dataclass(frozen=True, eq=False)
class PassTable:
    """What a pass was like by the clock time of joining its queue, one pass of one climber a row.

    ``edges_clock_s`` (bins + 1,) [s after local midnight]. ``rows`` has for each bin an array (kept, measures) in the
    order of ``MEASURES``, by rising delay; ``seen`` (bins,) counts the passes of which these are an even sample. A busy
    day brings more of them than a quiet one: the careful side.
    """

    way: int
    edges_clock_s: Floats
    rows: tuple[Floats, ...]
    seen: Ints

    @property
    def bins(self) -> int:
        return len(self.rows)

    def quantile(self, measure: str, level: ArrayLike) -> Floats:
        """Quantiles of a measure for each bin, (levels, bins); NaN where nobody joined the queue.

        Each is a value that was seen, the next one up where the level lies between two.

        Raises
        ------
        KeyError
            A measure that is not in ``MEASURES``.
        """
        column, levels = _COLUMN[measure], np.atleast_1d(np.asarray(level, float))
        told = np.full((levels.size, self.bins), np.nan)
        for i, rows in enumerate(self.rows):
            if len(rows):
                told[:, i] = np.quantile(rows[:, column], levels, method="higher")
        return told

    def exceeds(self, measure: str, limit: float) -> Floats:
        """Share of passes over a limit for each bin, (bins,); NaN where nobody joined the queue."""
        column = _COLUMN[measure]
        return np.array([np.mean(rows[:, column] > limit) if len(rows) else np.nan for rows in self.rows])

    def sample(self, join_clock_s: ArrayLike, uniform: ArrayLike) -> Sampled:
        """One whole pass for each arrival, so that wait, delay and meetings of it belong together.

        Parameters
        ----------
        join_clock_s : array_like
            When somebody joins the queue [s after local midnight].
        uniform : array_like
            Numbers in [0, 1): the rank by delay, so that a higher number never means less delay in the same bin.

        Returns
        -------
        Sampled
            In the broadcast shape.

        Raises
        ------
        ValueError
            A number outside [0, 1), a clock that is not finite, or a table without any pass.
        """
        clock, rank = np.broadcast_arrays(np.asarray(join_clock_s, float), np.asarray(uniform, float))
        if not bool(np.all((rank >= 0.0) & (rank < 1.0) & np.isfinite(clock))):
            raise ValueError("a pass is sampled at a clock time, with a number from 0 and below 1")
        if not self.seen.sum():
            raise ValueError("nobody passes the line in this table")
        place = np.searchsorted(self.edges_clock_s, clock, side="right") - 1
        near = np.minimum(np.maximum(place, 0), self.bins - 1)
        borrowed, drawn = np.asarray(near != place), np.empty((*clock.shape, len(MEASURES)))
        for at in np.unique(near):
            here, rows = near == at, self._with_neighbours(int(at))
            drawn[here] = rows[(rank[here] * len(rows)).astype(np.int64)]
            if len(rows) > len(self.rows[at]):
                borrowed = borrowed | here
        columns = {key: drawn[..., column] for key, column in _COLUMN.items() if key != "delay_s"}
        return Sampled(**columns, borrowed=borrowed)

    def _with_neighbours(self, at: int) -> Floats:
        """The rows of a bin and, while they are too few, of those on both sides of it, by rising delay."""
        wide = 0
        while True:
            low, high = max(0, at - wide), min(self.bins, at + wide + 1)
            if sum(len(rows) for rows in self.rows[low:high]) >= FEWEST or (low == 0 and high == self.bins):
                break
            wide += 1
        return self.rows[at] if wide == 0 else _by_delay(np.concatenate(self.rows[low:high]))


@dataclass(frozen=True, eq=False)
class Counts:
    """How many people are where at a clock time, over the days: quantiles (levels, clocks), each a number seen."""

    clock_s: Floats
    levels: Floats
    on_line: Floats
    at_foot: Floats
    at_head: Floats


@dataclass(frozen=True, eq=False)
class CrowdTables:
    """The tables of many days.

    ``off_per_h`` (2, bins) are people stepping off the line an hour, up and down, mean over the days, in the bins of
    ``off_edges_clock_s``. ``clears_clock_s`` has one value a day with people, ascending [s after local midnight].
    """

    days: int
    people: int
    length_m: float
    up: PassTable
    down: PassTable
    counts: Counts
    off_edges_clock_s: Floats
    off_per_h: Floats
    clears_clock_s: Floats
    flags: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def density_per_m(self) -> Floats:
        """People on a metre of the line at each clock time, (levels, clocks) [1/m]."""
        return self.counts.on_line / self.length_m


@dataclass(frozen=True)
class Window:
    """From when to when one may join the queue [s after local midnight], and the worst quantile of the delay within."""

    start_clock_s: float
    end_clock_s: float
    delay_s: float


def crowd_tables(
    chunks: Iterable[CrowdDays],
    *,
    bin_s: float = 900.0,
    levels: tuple[float, ...] = (0.1, 0.5, 0.9),
    kept: int = _KEPT,
) -> CrowdTables:
    """Put days together, as they come from ``simulate_chunks``; a chunk is let go before the next is asked for.

    Parameters
    ----------
    chunks : iterable of CrowdDays
        Of one line.
    bin_s : float
        Width of the bins of clock time, which begin at midnight [s]; people are counted at their edges.
    levels : tuple of float
        Quantiles of the counts.
    kept : int
        How many passes of a bin are kept at most, evenly over all that were seen.

    Returns
    -------
    CrowdTables
        The same for the same days, however they were cut into chunks.

    Raises
    ------
    ValueError
        No chunks, days of more than one line, a bin not above 0 s, levels outside 0 to 1, or nothing to be kept.

    Notes
    -----
    Memory grows with the bins and not with the days, but for one clearing time a day.

    Sources: our_crowd_rules.
    """
    if not (np.isfinite(bin_s) and bin_s > 0.0) or kept < 1 or not all(0.0 <= level <= 1.0 for level in levels):
        raise ValueError("a bin is longer than 0 s, at least one pass is kept, and levels lie within 0 to 1")
    gathered = _Gathered(bin_s, kept)
    for days in chunks:
        gathered.add(days)
    if gathered.first is None:
        raise ValueError("no days to make tables of")
    first, level = gathered.first, np.array(levels)
    clock_s, counts = gathered.counts.quantiles(level)
    off_bins, off = gathered.off()
    return CrowdTables(
        days=gathered.days,
        people=gathered.people,
        length_m=first.line.length_m,
        up=_pass_table(UP, gathered.passes[UP], bin_s),
        down=_pass_table(DOWN, gathered.passes[DOWN], bin_s),
        counts=Counts(clock_s * bin_s, level, *counts),
        off_edges_clock_s=np.asarray(off_bins * bin_s, float),
        off_per_h=off / gathered.days / (bin_s / 3600.0),
        clears_clock_s=np.sort(np.concatenate(gathered.clears)),
        flags=tuple(gathered.flags),
        cautions=first.cautions,
        sources=first.sources,
    )


def best_windows(table: PassTable, *, most_delay_s: float, level: float = 0.9) -> tuple[Window, ...]:
    """The spans of joining the queue in which the delay stays within a limit, the one with the least delay first.

    Bins in which fewer than 30 passes were seen are in none: too little is known there.

    Parameters
    ----------
    table : PassTable
    most_delay_s : float
        How much wait and delay on the line together may be [s] ...
    level : float
        ... in this share of passes.
    """
    delay_s = table.quantile("delay_s", level)[0]
    fits = (table.seen >= FEWEST) & (delay_s <= most_delay_s)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], fits.astype(np.int8), [0]))))
    found = [
        Window(float(table.edges_clock_s[first]), float(table.edges_clock_s[end]), float(delay_s[first:end].max()))
        for first, end in zip(edges[::2], edges[1::2], strict=True)
    ]
    return tuple(sorted(found, key=lambda window: (window.delay_s, window.start_clock_s)))


class _Gathered:
    """What is known of the days so far."""

    def __init__(self, bin_s: float, kept: int) -> None:
        self.bin_s = bin_s
        self.first: CrowdDays | None = None
        self.days = self.people = 0
        self.passes = (EvenSample(kept), EvenSample(kept))
        self.counts = TimeCounts(3)
        self.clears: list[Floats] = []
        self.flags: dict[str, None] = {}
        self._off: tuple[dict[int, int], dict[int, int]] = ({}, {})

    def add(self, days: CrowdDays) -> None:
        if self.first is None:
            self.first = days
        elif not np.array_equal(self.first.line.bay_length_m, days.line.bay_length_m):
            raise ValueError("tables are of days of one line")
        self.days += days.days
        self.people += days.arrivals.people
        self.flags.update(dict.fromkeys(days.flags))
        self.clears.append(days.clears_clock_s[np.isfinite(days.clears_clock_s)])
        for way, passes in enumerate(days.ways):
            rows = np.stack([measure.of(passes) for measure in MEASURES.values()], axis=1)
            self.passes[way].add(self._bin(passes.join_clock_s), days.thinning(way), rows)
            for at, count in zip(*np.unique(self._bin(passes.leave_clock_s), return_counts=True), strict=True):
                self._off[way][int(at)] = self._off[way].get(int(at), 0) + int(count)
        up, down = days.up, days.down
        spans = (
            [(up.enter_clock_s, up.leave_clock_s), (down.enter_clock_s, down.leave_clock_s)],
            [(up.join_clock_s, up.enter_clock_s)],
            [(down.join_clock_s, down.enter_clock_s)],
        )
        self.counts.add(
            days.days,
            days.day - days.first_day,
            [[(start / self.bin_s, end / self.bin_s) for start, end in span] for span in spans],
        )

    def off(self) -> tuple[Ints, Floats]:
        """Edges of bins, and people off the line in each, both ways."""
        seen = [at for way in self._off for at in way]
        if not seen:
            return np.zeros(1, np.int64), np.zeros((2, 0))
        edges = np.arange(min(seen), max(seen) + 2)
        return edges, np.array([[way.get(int(at), 0) for at in edges[:-1]] for way in self._off], float)

    def _bin(self, clock_s: Floats) -> Ints:
        return np.floor(clock_s / self.bin_s).astype(np.int64)


def _pass_table(way: int, passes: EvenSample, bin_s: float) -> PassTable:
    first, rows, seen = passes.by_bin(len(MEASURES))
    edges = np.asarray(np.arange(first, first + len(rows) + 1) * bin_s, float)
    return PassTable(way, edges, tuple(_by_delay(one) for one in rows), seen)


def _by_delay(rows: Floats) -> Floats:
    return rows[np.argsort(rows[:, _COLUMN["delay_s"]], kind="stable")]
