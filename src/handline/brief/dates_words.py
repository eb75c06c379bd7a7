"""How a season of dates is said on screen and page: dates, ways, starts, permits, and each month by its middle."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import median

from handline.choose.dates_report import WAY_WORDS, BestDate, DateRow, DatesReport, DrawList, WayOnDate
from handline.quantity import show_chance, show_clock, show_share
from handline.season.day_words import day_words
from handline.season.rules import MONTHS

UNKNOWN_CHANCE = "not known"
NO_START = "no start"
START_BY = {"push": "start by", "night": "leave the camp by"}
WITH_REASONS = 3
"""So many of the best dates are told with their reasons at once."""


def date_words(date: str) -> str:
    """ "Fri 16 July 2027"."""
    day = dt.date.fromisoformat(date)
    return f"{('Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun')[day.weekday()]} {day_words(day)}"


def state_words(raised: bool) -> str:
    """How the cables are."""
    return "stand" if raised else "lie"


def start_words(on_date: WayOnDate | BestDate) -> str:
    """The latest start that meets the limits, or that none does."""
    meets = on_date.meets if isinstance(on_date, BestDate) else on_date.window_clock_s is not None
    return show_clock(on_date.start_clock_s) if meets else NO_START


def permit_words(one: WayOnDate | BestDate) -> str:
    """The chance of all permits that are to be got; at most that of the known ones where some are not known."""
    if one.permits_unknown:
        return UNKNOWN_CHANCE if one.known_permit_chance == 1.0 else f"at most {show_share(one.known_permit_chance)}"
    return "none to get" if one.known_permit_chance == 1.0 else show_share(one.known_permit_chance)


def best_words(one: BestDate) -> str:
    """One of the best dates in a line: "Fri 16 July 2027, in one push"."""
    return f"{date_words(one.date)}, {WAY_WORDS[one.way]}"


def numbers_words(one: BestDate) -> str:
    """The numbers of one of the best dates: its latest start, the surest, permits, and what they come to."""
    start = "No start meets your limits"
    if one.meets:
        start = f"{START_BY[one.way].capitalize()} {start_words(one)}, then {show_chance(one.start_chance)} of days"
    worth = [f"worth to you {show_share(one.worth)}"] if one.worth < 1.0 else []
    permits = f"permits {permit_words(one)}"
    surest = f"from the surest start {show_chance(one.best_chance)} of days"
    return " · ".join([start, surest, permits, *worth, f"in all {show_share(one.value)}"])


def list_words(found: DrawList) -> str:
    """The dates of a list in their order."""
    return "; ".join(f"{number}. {date_words(date)}" for number, date in enumerate(found.dates, start=1))


@dataclass(frozen=True)
class MonthWay:
    """One way in one month: how many dates meet the limits, and the middle of their latest starts in words."""

    meeting: int
    start_by: str
    surest: str


@dataclass(frozen=True)
class Month:
    """A month of the season: its open dates, and each way."""

    words: str
    rows: tuple[DateRow, ...]
    open_dates: int
    ways: tuple[MonthWay, ...]


def months_of(report: DatesReport) -> tuple[Month, ...]:
    """The season month by month."""
    found = []
    for (year, month), run in groupby(report.rows, key=lambda row: (row.date[:4], int(row.date[5:7]))):
        rows = tuple(run)
        open_rows = [row for row in rows if not row.closed]
        ways = tuple(
            _month_way([one for row in open_rows for one in row.ways if one.way == way]) for way in report.ways
        )
        found.append(Month(f"{MONTHS[month - 1].title()} {year}", rows, len(open_rows), ways))
    return tuple(found)


def _month_way(of_month: Sequence[WayOnDate]) -> MonthWay:
    meeting = [one.start_clock_s for one in of_month if one.window_clock_s is not None]
    if not of_month:
        return MonthWay(0, "closed", "")
    surest = show_chance(median(one.best_chance for one in of_month))
    return MonthWay(len(meeting), show_clock(median(meeting)) if meeting else NO_START, surest)
