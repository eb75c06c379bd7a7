"""When to leave and where to turn back, and in words why there is no time to give."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.plan import NO_TIME, NOT_FROM_THIS_START, Passing, Plan
from handline.quantity import say_clock


@dataclass(frozen=True)
class Turn:
    """A place and the latest time there: ``clock``, or ``why`` there is none; the other is empty."""

    at: str
    clock: str
    why: str


def leave_by(plan: Plan) -> Turn:
    """The latest start: from the trailhead, or from the camp after a night out."""
    start = plan.timetable[0]
    at = plan.decision.night_at or start.name
    return _turn(at, start, plan.decision.leave_by_clock_s, "no start meets the limits")


def turns(plan: Plan) -> tuple[Turn, ...]:
    """Where and when to turn back: the foot of the line, then the top; nothing beyond where the start is too late."""
    decision = plan.decision
    places = {decision.turn_back_at: decision.turn_back_clock_s, decision.top_at: decision.top_clock_s}
    passings = {passing.name: passing for passing in plan.timetable if passing.way == "up"}
    found: list[Turn] = []
    for at, clock_s in places.items():
        passing = passings.get(at)
        if clock_s is None and passing is not None and passing.latest_says == NOT_FROM_THIS_START:
            late = f"leaving at {say_clock(decision.start_clock_s)} you are too late at {at}"
            return (*found, Turn(at, "", late))
        found.append(_turn(at, passing, clock_s, f"no time at {at} meets the limits"))
    return tuple(found)


def _turn(at: str, passing: Passing | None, clock_s: float | None, none_meets: str) -> Turn:
    if clock_s is not None:
        return Turn(at, say_clock(clock_s), "")
    says = passing.latest_says if passing else ""
    return Turn(at, "", none_meets if says in ("", NO_TIME) else says)
