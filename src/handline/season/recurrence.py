"""Days of the year in words as recurrences that a calendar understands (RFC 5545): a rule, or else a list of days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from handline.season.day_words import day_words
from handline.season.rules import (
    DateRule,
    DayBeside,
    FixedDay,
    LastDay,
    MissingDayError,
    NthWeekday,
    Period,
    SeasonRuleError,
    WeekdayBeside,
)

_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_COMMON_YEAR = 2001
"""Any year without 29 February: only days that are no nearer to it than a leap year can move are read from it."""
_LAST_OF_FEBRUARY = -307
"""Counted from the end of any year, leap or not; 31 December is -1."""
_LONGEST_WAIT_YEARS = 400
"""After so many years the Gregorian calendar begins again."""


@dataclass(frozen=True)
class Recurrence:
    """A day of the year over some years.

    ``rrule`` is the RFC 5545 rule without its end, None where no rule says it; ``days`` are the days themselves, in
    order; ``missing_years`` are the years without such a day.
    """

    words: str
    rrule: str | None
    days: tuple[date, ...]
    missing_years: tuple[int, ...]

    def lines(self) -> tuple[str, ...]:
        """The properties of a calendar entry, not folded: DTSTART, and RRULE or RDATE where there is more than one."""
        start = f"DTSTART;VALUE=DATE:{_basic(self.days[0])}"
        if self.rrule is not None:
            return start, f"RRULE:{self.rrule};UNTIL={_basic(self.days[-1])}"
        others = ",".join(map(_basic, self.days[1:]))
        return (start, f"RDATE;VALUE=DATE:{others}") if others else (start,)


def recurrence(rule: DateRule, years: range) -> Recurrence:
    """A day of the year over some years, as a recurrence.

    Parameters
    ----------
    rule : DateRule
        The day.
    years : range
        The years the words are said for; "Saturday before 1 January" of a year may lie in the year before.

    Raises
    ------
    SeasonRuleError
        None of the years has such a day: the message names the next that has. Or a year is out of range.

    Sources: rfc_5545.
    """
    days, missing = [], []
    for year in years:
        try:
            days.append(rule.on(year))
        except MissingDayError:
            missing.append(year)
    if not days:
        raise SeasonRuleError(_never(rule, years))
    return Recurrence(rule.words, rrule_text(rule), tuple(days), tuple(missing))


def rrule_text(rule: DateRule) -> str | None:
    """The RFC 5545 rule of a day of the year, "FREQ=YEARLY;BYMONTH=10;BYDAY=2MO".

    None where no rule says it: a day beside one that only leap years have.

    Validity: a year-day (BYYEARDAY) is written only where the days may lie in two months; not every calendar reads it.
    Sources: rfc_5545.
    """
    match rule:
        case FixedDay(day=day, month=month):
            return f"FREQ=YEARLY;BYMONTH={month};BYMONTHDAY={day}"
        case LastDay(month=month):
            return f"FREQ=YEARLY;BYMONTH={month};BYMONTHDAY=-1"
        case NthWeekday(nth=nth, weekday=weekday, month=month):
            return f"FREQ=YEARLY;BYMONTH={month};BYDAY={nth}{_WEEKDAYS[weekday]}"
    run = _run(rule)
    return None if run is None else f"FREQ=YEARLY;{_parts(run)}"


def spans(period: Period, years: range) -> Iterator[tuple[date, date]]:
    """The first and the last day of a period for each of the years that has both."""
    for year in years:
        try:
            yield period.span(year)
        except MissingDayError:
            continue


@dataclass(frozen=True)
class _Run:
    """Days that follow each other, counted from one end of the year, and the one weekday meant among them.

    Counted from the start, 1 is 1 January and 0 the day before; from the end, -1 is 31 December and 0 the day after.
    January and February count from the start and the rest from the end, so a leap day moves none of them.
    """

    from_end: bool
    first: int
    last: int
    weekday: int | None = None

    def moved(self, days: int) -> _Run:
        weekday = None if self.weekday is None else (self.weekday + days) % 7
        return replace(self, first=self.first + days, last=self.last + days, weekday=weekday)


def _run(rule: DateRule) -> _Run | None:
    match rule:
        case FixedDay(day=day, month=month):
            return None if (day, month) == (29, 2) else _fixed(month, day, day)
        case LastDay(month=month):
            return _last_days(month, 1)
        case NthWeekday(nth=-1, weekday=weekday, month=month):
            return replace(_last_days(month, 7), weekday=weekday)
        case NthWeekday(nth=5, month=2):
            return None
        case NthWeekday(nth=nth, weekday=weekday, month=month):
            last = 7 * nth if nth < 5 else _month_days(month)
            return replace(_fixed(month, 7 * nth - 6, last), weekday=weekday)
        case DayBeside(side=side, other=other):
            run = _run(other)
            return None if run is None else run.moved(side)
        case WeekdayBeside(weekday=weekday, side=side, other=other):
            run = _run(other)
            return None if run is None else _weekday_beside(run, weekday, side)
    raise TypeError(f"no recurrence is known for a {type(rule).__name__}")  # a new form must be added here


def _weekday_beside(run: _Run, weekday: int, side: int) -> _Run:
    if run.weekday is None:
        nearest, farthest = run.first + side, run.first + 7 * side
        return _Run(run.from_end, min(nearest, farthest), max(nearest, farthest), weekday)
    # The gap between two known weekdays is the same every year.
    return run.moved(side * ((side * (weekday - run.weekday) - 1) % 7 + 1))


def _fixed(month: int, first_day: int, last_day: int) -> _Run:
    first, last = date(_COMMON_YEAR, month, first_day), date(_COMMON_YEAR, month, last_day)
    return _Run(month > 2, *(_counted(day, from_end=month > 2) for day in (first, last)))


def _last_days(month: int, count: int) -> _Run:
    if month == 2:
        return _Run(True, _LAST_OF_FEBRUARY - count + 1, _LAST_OF_FEBRUARY)
    return _fixed(month, _month_days(month) - count + 1, _month_days(month))


def _month_days(month: int) -> int:
    return (date(_COMMON_YEAR + month // 12, month % 12 + 1, 1) - date(_COMMON_YEAR, month, 1)).days


def _counted(day: date, *, from_end: bool) -> int:
    return (day - date(_COMMON_YEAR + 1, 1, 1)).days if from_end else (day - date(_COMMON_YEAR, 1, 1)).days + 1


def _parts(run: _Run) -> str:
    """The parts of a rule that keep to these days: by the days of a month where they lie in one, else of the year."""
    weekday = "" if run.weekday is None else f";BYDAY={_WEEKDAYS[run.weekday]}"
    found = _in_one_month(run)
    if found is None:
        counted = range(run.first, run.last + 1)
        days = (_year_day(count, from_end=run.from_end) for count in counted)
        return f"BYYEARDAY={_listed(days)}{weekday}"
    month, month_days = found
    if len(month_days) == 7 and month_days[0] in (1, 8, 15, 22):  # a whole first, second, third or fourth week
        return f"BYMONTH={month};BYDAY={month_days[-1] // 7}{weekday.removeprefix(';BYDAY=')}"
    return f"BYMONTH={month};BYMONTHDAY={_listed(month_days)}{weekday}"


def _in_one_month(run: _Run) -> tuple[int, list[int]] | None:
    """The month and its days, where these are the same in every year."""
    first_of_march = _LAST_OF_FEBRUARY + 1
    if run.from_end and first_of_march - 28 <= run.first and run.last < first_of_march:
        return 2, [count - first_of_march for count in range(run.first, run.last + 1)]
    if run.first < first_of_march if run.from_end else run.last > 59:
        return None  # beyond 28 February a leap day comes between
    origin = date(_COMMON_YEAR + 1, 1, 1) if run.from_end else date(_COMMON_YEAR - 1, 12, 31)
    days = [origin + timedelta(days=count) for count in range(run.first, run.last + 1)]
    return (days[0].month, [day.day for day in days]) if days[0].month == days[-1].month else None


def _year_day(count: int, *, from_end: bool) -> int:
    """RFC 5545 knows no day 0: on the far side of the new year its count goes on with the next number."""
    if from_end:
        return count + 1 if count >= 0 else count
    return count - 1 if count <= 0 else count


def _listed(days: Iterable[int]) -> str:
    return ",".join(map(str, days))


def _basic(day: date) -> str:
    return f"{day.year:04d}{day.month:02d}{day.day:02d}"


def _never(rule: DateRule, years: range) -> str:
    if not years:
        return f'"{rule.words}" was asked for in no year at all: give at least one'
    said = f"in {years[0]}" if len(years) == 1 else f"from {years[0]} to {years[-1]}"
    for year in range(years[-1] + 1, years[-1] + 1 + _LONGEST_WAIT_YEARS):
        try:
            return f'"{rule.words}" never happens {said}; the next one is on {day_words(rule.on(year))}'
        except MissingDayError:
            continue
    raise AssertionError("every day of the calendar comes within 400 years")
