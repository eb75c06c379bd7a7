"""The season of a trip: which dates are looked at, where none or only one end of them is asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from handline.choose.dates_asked import FROM, MOST_DATES, TO, DatesAsked, span_problems
from handline.errors import InputError, Problem, TripError
from handline.season.day_words import day_words
from handline.season.recurrence import spans
from handline.season.rules import MONTHS, SeasonRuleError, parse_period
from handline.trip.model import Trip

# Where the file knows no open period: so much round the raised ones, or round the date. [practice_date_season]
AROUND_RAISED_DAYS, AROUND_DATE_DAYS = 14, 45

Span = tuple[dt.date, dt.date]


def season_dates(trip: Trip, asked: DatesAsked) -> tuple[tuple[dt.date, ...], str]:
    """Every date that is asked about, and in words where they come from.

    Left out, they are the open period of the season that holds the trip's date or lies next to it; where the file has
    none, the raised periods so and two weeks on both sides; else 45 days on both sides of the date; all of it as far as
    the months of the weather reach. With one end typed that end takes the place of the date.

    Raises
    ------
    InputError
        The last lies before the first, there are too many, or the sky or the weather is not known so far; or the words
        of the season mean no day near the date.
    """
    near = asked.first or asked.last or trip.about.date
    usual_first, usual_last, says = _usual_span(trip, asked, near)
    first, last = asked.first or usual_first, asked.last or usual_last
    if asked.first is not None and asked.last is not None:
        says = "as asked"
    elif asked.first is not None or asked.last is not None:
        says = f"as asked, and {says}"
    if problems := span_problems(first, last):
        raise InputError(problems)
    dates = tuple(first + dt.timedelta(days=days) for days in range((last - first).days + 1))
    both_typed = asked.first is not None and asked.last is not None
    reached = dates if both_typed else _in_the_months(trip, dates, near)
    if missing := _months_missing(trip, reached) or ([near.month] if not reached else []):
        raise TripError(trip.located(_months_problem(missing)))
    return reached, says if reached == dates else f"{says}, as far as the months of the file reach"


def open_dates(trip: Trip, dates: Sequence[dt.date]) -> tuple[dt.date, ...]:
    """Those of some dates on which the way is open.

    Raises
    ------
    TripError
        A period hangs on a day that a year does not have.
    """
    try:
        periods = [parse_period(words) for words in trip.season.open]
        return tuple(date for date in dates if not periods or any(period.contains(date) for period in periods))
    except SeasonRuleError as error:
        raise TripError(trip.located(Problem(str(error), key="season.open"))) from None


def _usual_span(trip: Trip, asked: DatesAsked, near: dt.date) -> tuple[dt.date, dt.date, str]:
    """The first and last date where none is typed, and what they stand on."""
    around = dt.timedelta(days=AROUND_DATE_DAYS)
    if trip.season.open:
        every = [span for each in _spans(trip, "open", near) for span in each]
        first, last = _nearest(every, asked, near)
        return first, last, f"the open period, {day_words(first)} to {day_words(last)}"
    if trip.season.raised:
        beside = dt.timedelta(days=AROUND_RAISED_DAYS)
        nearest = [_nearest(each, asked, near) for each in _spans(trip, "raised", near)]
        first, last = min(span[0] for span in nearest) - beside, max(span[1] for span in nearest) + beside
        if (last - first).days < MOST_DATES:
            return first, last, f"while the cables stand, and {AROUND_RAISED_DAYS} days before and after"
    return near - around, near + around, f"{AROUND_DATE_DAYS} days before and after {day_words(near)}"


def _nearest(every: Sequence[Span], asked: DatesAsked, near: dt.date) -> Span:
    """Of some spans the one that holds a date or lies next to it, on the right side of an end that is typed."""
    fitting = [
        span
        for span in every
        if (asked.first is None or span[1] >= asked.first) and (asked.last is None or span[0] <= asked.last)
    ]
    return min(fitting or every, key=lambda span: _apart_days(span, near))


def _months_missing(trip: Trip, dates: Sequence[dt.date]) -> list[int]:
    """The months of some dates of which the weather of the file says nothing; none where it gives no months at all."""
    given = {month.month for month in trip.weather.months}
    return [month for month in dict.fromkeys(date.month for date in dates) if given and month not in given]


def _in_the_months(trip: Trip, dates: Sequence[dt.date], near: dt.date) -> tuple[dt.date, ...]:
    """The run of dates, in months that are given, that holds a date or comes nearest to it."""
    known = [not _months_missing(trip, [date]) for date in dates]
    runs: list[list[dt.date]] = [[]]
    for date, is_known in zip(dates, known, strict=True):
        if is_known:
            runs[-1].append(date)
        elif runs[-1]:
            runs.append([])
    runs = [run for run in runs if run]
    nearest: list[dt.date] = min(runs, key=lambda run: _apart_days((run[0], run[-1]), near), default=[])
    return tuple(nearest)


def _months_problem(missing: Sequence[int]) -> Problem:
    names = ", ".join(MONTHS[month - 1].title() for month in missing)
    return Problem(
        f"the weather of some of these dates is not told: {names}",
        mend=f"add a [[weather.months]] with month = {missing[0]}, or ask for other dates with {FROM} and {TO}",
        key="weather.months",
    )


def _spans(trip: Trip, key: str, near: dt.date) -> list[list[Span]]:
    """Each period of the season in the years round a date; one that never comes about then is a problem."""
    found, problems = [], []
    for i, words in enumerate(getattr(trip.season, key)):
        try:
            of_period = list(spans(parse_period(words), range(near.year - 2, near.year + 3)))
        except SeasonRuleError as error:
            problems.append(Problem(str(error), read=words, key=f"season.{key}[{i}]"))
            continue
        found.append(of_period)
        if not of_period:
            what = f"this period does not come about in the years round {near.year}"
            problems.append(Problem(what, read=words, key=f"season.{key}[{i}]"))
    if problems:
        raise InputError([trip.located(problem) for problem in problems])
    return found


def _apart_days(span: Span, day: dt.date) -> tuple[int, dt.date]:
    """How far a day lies from a span, 0 inside; of two as far the earlier counts."""
    return max((span[0] - day).days, (day - span[1]).days, 0), span[0]
