"""What if the party started at another time, or on another date: the trip as if its file said so."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from pydantic_core import PydanticCustomError

from handline.day.line_what_if import Change
from handline.errors import InputError, Problem
from handline.quantity import show_clock
from handline.trip.amount import Clock
from handline.trip.model import Trip

START, DATE = "start", "date"


@dataclass(frozen=True)
class DayWhatIf:
    """What is asked in place of what the file says, as typed; None is as the file has it."""

    start: str | None = None
    date: str | None = None


def with_day(trip: Trip, what_if: DayWhatIf) -> tuple[Trip, tuple[Change, ...]]:
    """The trip as if its file said otherwise, and what was changed.

    After a night out the start is that from the camp.

    Raises
    ------
    InputError
        Everything that cannot be used.
    """
    problems: list[Problem] = []
    start_s, day = _start_s(what_if.start, problems), _date(what_if.date, problems)
    if problems:
        raise InputError(problems)
    changes: list[Change] = []
    updates: dict[str, Any] = {}
    about: dict[str, Any] = {}
    if start_s is not None and start_s != trip.morning_clock_s:
        changes.append(Change(START, f"a start at {show_clock(start_s)}", show_clock(trip.morning_clock_s)))
        if trip.night.out:
            updates["night"] = trip.night.model_copy(update={"start_clock_s": start_s})
        else:
            about["start_clock_s"] = start_s
    if day is not None and day != trip.about.date:
        changes.append(Change(DATE, f"on {day.isoformat()}", trip.about.date.isoformat()))
        about["date"] = day
    if about:
        updates["about"] = trip.about.model_copy(update=about)
    return (trip.model_copy(update=updates) if updates else trip), tuple(changes)


def _start_s(typed: str | None, problems: list[Problem]) -> float | None:
    if typed is None:
        return None
    try:
        return Clock().read(typed.strip())
    except PydanticCustomError as error:
        refused: Problem = (error.context or {})["problem"]
        problems.append(Problem(refused.what, typed[:80], refused.allowed, refused.mend, key=START))
        return None


def _date(typed: str | None, problems: list[Problem]) -> date | None:
    if typed is None:
        return None
    try:
        return date.fromisoformat(typed.strip())
    except ValueError:
        problems.append(
            Problem("this is not a date", typed[:80], allowed="year-month-day, such as 2027-07-17", key=DATE)
        )
        return None
