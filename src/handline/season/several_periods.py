"""Several periods of the year together: found to lie apart or over each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from handline.season.day_words import day_words
from handline.season.recurrence import spans
from handline.season.rules import Period


@dataclass(frozen=True)
class Overlap:
    """Two periods, and the first days that belong to both."""

    one: str
    other: str
    first: date
    last: date

    @property
    def words(self) -> str:
        """What is wrong and how to mend it."""
        common = (
            f"{day_words(self.first)} to {day_words(self.last)}" if self.last > self.first else day_words(self.first)
        )
        return (
            f'"{self.one}" and "{self.other}" lie over each other ({common} belongs to both): '
            "write one period for both, or let one end before the other begins"
        )


def overlaps(periods: Sequence[Period], years: range) -> tuple[Overlap, ...]:
    """Every two periods that lie over each other in some of the years, each pair once.

    A period over the end of the year is looked at from the year it begins in, and so are the ones beside it; a period
    that lasts beyond its own next beginning is not found here.
    """
    found = []
    around = range(years.start - 1, years.stop + 1) if years else years
    for one, other in combinations(periods, 2):
        common = [
            (max(a_first, b_first), min(a_last, b_last))
            for a_first, a_last in spans(one, years)
            for b_first, b_last in spans(other, around)
            if a_first <= b_last and b_first <= a_last
        ]
        if common:
            found.append(Overlap(one.words, other.words, *min(common)))
    return tuple(found)
