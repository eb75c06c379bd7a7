"""What ``handline dates`` is asked with, read and refused as a trip file is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from pydantic_core import PydanticCustomError

from handline.choose.date_pieces import NIGHT, PUSH, WAYS
from handline.day.file_checks import subject_problems
from handline.day.night_setting import camp_of
from handline.day.typed_options import amount, whole
from handline.errors import InputError, Problem, unknown_choice
from handline.quantity import show_clock, show_duration
from handline.route.route import Route
from handline.sky.ephemeris import FIRST_DATE, LAST_DATE
from handline.trip.amount import Amount, Clock, Number
from handline.trip.key_lines import Place
from handline.trip.model import Trip
from handline.trip.problems import as_typed
from handline.trip.words import Day

FROM, TO, NIGHTS_OR_NOT = "--from", "--to", "--ways"
FIRST_START, LAST_START, STEP, DAYS, WORKERS = "--first-start", "--last-start", "--step", "--days", "--workers"
USUAL_DAYS, FEWEST_DAYS, MOST_DAYS = 500, 100, 20_000
USUAL_FIRST_S, USUAL_LAST_S, USUAL_STEP_S = 0.0, 11 * 3600.0 + 40 * 60.0, 20 * 60.0
MOST_DATES, MOST_STARTS = 400, 300

_STEP = Amount("duration", "1 min", "6 h")
_DAYS = Number(
    FEWEST_DAYS, MOST_DAYS, whole=True, few="fewer days tell too little of a chance", many="more tell no more"
)
_WORKERS = Number(1, 1000, whole=True)
# The night before and the days after a date are looked at too.
_SKY_FROM, _SKY_TO = FIRST_DATE + dt.timedelta(days=3), LAST_DATE - dt.timedelta(days=5)


@dataclass(frozen=True)
class DatesAsking:
    """The options as typed; None is as is usual."""

    first: str | None = None
    last: str | None = None
    ways: str | None = None
    first_start: str | None = None
    last_start: str | None = None
    step: str | None = None
    days: str | None = None
    workers: str | None = None
    dask: str | None = None


@dataclass(frozen=True)
class DatesAsked:
    """What was asked: ``first`` and ``last`` date or None, ways or none typed, starts on the clock [s], days a start.

    ``workers`` are processes, all cores where None; ``dask`` the address of a cluster to use instead.
    """

    first: dt.date | None = None
    last: dt.date | None = None
    ways: tuple[str, ...] = ()
    start_clock_s: tuple[float, ...] = ()
    days: int = USUAL_DAYS
    workers: int | None = None
    dask: str | None = None


def asked_dates(typed: DatesAsking) -> DatesAsked:
    """The options of ``handline dates`` as typed, read.

    Raises
    ------
    InputError
        Everything that cannot be used, each with its option.
    """
    problems: list[Problem] = []
    asked = DatesAsked(
        first=_day(FROM, typed.first, problems),
        last=_day(TO, typed.last, problems),
        ways=_ways(typed.ways, problems),
        start_clock_s=_starts(typed, problems),
        days=whole(DAYS, typed.days, _DAYS, problems) or USUAL_DAYS,
        workers=whole(WORKERS, typed.workers, _WORKERS, problems),
        dask=typed.dask,
    )
    if asked.workers is not None and asked.dask is not None:
        problems.append(
            Problem("a cluster has as many workers as it has", mend=f"leave {WORKERS} or --dask", key=WORKERS)
        )
    if asked.first is not None and asked.last is not None:
        problems += span_problems(asked.first, asked.last)
    if problems:
        raise InputError(problems)
    return asked


def dates_problems(typed: Mapping[str, Any]) -> Iterator[tuple[Place, Problem]]:
    """What the subjects refuse in a file as typed; but its date may be closed, for others are asked about."""
    return ((place, problem) for place, problem in subject_problems(typed) if place != ("trip", "date"))


def ways_asked(trip: Trip, route: Route, asked: DatesAsked) -> tuple[str, ...]:
    """The ways to look at: those asked, else one push, and a night out where the way has a camp.

    Raises
    ------
    InputError
        A night out is asked about, and there is no camp.
    """
    camp, says = camp_of(trip, route)
    if not asked.ways:
        return WAYS if camp is not None else (PUSH,)
    if NIGHT in asked.ways and camp is None:
        raise InputError(Problem("there is no camp for a night out", mend=says, key=NIGHTS_OR_NOT))
    return tuple(way for way in WAYS if way in asked.ways)


# --- reading options -----------------------------------------------------------------------------------------------


def _day(option: str, text: str | None, problems: list[Problem]) -> dt.date | None:
    if text is None:
        return None
    try:
        return Day().read(text.strip())
    except PydanticCustomError as error:
        refused: Problem = (error.context or {})["problem"]
        problems.append(Problem(refused.what, as_typed(text), refused.allowed, refused.mend, key=option))
        return None


def _ways(text: str | None, problems: list[Problem]) -> tuple[str, ...]:
    if text is None:
        return ()
    ways = tuple(word.strip().lower() for word in text.split(","))
    for way in dict.fromkeys(ways):
        if way not in WAYS:
            problems.append(unknown_choice("way", way[:80], list(WAYS)).at(key=NIGHTS_OR_NOT))
    return ways


def _starts(typed: DatesAsking, problems: list[Problem]) -> tuple[float, ...]:
    before = len(problems)
    first_s = amount(FIRST_START, typed.first_start, Clock(), problems)
    last_s = amount(LAST_START, typed.last_start, Clock(), problems)
    step_s = amount(STEP, typed.step, _STEP, problems) or USUAL_STEP_S
    if len(problems) > before:
        return ()
    first_s = USUAL_FIRST_S if first_s is None else first_s
    last_s = USUAL_LAST_S if last_s is None else last_s
    if last_s < first_s:
        problems.append(
            Problem(
                "the last start is before the first",
                read=f"{show_clock(first_s)} to {show_clock(last_s)}",
                mend=f"give both, {FIRST_START} and {LAST_START}",
                key=LAST_START if typed.last_start is not None else FIRST_START,
            )
        )
        return ()
    count = int((last_s - first_s) / step_s + 1e-9) + 1
    if count > MOST_STARTS:
        problems.append(
            Problem(
                f"that makes {count:,} starts a day",
                read=show_duration(step_s),
                allowed=f"at most {MOST_STARTS}",
                mend="take a longer step",
                key=STEP,
            )
        )
        return ()
    return tuple(first_s + step_s * number for number in range(count))


def span_problems(first: dt.date, last: dt.date) -> list[Problem]:
    count = (last - first).days + 1
    if count < 1:
        return [
            Problem(
                "the last date lies before the first",
                read=f"{first} to {last}",
                mend=f"give both, {FROM} and {TO}",
                key=TO,
            )
        ]
    problems = []
    if count > MOST_DATES:
        problems.append(
            Problem(
                f"that makes {count:,} dates",
                read=f"{first} to {last}",
                allowed=f"at most {MOST_DATES}",
                mend="ask for one season",
                key=TO,
            )
        )
    for option, date in ((FROM, first), (TO, last)):
        if not _SKY_FROM <= date <= _SKY_TO:
            problems.append(
                Problem(
                    "no sun and moon are known for this date",
                    read=str(date),
                    allowed=f"{_SKY_FROM} to {_SKY_TO}",
                    mend="check the year",
                    key=option,
                )
            )
    return problems


def parted(dates: Sequence[dt.date], most: int) -> Iterable[tuple[dt.date, ...]]:
    """Dates in a row, cut into even pieces of at most so many."""
    pieces = -(-len(dates) // most)
    bounds = [round(number * len(dates) / pieces) for number in range(pieces + 1)]
    return (tuple(dates[low:high]) for low, high in pairwise(bounds))
