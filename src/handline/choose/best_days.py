"""The best date of each way and state of the line, from a season of dates."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from handline.choose.dates_report import DateRow, DatesReport, WayOnDate
from handline.choose.way_settings import WayWanted
from handline.line.geometry import LOWERED, RAISED


@dataclass(frozen=True)
class BestDay:
    """The best date of one way with the line in one state."""

    way: str
    state: str
    date: dt.date


def best_days(report: DatesReport) -> tuple[BestDay, ...]:
    """For each way and each state the line is in that season, the best date that is not past, the first of equals.

    They are ordered as ``handline dates`` orders them: first those with a start that meets the wanted chance; then
    those that can be had at all, then those whose permits have a known chance; then by the chance of the permits and of
    all limits times what the date is worth to the party, to two digits; then by the latest start.
    """
    found: dict[tuple[str, str], list[tuple[tuple[float, ...], str]]] = {}
    for row in report.rows:
        for way in () if row.closed or row.past else row.ways:
            state = RAISED if row.raised else LOWERED
            found.setdefault((way.way, state), []).append((_order(row, way), row.date))
    return tuple(
        BestDay(way, state, dt.date.fromisoformat(min(found[way, state])[1]))
        for way in report.ways
        for state in (RAISED, LOWERED)
        if (way, state) in found
    )


def _order(row: DateRow, way: WayOnDate) -> tuple[float, ...]:
    value = way.value_chance * row.worth
    return (
        float(way.window_clock_s is None),
        float(value == 0.0),
        float(bool(way.permits_unknown)),
        -float(f"{value:.2g}"),
        -way.start_clock_s,
        -way.start_chance,
    )


def on_best_days(best: tuple[BestDay, ...], both_states: bool) -> tuple[WayWanted, ...]:
    """Each way on its best date in each state; where the season has one state only, the other that day to compare."""
    wanted = []
    for way in dict.fromkeys(day.way for day in best):
        days = [day for day in best if day.way == way]
        wanted += [WayWanted(way, day.date) for day in days]
        if both_states and len(days) == 1:
            wanted.append(WayWanted(way, days[0].date, forced=True))
    return tuple(wanted)
