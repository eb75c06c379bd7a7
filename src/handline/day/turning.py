"""The ways from here: on to the end, or round at some place and home the way the party came."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from handline.day.limits import DayLimits, kept_share
from handline.day.simulation import Days, Draws, Floats, Itinerary, walk
from handline.weather.storms import StormHazard

# In which steps the latest time to go on is looked for, and how far.
LOOK_S, LOOK_STEPS_S = 24 * 3600.0, (600.0, 60.0)


@dataclass(frozen=True)
class Here:
    """Where the party is: it came to passing ``here`` at ``clock_s``, and stays ``delay_s`` on top of its stop.

    ``draws`` are those of the days still possible, at the pace learned. No storm had begun by ``clock_s``.
    """

    itinerary: Itinerary
    draws: Draws
    limits: DayLimits
    storm: StormHazard
    here: int
    clock_s: float
    delay_s: float = 0.0


@dataclass(frozen=True)
class From:
    """The days from here, the first arrival being the one here, and how surely each keeps each limit."""

    days: Days
    kept: Mapping[str, Floats]


def foot_of_line(itinerary: Itinerary) -> int:
    """The passing at which the party first stands before the line."""
    return next(j for j, line_leg in enumerate(itinerary.line_legs) if line_leg is not None)


def go_on(at: Here) -> From:
    """On as planned. A storm during the delay counts: the arrival stays where it was."""
    walked = walk(at.itinerary, at.draws, np.array([at.clock_s + at.delay_s]), first=at.here)
    days = Days((np.full(at.draws.days, at.clock_s), *walked.arrive_clock_s[1:]), walked.leave_clock_s)
    return From(days, kept_share(at.limits, at.itinerary, days, at.storm, at.here))


def turn_at(at: Here, turn: int, on: From) -> From:
    """On to passing ``turn`` of the way up, and from there home by the passings of the way down.

    Turning here is turning at once, without the delay; the stop at the place is made all the same. The day out and
    back has the same passings both ways, so that passing i of the way up is ``legs - i`` on the way down. The way down
    is walked as tired as after the whole way up: a little too slow.

    Who turns before the line was never on it, and keeps its limits.
    """
    back = at.itinerary.legs - turn
    at_turn_s = np.full(at.draws.days, at.clock_s) if turn == at.here else on.days.arrive_clock_s[turn - at.here]
    home = walk(at.itinerary, at.draws, at_turn_s, first=back)
    days = Days((np.full(at.draws.days, at.clock_s), *home.arrive_clock_s[1:]), home.leave_clock_s)
    limits = at.limits
    if turn <= foot_of_line(at.itinerary):
        limits = replace(limits, off_line_before_storm=False, off_line_by_clock_s=None)
    return From(days, kept_share(limits, at.itinerary, days, at.storm, back))


def latest_to_go_on_s(chance: Callable[[Floats], Floats], first_clock_s: float, wanted: float) -> float:
    """The last minute, from the first arrival on, before the chance first falls under the wanted one.

    NaN where it is under it from the start, infinite where it does not fall within 24 hours. What comes after the fall
    is not looked at, as for the latest passing times of the plan.
    """
    begin_s, end_s = float(np.floor(first_clock_s / 60.0)) * 60.0, first_clock_s + LOOK_S
    for step_s in LOOK_STEPS_S:
        clock_s = np.arange(begin_s, end_s + 1.0, step_s)
        missed = np.flatnonzero(chance(clock_s) < wanted)
        if not missed.size:
            return float("inf")
        if missed[0] == 0:
            return float("nan")
        begin_s, end_s = float(clock_s[missed[0] - 1]), float(clock_s[missed[0]])
    return begin_s
