"""What the leader sees today and types: a storm, the rock, a stay; in place of what the plan took for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from handline.day.passed_told import DAY_S
from handline.day.simulation import RockClock
from handline.errors import InputError, Problem, unknown_choice
from handline.line.friction import ROCKS
from handline.quantity import say_clock, show_share
from handline.weather.storms import MOST_STORM_CHANCE, StormHazard, storm_hazard

STORM, STORM_FROM, ROCK, DELAY = "--storm", "--storm-from", "--rock", "--delay"


@dataclass(frozen=True)
class StormToday:
    """The chance of a storm in what is left of the day, and from when on; usual hours where that is None."""

    chance: float
    from_clock_s: float | None = None


def today_problems(delay_s: float, storm: StormToday | None, rock: str | None) -> Iterator[Problem]:
    """What of it cannot be used."""
    if not (np.isfinite(delay_s) and 0.0 <= delay_s <= DAY_S):
        yield Problem("this is no stay", read=f"{delay_s:g} s", allowed="0 to 24 h", key=DELAY)
    if storm is not None and not 0.0 <= storm.chance <= MOST_STORM_CHANCE:
        yield Problem(
            "no chance of a storm is as low or high as that",
            read=f"{storm.chance:g}",
            allowed=f"0 to {show_share(MOST_STORM_CHANCE)}",
            key=STORM,
        )
    if storm is not None and storm.from_clock_s is not None and not 0.0 <= storm.from_clock_s < DAY_S:
        yield Problem(
            "this is no time of day", read=f"{storm.from_clock_s:g} s", allowed="00:00 to 23:59", key=STORM_FROM
        )
    if rock is not None and rock not in ROCKS:
        yield unknown_choice("state of the rock", rock, list(ROCKS)).at(key=ROCK)


def storm_left(storm: StormToday, now_clock_s: float) -> StormHazard:
    """The hazard that gives the chance typed between now and midnight, over the hours in which storms come.

    On the way to the camp of a night out, the day before, it is meant for the date of the line.

    Equation: H' = H (-ln(1 - p)) / (H(midnight) - H(now)), H being a usual day's hazard or one that starts as typed.

    Raises
    ------
    InputError
        No storm is usual any more before midnight, so the chance has no hour to lie in.
    """
    hazard = storm_hazard(MOST_STORM_CHANCE, storm.from_clock_s)
    midnight_s = max(np.floor(now_clock_s / DAY_S) + 1.0, 1.0) * DAY_S
    left = float(hazard.cumulative(midnight_s) - hazard.cumulative(now_clock_s))
    if storm.chance > 0.0 and left <= 0.0:
        raise InputError(
            Problem(
                f"storms are usually over by {say_clock(now_clock_s)}, so there is no telling when this one begins",
                read=show_share(storm.chance),
                mend=f"say from when on: {STORM_FROM} HH:MM",
                key=STORM,
            )
        )
    scale = -np.log1p(-storm.chance) / left if storm.chance > 0.0 else 0.0
    return StormHazard(hazard.clock_s, hazard.hazard * scale)


def rock_all_day(rock: str) -> RockClock:
    """The rock as typed, at every hour."""
    return RockClock(0.0, np.array([[list(ROCKS).index(rock)]], np.int8))
