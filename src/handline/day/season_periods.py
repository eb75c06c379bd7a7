"""Periods of the year that a trip file lists together: where two of them lie over each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handline.errors import Problem
from handline.season.rules import YEARS, Period
from handline.season.several_periods import overlaps


def overlap_problems(periods: Sequence[Period], year: int) -> Iterator[tuple[int, Problem]]:
    """Every two periods that lie over each other in a year or in one next to it, each told at the later of the two.

    Parameters
    ----------
    periods : sequence of Period
        In the order of the file.
    year : int
        That of the trip's date.

    Yields
    ------
    (int, Problem)
        Which of the periods, and what is wrong with it.
    """
    words = [period.words for period in periods]
    # The years beside these are looked at too.
    years = range(max(year - 1, YEARS[0] + 1), min(year + 2, YEARS[1] - 1))
    for overlap in overlaps(periods, years):
        yield len(words) - 1 - words[::-1].index(overlap.other), Problem(overlap.words, read=overlap.other)
