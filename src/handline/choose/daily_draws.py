"""Permits that are drawn or given out anew for each date: what asking for some dates in a row comes to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from handline.choose.date_lists import best_tier, date_entries, draws_of
from handline.choose.date_permits import PermitsOf
from handline.choose.date_ranks import told_apart
from handline.choose.dates_report import DateRow, DatesInARow
from handline.quantity import show_share
from handline.route.counted import counted
from handline.season.date_ranking import list_worth
from handline.season.day_words import day_words
from handline.season.draw_chances import over_days, over_days_span
from handline.trip.model import Trip
from handline.trip.permit_model import DRAW, WALK_UP

MOST_IN_A_ROW = 7
"""So many days in a row somebody would stay and ask again. [practice_days_in_a_row]"""


@dataclass(frozen=True)
class _Day:
    """A date with a drawing of its own."""

    date: dt.date
    worth: float
    chance: float
    place: int


def days_in_a_row(
    trip: Trip, rows: Sequence[DateRow], permits: PermitsOf, today: dt.date | None
) -> tuple[DatesInARow, ...]:
    """The best days in a row for each permit of which every date has a drawing or a line of its own.

    Only where the chance on each date is known. Whoever asks goes on the first date that is got.

    Parameters as ``draw_lists``.
    """
    found = []
    for draw in draws_of(trip, rows, (DRAW, WALK_UP)):
        # A draw for many dates at once is no drawing anew; where people stand in line, every date has its own.
        alone = [of_one[0] for _, of_one in date_entries(draw, rows, permits, today) if len(of_one) == 1]
        days = [_Day(one.date, one.worth, one.chance, one.place) for one in best_tier(alone)]
        runs = [run for run in _runs(sorted(days, key=lambda day: day.date)) if len(run) > 1]
        if runs:
            drawn = draw.typed.way == DRAW
            found.append(_told(draw.permit.name, draw.way, drawn, min(runs, key=_order)))
    return tuple(found)


def _runs(days: Sequence[_Day]) -> Iterator[tuple[_Day, ...]]:
    """From every date on as many days as follow each other, no more than somebody would stay."""
    for first in range(len(days)):
        last = first + 1
        while last < min(len(days), first + MOST_IN_A_ROW) and (days[last].date - days[last - 1].date).days == 1:
            last += 1
        yield tuple(days[first:last])


def _order(run: Sequence[_Day]) -> tuple[float, int, dt.date]:
    """The run that brings most on average first; of those alike in two digits the one with the best date."""
    value = list_worth([day.worth for day in run], [day.chance for day in run], tuple(range(len(run)))).expected_worth
    return -told_apart(value), min(day.place for day in run), run[0].date


def _told(permit: str, way: str, drawn: bool, run: Sequence[_Day]) -> DatesInARow:
    chances = np.array([day.chance for day in run])
    by_day = over_days(chances).chance
    low, high = (float(found.chance[-1]) for found in over_days_span(chances))
    return DatesInARow(
        permit=permit,
        way=way,
        drawn=drawn,
        dates=tuple(day.date.isoformat() for day in run),
        chance_by_day=tuple(by_day.tolist()),
        low=low,
        high=high,
        says=_says(drawn, run, by_day.tolist(), low),
    )


def _says(drawn: bool, run: Sequence[_Day], by_day: Sequence[float], low: float) -> str:
    how = "It is drawn anew for each date" if drawn else "It is given out anew for each date"
    words = (
        f"{how}. Asking for each of {counted(len(run), 'day')} in a row, {day_words(run[0].date)} to "
        f"{day_words(run[-1].date)}, until you get one: {show_share(by_day[-1])}; for the first alone "
        f"{show_share(by_day[0])}."
    )
    if by_day[-1] - low < 0.01:
        return words
    return f"{words} That is as if no day had to do with another; where who loses once loses again, {show_share(low)}."
