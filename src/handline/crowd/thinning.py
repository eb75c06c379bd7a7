"""Keeping an even sample and counts of what streams by, in memory that does not grow with it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from handline.crowd.rules import Floats, Ints

# Rows that may wait before the sample is thinned again.
_WAITING_ROWS = 200_000


class EvenSample:
    """For each bin an even sample of the rows that came.

    A row comes with a random number; the rows with the lowest numbers are kept. So it does not matter in which order
    they came, nor in which parts.
    """

    def __init__(self, kept: int) -> None:
        self._kept = kept
        self._parts: list[tuple[Ints, Floats, Floats]] = []
        self._waiting = 0
        self._seen: dict[int, int] = {}

    def add(self, at: Ints, number: Floats, rows: Floats) -> None:
        """More rows (n, columns), their bins and their random numbers, both (n,)."""
        for place, count in zip(*np.unique(at, return_counts=True), strict=True):
            self._seen[int(place)] = self._seen.get(int(place), 0) + int(count)
        self._parts.append((at, number, rows))
        self._waiting += at.size
        if self._waiting > _WAITING_ROWS:
            self._thin()

    def by_bin(self, columns: int) -> tuple[int, list[Floats], Ints]:
        """The first bin, the rows of it and of all that follow to the last, and how many were seen in each."""
        if not self._seen:
            return 0, [], np.zeros(0, np.int64)
        self._thin()
        at, _, rows = self._parts[0]
        bins = np.arange(min(self._seen), max(self._seen) + 1)
        ends = np.searchsorted(at, bins, side="right")
        starts = np.searchsorted(at, bins, side="left")
        assert rows.shape[1] == columns
        by_bin = [rows[start:end] for start, end in zip(starts, ends, strict=True)]
        return int(bins[0]), by_bin, np.array([self._seen.get(int(place), 0) for place in bins])

    def _thin(self) -> None:
        at, number, rows = (np.concatenate(columns) for columns in zip(*self._parts, strict=True))
        order = np.lexsort((number, at))
        at = at[order]
        keep = np.arange(at.size) - np.searchsorted(at, at, side="left") < self._kept
        chosen = order[keep]
        self._parts = [(at[keep], number[chosen], rows[chosen])]
        self._waiting = 0


class TimeCounts:
    """How often how many people were in a place at whole numbers of a clock, one count a day; for a few places."""

    def __init__(self, places: int) -> None:
        self._days = 0
        self._first = 0
        # How many days had so many people: (places, clocks, people + 1).
        self._seen = np.zeros((places, 0, 1), np.int64)

    def add(self, days: int, day: Ints, spans: Sequence[Sequence[tuple[Floats, Floats]]]) -> None:
        """More days; ``day`` (people,) from 0, and for each place the spans (from, to) of everybody in it."""
        self._days += days
        if not day.size:
            return
        first = int(min(np.floor(start.min()) for place in spans for start, _ in place))
        last = int(max(np.ceil(end.max()) for place in spans for _, end in place))
        clocks = last - first + 1
        for place, whole in enumerate(spans):
            change = np.zeros(days * (clocks + 1), np.int64)
            for start, end in whole:
                for edge, sign in ((start, 1), (end, -1)):
                    where = day * (clocks + 1) + np.ceil(edge).astype(np.int64) - first
                    change += sign * np.bincount(where, minlength=change.size)
            people = np.cumsum(change.reshape(days, clocks + 1)[:, :-1], axis=1)
            self._note(place, first, people)

    def quantiles(self, levels: Floats) -> tuple[Floats, tuple[Floats, ...]]:
        """The clocks, and for each place the least number not below a share of the days, (levels, clocks)."""
        clock = self._first + np.arange(self._seen.shape[1], dtype=float)
        # Where a day is not told of, nobody was there.
        seen = self._seen.copy()
        seen[:, :, 0] += self._days - seen.sum(axis=2)
        up_to = np.cumsum(seen, axis=2)
        told = tuple(
            np.stack(
                [np.argmax(place >= max(1.0, np.ceil(level * self._days)), axis=1).astype(float) for level in levels]
            )
            for place in up_to
        )
        return clock, told

    def _note(self, place: int, first: int, people: Ints) -> None:
        clocks, most = people.shape[1], int(people.max())
        if self._seen.shape[1] == 0:
            self._first = first
        before = max(0, self._first - first)
        after = max(0, first + clocks - self._first - self._seen.shape[1])
        more = max(0, most + 1 - self._seen.shape[2])
        self._seen = np.pad(self._seen, ((0, 0), (before, after), (0, more)))
        self._first -= before
        offset, width = first - self._first, self._seen.shape[2]
        where = (np.arange(clocks) * width + people).ravel()
        self._seen[place, offset : offset + clocks] += np.bincount(where, minlength=clocks * width).reshape(
            clocks, width
        )
