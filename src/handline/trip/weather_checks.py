"""What must fit together in [weather], and in the horizons of the slab and of places."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from pydantic_core import PydanticCustomError

from handline.errors import Problem
from handline.trip.directions import Bearing
from handline.trip.key_lines import Place
from handline.trip.typed_parts import Found, Typed, amount, is_count, table, tables
from handline.trip.words import Day

_SAME_DEG = 1e-6


def _months_once(typed: Typed) -> Iterator[Found]:
    seen: set[int] = set()
    for i, month in tables(table(typed, "weather"), "months"):
        number = month.get("month")
        if not is_count(number):
            continue
        if number in seen:
            place: Place = ("weather", "months", i, "month")
            yield place, number, Problem("this month is given twice", mend="keep one of the two")
        seen.add(number)


def _month_of_the_day(typed: Typed) -> Iterator[Found]:
    months = [month.get("month") for _, month in tables(table(typed, "weather"), "months")]
    day = _date(table(typed, "trip").get("date"))
    if months and day is not None and all(map(is_count, months)) and day.month not in months:
        yield (
            ("weather", "months"),
            None,
            Problem(
                f"the month of the day is not among them: {day.month}",
                read=f"months {', '.join(str(month) for month in months)}",
                mend=f"add a [[weather.months]] with month = {day.month}",
            ),
        )


def _low_under_high(typed: Typed) -> Iterator[Found]:
    for i, month in tables(table(typed, "weather"), "months"):
        low_C, high_C = amount(month.get("low"), "temperature"), amount(month.get("high"), "temperature")
        if low_C is not None and high_C is not None and low_C > high_C:
            yield (
                ("weather", "months", i, "low"),
                month["low"],
                Problem("the mean low is above the mean high", allowed=f"at most {month['high']}"),
            )


def _horizons_have_each_bearing_once(typed: Typed) -> Iterator[Found]:
    owners: list[tuple[Place, Typed]] = [(("line",), table(typed, "line"))]
    owners += [(("waypoints", i), waypoint) for i, waypoint in tables(typed, "waypoints")]
    for place, owner in owners:
        seen: list[float] = []
        for i, part in tables(owner, "horizon"):
            bearing_deg = _bearing_deg(part.get("bearing"))
            if bearing_deg is None:
                continue
            if any(abs(bearing_deg - other) < _SAME_DEG for other in seen):
                where: Place = (*place, "horizon", i, "bearing")
                yield where, part["bearing"], Problem("this bearing is given twice", mend="keep one of the two")
            seen.append(bearing_deg)


def _one_word_on_the_rock(typed: Typed) -> Iterator[Found]:
    """A rock that is typed stands all day, so nothing about its drying counts."""
    weather = table(typed, "weather")
    if "rock" not in weather:
        return
    for key in ("drying_time", "meltwater"):
        if key in weather:
            yield (
                ("weather", key),
                weather[key],
                Problem(f"{key} does not count where the rock is typed", mend=f"leave {key} away, or rock"),
            )


def _bearing_deg(value: object) -> float | None:
    try:
        return Bearing().read(value)
    except PydanticCustomError:
        return None


def _date(value: object) -> date | None:
    try:
        return Day().read(value)
    except PydanticCustomError:
        return None


CHECKS: tuple[Callable[[Typed], Iterator[Found]], ...] = (
    _months_once,
    _month_of_the_day,
    _low_under_high,
    _horizons_have_each_bearing_once,
    _one_word_on_the_rock,
)
