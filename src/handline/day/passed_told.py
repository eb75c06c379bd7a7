"""Passings as the leader tells them: a place by its name and a time of day, as a passing of the plan and a clock."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from handline.day.simulation import Days
from handline.errors import InputError, Problem, unknown_choice
from handline.quantity import QuantityError, parse_clock, say_clock
from handline.route.unrolling import Point

AT, TIME = "--at", "--time"
DAY_S = 86400.0
_WITH_WAY = re.compile(r"(?P<name>.*\S)\s*\((?P<way>up|down)\)", re.IGNORECASE | re.DOTALL)


@dataclass(frozen=True)
class PassedAt:
    """The party came to a passing of the plan at a clock time [s after local midnight]; the first: when it left."""

    passing: int
    clock_s: float


def passings_told(
    points: Sequence[Point], planned: Days, at: Sequence[str], time: Sequence[str]
) -> tuple[PassedAt, ...]:
    """Places and times as typed, in pairs and in the order of the day.

    Of a place that is passed twice the first passing that is still to come counts, unless the name carries "(up)" or
    "(down)". A time of day is meant on the date on which it is nearest to when the party is there in the plan.

    Parameters
    ----------
    points : sequence of Point
        The passings of the plan.
    planned : Days
        The simulated days, from the start.
    at, time : sequences of str
        Names and times "HH:MM".

    Raises
    ------
    InputError
        Every unknown place, place out of order, time that is none, or passing that could be either way.
    """
    if not at or len(at) != len(time):
        raise InputError(
            Problem(
                "every place needs its time, and every time its place",
                read=f"{len(at)} {AT} and {len(time)} {TIME}",
                allowed="as many of one as of the other, one pair at least",
                mend=f'write {AT} "{points[0].name}" {TIME} 06:10, and again for the next',
                key=TIME if len(at) > len(time) else AT,
            )
        )
    problems: list[Problem] = []
    told: list[PassedAt] = []
    last = -1
    for name, text in zip(at, time, strict=True):
        passing = _passing(points, name, last, problems)
        time_of_day_s = _time_of_day_s(text, problems)
        last = last if passing is None else passing
        if passing is None or time_of_day_s is None:
            continue
        clock_s = _on_its_date_s(time_of_day_s, planned, passing)
        if (unclear := _either_way(points, planned, name, passing, time_of_day_s, text)) is not None:
            problems.append(unclear)
        told.append(PassedAt(passing, clock_s))
    if problems:
        raise InputError(problems)
    return tuple(told)


def order_problems(points: Sequence[Point], passed: Sequence[PassedAt], start_clock_s: float) -> list[Problem]:
    """What is wrong with passings that were told: none, not of this plan, before the start, or out of order."""
    if not passed:
        return [
            Problem("no passing was told", allowed="one at least", mend="say where the party is and since when", key=AT)
        ]
    strange = [one for one in passed if not (0 <= one.passing < len(points) and np.isfinite(one.clock_s))]
    if strange:
        return [Problem("this is no passing of the plan", read=str(one.passing), key=AT) for one in strange]
    problems = []
    if passed[0].passing > 0 and passed[0].clock_s <= start_clock_s:
        problems.append(
            Problem(
                "this is not after the planned start",
                read=f"{say_clock(passed[0].clock_s)} at {named(points, passed[0].passing)}",
                allowed=f"a time after {say_clock(start_clock_s)}",
                mend=f'if the party left at another time, say so first: {AT} "{points[0].name}" {TIME} HH:MM',
                key=TIME,
            )
        )
    for before, after in pairwise(passed):
        words = [f"{say_clock(one.clock_s)} at {named(points, one.passing)}" for one in (before, after)]
        read = f"{words[0]}, then {words[1]}"
        if after.passing <= before.passing:
            problems.append(Problem("places are not in the order of the day", read, mend="tell them in order", key=AT))
        elif after.clock_s <= before.clock_s:
            problems.append(
                Problem("times are not in the order of the day", read, "each later than the one before", key=TIME)
            )
    if passed[-1].passing == len(points) - 1:
        problems.append(
            Problem(
                "the day ends there, so nothing is left to plan",
                read=named(points, passed[-1].passing),
                allowed="a passing with some way still ahead",
                mend="hold a recorded track against the plan instead: handline review",
                key=AT,
            )
        )
    return problems


def named(points: Sequence[Point], passing: int) -> str:
    """The name of a passing, with its way where the place is passed more than once."""
    point = points[passing]
    twice = sum(other.name == point.name for other in points) > 1
    return f"{point.name} ({point.way})" if twice else point.name


def _passing(points: Sequence[Point], name: str, after: int, problems: list[Problem]) -> int | None:
    names = {point.name.lower() for point in points}
    wanted, way = name.strip(), None
    if wanted.lower() not in names and (match := _WITH_WAY.fullmatch(wanted)) is not None:
        wanted, way = match["name"], match["way"].lower()
    if wanted.lower() not in names:
        problems.append(unknown_choice("place", name, list(dict.fromkeys(point.name for point in points))).at(key=AT))
        return None
    all_of_it = [i for i, point in enumerate(points) if point.name.lower() == wanted.lower()]
    fitting = [i for i in all_of_it if way in (None, points[i].way)]
    ahead = [i for i in fitting if i > after]
    if ahead:
        return ahead[0]
    if not fitting:
        problems.append(
            Problem(
                "the plan does not pass this place that way",
                read=name,
                allowed=", ".join(named(points, i) for i in all_of_it),
                mend="leave the way out, or give the other",
                key=AT,
            )
        )
    else:
        problems.append(
            Problem(
                "this place is not passed again after the place before it",
                read=f"{name}, after {named(points, after)}",
                allowed=", ".join(dict.fromkeys(named(points, i) for i in range(after + 1, len(points)))) or "nothing",
                mend="tell the places in the order of the day",
                key=AT,
            )
        )
    return None


def _time_of_day_s(text: str, problems: list[Problem]) -> float | None:
    try:
        return parse_clock(text)
    except QuantityError as error:
        problems.append(Problem(str(error), read=text, key=TIME))
        return None


def _on_its_date_s(time_of_day_s: float, planned: Days, passing: int) -> float:
    """On the date on which it is nearest to when the party is there on its middle day: all night at a camp."""
    here_s = float(np.median(planned.arrive_clock_s[passing]))
    left_s = float(np.median(planned.leave_clock_s[passing])) if passing < len(planned.leave_clock_s) else here_s
    dates_s = time_of_day_s + DAY_S * np.arange(-2.0, 4.0)
    apart_s = np.maximum(np.maximum(here_s - dates_s, dates_s - left_s), 0.0)
    return float(dates_s[np.argmin(apart_s)])


def _either_way(
    points: Sequence[Point], planned: Days, name: str, passing: int, time_of_day_s: float, text: str
) -> Problem | None:
    """A time later than on any simulated day, at which the party would well be there again, and no way told."""
    if _WITH_WAY.fullmatch(name.strip()) is not None:
        return None
    again = [i for i in range(passing + 1, len(points)) if points[i].name == points[passing].name]
    if not again or _on_its_date_s(time_of_day_s, planned, passing) <= planned.arrive_clock_s[passing].max():
        return None
    if _on_its_date_s(time_of_day_s, planned, again[0]) < planned.arrive_clock_s[again[0]].min():
        return None
    return Problem(
        "this place is passed twice, and the time fits the second passing better than the first",
        read=f"{points[passing].name} at {text}",
        allowed=" or ".join(f'"{points[i].name} ({points[i].way})"' for i in (passing, *again)),
        mend="say which way the party was going",
        key=AT,
    )
