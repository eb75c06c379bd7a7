"""When a recorded party came to each place of the plan, and when it went on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from handline.day.way_matched import Course, Floats
from handline.route.unrolling import Point

# Common practice, no source: people rest near a place, not on it.
REACH_M = 60.0
NARROWEST_M = 10.0
# So much of a line at either end is left out where its pace is read.
LINE_EDGE = 1.0 / 6.0
# Without a signal for longer than this, nobody knows when the party passed what lies between.
UNSEEN_S = 10 * 60.0

Missing = Literal["", "before it began", "after it ended", "turned back before", "not recorded there"]


@dataclass(frozen=True)
class Stand:
    """A time in which the party stood still [s since 1970, UTC]."""

    start_s: float
    end_s: float


@dataclass(frozen=True)
class Passed:
    """One passing of the plan in the recording, both times [s since 1970, UTC]; NaN where ``missing`` says why."""

    arrive_s: float
    leave_s: float
    missing: Missing = ""

    @property
    def found(self) -> bool:
        return not self.missing

    @property
    def stood_s(self) -> float:
        """How long the party stood there [s]."""
        return self.leave_s - self.arrive_s


def passings_found(
    course: Course, points: Sequence[Point], stands: Sequence[Stand], on_line: Sequence[bool]
) -> tuple[Passed, ...]:
    """When the recorded party passed each point of the plan.

    A party arrives when it comes to the place, or when it first stands still within 60 m of it (a sixth of the way to
    the next place where that is nearer: foot and head of a line may be neighbours), and leaves when it last does. On a
    line people go so slowly that it looks like standing: there the ends follow from the pace of its middle two thirds.

    Parameters
    ----------
    course : Course
        The recording along the way.
    points : sequence of Point
        The plan's passings, in order.
    stands : sequence of Stand
        Where the recording stood still.
    on_line : sequence of bool
        Whether the way from each point to the next is the fixed line.

    Returns
    -------
    tuple of Passed, one a point
    """
    at_m = np.array([point.distance_m for point in points])
    reach_m = _reach_m(at_m)
    crossed = [_crossed(course, float(at), float(reach)) for at, reach in zip(at_m, reach_m, strict=True)]
    rows = [
        Passed(np.nan, np.nan, cross)
        if isinstance(cross, str)
        else _stayed(course, cross, float(at), float(reach), stands)
        for cross, at, reach in zip(crossed, at_m, reach_m, strict=True)
    ]
    for j in np.flatnonzero(on_line):
        if rows[j].found and rows[j + 1].found and at_m[j + 1] > at_m[j]:
            rows[j], rows[j + 1] = _line_ends(course, rows[j], rows[j + 1], float(at_m[j]), float(at_m[j + 1]))
    return _one_after_the_other(rows)


def _one_after_the_other(rows: list[Passed]) -> tuple[Passed, ...]:
    """The passings so that nobody leaves a place after coming to the next, where few points leave that open."""
    ordered = list(rows)
    for i in range(len(rows) - 2, -1, -1):
        here, there = ordered[i], ordered[i + 1]
        if here.found and there.found:
            ordered[i] = replace(
                here, arrive_s=min(here.arrive_s, there.arrive_s), leave_s=min(here.leave_s, there.arrive_s)
            )
    return tuple(ordered)


def _reach_m(at_m: Floats) -> Floats:
    """How far from each place standing still counts as standing there [m]."""
    apart = np.diff(at_m)
    apart = np.where(apart > 0.0, apart, np.inf)
    nearest = np.minimum(np.append(apart, np.inf), np.append(np.inf, apart))
    return np.clip(nearest / 6.0, NARROWEST_M, REACH_M)


def _crossed(course: Course, at_m: float, reach_m: float) -> float | Missing:
    """When the course comes to a distance along the way, or why it is not known."""
    along, time_s = course.distance_m, course.time_s
    if at_m < along[0] - REACH_M:
        return "before it began"
    if at_m > along[-1] + REACH_M:
        return "after it ended"
    i = int(np.searchsorted(along, at_m))
    if i == 0:
        return float(time_s[0])
    if i == along.size:
        return float(time_s[-1])
    before_m, after_m = at_m - along[i - 1], along[i] - at_m
    if i in course.leaps:
        # A party that turns just short of a place was there; one that leaps over it was not.
        if min(before_m, after_m) > REACH_M:
            return "turned back before" if course.turned_round(i) else "not recorded there"
        return float(time_s[i - 1] if before_m <= after_m else time_s[i])
    if time_s[i] - time_s[i - 1] > UNSEEN_S and min(before_m, after_m) > max(reach_m, NARROWEST_M):
        return "not recorded there"
    share = before_m / (before_m + after_m) if before_m + after_m > 0.0 else 0.0
    return float(time_s[i - 1] + share * (time_s[i] - time_s[i - 1]))


def _stayed(course: Course, crossed_s: float, at_m: float, reach_m: float, stands: Sequence[Stand]) -> Passed:
    """The passing with every stand near it."""
    inside = np.flatnonzero(np.abs(course.distance_m - at_m) <= reach_m)
    if not inside.size:
        return Passed(crossed_s, crossed_s)
    first, last = int(inside[0]), int(inside[-1])
    in_s = min(crossed_s, float(course.time_s[first]))
    # The party is still there until the next point, which is past the place.
    out_s = max(crossed_s, float(course.time_s[min(last + 1, course.time_s.size - 1)]))
    near = list(clipped(stands, in_s, out_s))
    if not near:
        return Passed(crossed_s, crossed_s)
    return Passed(min(crossed_s, near[0].start_s), max(crossed_s, near[-1].end_s))


def _line_ends(course: Course, here: Passed, there: Passed, start_m: float, end_m: float) -> tuple[Passed, Passed]:
    """The passings at both ends of a line, such that all of it is passed at the pace of its middle part."""
    edge_m = (end_m - start_m) * LINE_EDGE
    first_s, last_s = _time_at_s(course, start_m + edge_m), _time_at_s(course, end_m - edge_m)
    edge_s = (last_s - first_s) * LINE_EDGE / (1.0 - 2.0 * LINE_EDGE)
    leave_s = max(here.arrive_s, first_s - edge_s)
    arrive_s = max(leave_s, last_s + edge_s)
    return replace(here, leave_s=leave_s), replace(there, arrive_s=arrive_s, leave_s=max(arrive_s, there.leave_s))


def _time_at_s(course: Course, at_m: float) -> float:
    """When the course goes on past a distance along the way [s]."""
    i = int(np.searchsorted(course.distance_m, at_m, side="right"))
    if i in (0, course.distance_m.size):
        return float(course.time_s[min(i, course.time_s.size - 1)])
    before_m, after_m = at_m - course.distance_m[i - 1], course.distance_m[i] - at_m
    return float(course.time_s[i - 1] + before_m / (before_m + after_m) * (course.time_s[i] - course.time_s[i - 1]))


def clipped(stands: Sequence[Stand], start_s: float, end_s: float) -> Iterator[Stand]:
    """The parts of the stands that lie between two times."""
    for stand in stands:
        inside = Stand(max(stand.start_s, start_s), min(stand.end_s, end_s))
        if inside.end_s > inside.start_s:
            yield inside


def stood_between(stands: Sequence[Stand], start_s: float, end_s: float) -> float:
    """How long the party stood still between two times [s]."""
    return sum(stand.end_s - stand.start_s for stand in clipped(stands, start_s, end_s))
