"""The best dates of a season in their order, and the answer in a sentence."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from handline.choose.date_pieces import NIGHT
from handline.choose.date_reasons import SeasonMiddle, date_reasons, season_middle
from handline.choose.date_rock import STOP, date_level, most_iced
from handline.choose.dates_report import WAY_WORDS, BestDate, DateRow, WayOnDate
from handline.quantity import say_clock, show_chance, show_share
from handline.season.day_words import day_words

# How many best dates are named: with the cables standing, and beside them with the cables lying.
MOST_BEST, MOST_LYING = 8, 3


def best_dates(
    rows: Sequence[DateRow], ways: Sequence[str], last_tried_s: float, preferring: bool
) -> tuple[BestDate, ...]:
    """The best dates, each in its best way: those on which the cables stand, then a few on which they lie.

    Parameters
    ----------
    rows : sequence of DateRow
        The season; what is closed or past is not among the best.
    ways : sequence of str
    last_tried_s : float
        The last start that was looked at [s].
    preferring : bool
        Whether the party would rather have some dates than others.
    """
    open_rows = [row for row in rows if not row.closed]
    middles = {way: season_middle(open_rows, way) for way in ways} if open_rows else {}
    ranked = sorted(_in_its_best_way(row, middles) for row in open_rows if not row.past)
    standing = [found for found in ranked if found.row.raised][:MOST_BEST]
    lying = [found for found in ranked if not found.row.raised]
    chosen = [*standing, *lying[: MOST_LYING if standing else MOST_BEST]]
    return tuple(
        BestDate(
            rank=number,
            date=row.date,
            weekday=row.weekday,
            way=on_date.way,
            raised=row.raised,
            meets=on_date.window_clock_s is not None,
            start_clock_s=on_date.start_clock_s,
            start_chance=on_date.start_chance,
            best_chance=on_date.best_chance,
            rock=on_date.rock,
            planned_rock=on_date.planned_rock,
            iciest_rock=on_date.iciest_rock,
            permit_chance=on_date.permit_chance,
            known_permit_chance=on_date.known_permit_chance,
            permits_unknown=on_date.permits_unknown,
            worth=row.worth,
            value=on_date.value_chance * row.worth,
            reasons=date_reasons(row, on_date, middles[on_date.way], last_tried_s, preferring),
        )
        for number, (row, on_date) in enumerate(((one.row, one.on_date) for one in sorted(chosen)), start=1)
    )


@dataclass(frozen=True, order=True)
class _Ranked:
    """A date in its best way; they sort from the best to the worst."""

    rank: tuple[float, ...]
    date: str
    row: DateRow = field(compare=False)
    on_date: WayOnDate = field(compare=False)


def _in_its_best_way(row: DateRow, middles: Mapping[str, SeasonMiddle]) -> _Ranked:
    return min(_Ranked(_rank(row, on_date, middles[on_date.way]), row.date, row, on_date) for on_date in row.ways)


def _rank(row: DateRow, on_date: WayOnDate, middle: SeasonMiddle) -> tuple[float, ...]:
    """What a date is ordered by in one way, the best first.

    A start from a camp is late anyway: what counts is how much later it is than usual in that way. [our_date_ranks]
    """
    value = on_date.value_chance * row.worth
    return (
        float(on_date.window_clock_s is None),
        float(value == 0.0),
        float(not row.raised),
        float(bool(on_date.permits_unknown)),
        -told_apart(value),
        (middle.start_clock_s or 0.0) - on_date.start_clock_s,
        -on_date.start_chance,
    )


def places_in_order(rows: Sequence[DateRow], way: str) -> dict[str, int]:
    """The place of every open date in the order of one way, 0 the best; past dates are in it too."""
    open_rows = [row for row in rows if not row.closed]
    middles = {way: season_middle(open_rows, way)} if open_rows else {}
    ranked = sorted(
        _Ranked(_rank(row, on_date, middles[way]), row.date, row, on_date)
        for row in open_rows
        for on_date in row.ways
        if on_date.way == way
    )
    return {one.date: place for place, one in enumerate(ranked)}


def told_apart(value: float) -> float:
    """A value as far as it tells two dates apart: to two digits."""
    return float(f"{value:.2g}")


def headline(rows: Sequence[DateRow], best: Sequence[BestDate], wanted_chance: float) -> tuple[str, str]:
    """The answer, and why in a sentence or two."""
    if not best:
        return "None of these dates.", "Every open one of them is past."
    first = best[0]
    date = f"{first.weekday} {day_words(dt.date.fromisoformat(first.date))}"
    meeting = sum(any(on_date.window_clock_s is not None for on_date in row.ways) for row in rows if not row.past)
    wanted = show_share(wanted_chance)
    if not first.meets:
        return (
            "No date meets your limits.",
            f"You asked for {wanted}. The surest is {date} {WAY_WORDS[first.way]}, starting at "
            f"{say_clock(first.start_clock_s)}: {show_chance(first.best_chance)} of days.",
        )
    in_limits = f"{meeting} of {len(rows)} dates have a start that meets your limits in {wanted} of days"
    if first.permit_chance == 0.0:
        return (
            "No permit is left to get.",
            f"{in_limits}, and each needs a permit that can no longer be got. But for that it would be {date} "
            f"{WAY_WORDS[first.way]}.",
        )
    leave = "leave the camp" if first.way == NIGHT else "start"
    permits = f" The chance of its permits is {show_share(first.known_permit_chance)}"
    got = "" if first.known_permit_chance == 1.0 else permits
    if first.permits_unknown:
        got = f"{permits} at most" if got else " The chance of its permits is not known"
    got += "." if got else ""
    got += "" if first.raised else " The cables lie on the rock then."
    start_by = f"{leave} by {say_clock(first.start_clock_s)}"
    if date_level(first) == STOP:
        return (
            f"{date}, {WAY_WORDS[first.way]}: the rock is iced on {show_chance(most_iced(first))} of days.",
            f"{in_limits}; this one ranks first: {start_by}. But your limits say nothing of the rock.{got}",
        )
    return f"{date}, {WAY_WORDS[first.way]}: {start_by}.", f"{in_limits}; this one ranks first.{got}"
