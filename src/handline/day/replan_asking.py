"""What ``handline replan`` is asked with, as typed: places and times, a stay, a storm, the rock; and the answer."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from handline.day.passed_told import AT, PassedAt, named, order_problems, passings_told
from handline.day.planning import Simulated, simulate
from handline.day.replan_report import Replan
from handline.day.replanning import replan
from handline.day.setting import set_up
from handline.day.subjects import Setting
from handline.day.today_typed import DELAY, ROCK, STORM, STORM_FROM, StormToday
from handline.day.told import Told
from handline.day.typed_options import amount
from handline.errors import InputError, Problem, near_miss, unknown_choice
from handline.line.friction import ROCKS
from handline.quantity import show_share
from handline.route.unrolling import Point
from handline.trip.amount import Amount, Clock, Share
from handline.trip.model import Trip
from handline.weather.storms import MOST_STORM_CHANCE

_DELAY = Amount("duration", "0 min", "24 h")
_CHANCE = Share(0.0, MOST_STORM_CHANCE)
# A share without a per cent sign, as a trip file has it without quotes.
_BARE_SHARE = re.compile(r"\s*(?:[01]|[01]?\.\d{1,15})\s*")
_WAY = re.compile(r"\s*\((start|up|down)\)$")


@dataclass(frozen=True)
class Asking:
    """The options as typed; ``at`` and ``time`` are pairs in the order of the day, None is as in the plan."""

    at: Sequence[str]
    time: Sequence[str]
    delay: str | None = None
    storm: str | None = None
    storm_from: str | None = None
    rock: str | None = None


@dataclass(frozen=True)
class Today:
    """What is other than planned, read: a stay [s], a storm, the rock; None is as in the plan."""

    delay_s: float = 0.0
    storm: StormToday | None = None
    rock: str | None = None


def replan_asked(trip: Trip, asking: Asking, told: Told = lambda what, share: None) -> Replan:
    """Plan the rest of the day of a trip from what was typed.

    Parameters
    ----------
    trip : Trip
    asking : Asking
    told : callable
        Told of the progress; may raise to stop the work.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with.
    InputError
        Every option that cannot be used, all at once.
    """
    problems: list[Problem] = []
    today = today_asked(asking, problems)
    told("Reading the way", 0.0)
    setting = set_up(trip, told)
    simulated = simulate(setting, told)
    passed = _passed(setting, simulated, asking, problems)
    if problems:
        raise InputError(problems)
    told("Planning the rest of the day", 0.0)
    return replan(setting, simulated, passed, today.delay_s, today.storm, today.rock)


def today_asked(asking: Asking, problems: list[Problem]) -> Today:
    """The stay, the storm and the rock; adds a Problem for each that cannot be used."""
    delay_s = amount(DELAY, asking.delay, _DELAY, problems)
    chance = _storm_chance(asking.storm, problems)
    from_clock_s = amount(STORM_FROM, asking.storm_from, Clock(), problems)
    if asking.storm_from is not None and asking.storm is None:
        what = "this says when a storm may begin, but not how likely one is"
        problems.append(Problem(what, read=asking.storm_from, mend=f'add {STORM} "60 %"', key=STORM_FROM))
    rock = None if asking.rock is None else asking.rock.strip().lower()
    if rock is not None and rock not in ROCKS:
        problems.append(unknown_choice("state of the rock", rock[:80], list(ROCKS)).at(key=ROCK))
    storm = None if chance is None else StormToday(chance, from_clock_s)
    return Today(0.0 if delay_s is None else delay_s, storm, rock)


def _storm_chance(text: str | None, problems: list[Problem]) -> float | None:
    refused: list[Problem] = []
    chance = amount(STORM, text, _StormChance(), refused)
    most = f'"{show_share(MOST_STORM_CHANCE)}"'
    mend = f"write {most} for a storm that is all but sure; once one has begun, these chances do not hold"
    problems += [problem if problem.mend else replace(problem, mend=mend) for problem in refused]
    return chance


class _StormChance:
    """A chance of a storm as an option: a percentage, or a bare share, which a command line cannot tell from text."""

    def read(self, value: object) -> float:
        bare = isinstance(value, str) and _BARE_SHARE.fullmatch(value) is not None
        return _CHANCE.read(float(str(value)) if bare else value)


def _passed(setting: Setting, simulated: Simulated, asking: Asking, problems: list[Problem]) -> tuple[PassedAt, ...]:
    """The passings; adds what cannot be used of them, so that it is told along with the other options."""
    points = setting.route.points
    unclear: list[Problem] = []
    at = places_meant(points, asking.at, unclear) if len(asking.at) == len(asking.time) else asking.at
    problems += unclear
    try:
        passed = passings_told(points, simulated.days, at, asking.time)
    except InputError as error:
        problems += [_unknown(points, one) if one.what == _UNKNOWN else one for one in error.problems]
        return ()
    if not unclear:
        problems += order_problems(points, passed, setting.trip.depart_clock_s)
    return passed


# --- the names of places -------------------------------------------------------------------------------------------

_UNKNOWN = unknown_choice("place", "", ()).what


def places_meant(points: Sequence[Point], typed: Sequence[str], problems: list[Problem]) -> list[str]:
    """Names as typed, those that the tables print among them, each with the way that is meant.

    A name without a way is plain where the order of the places leaves it one passing. The end of the day leaves nothing
    to plan: the name of a start that is also the end means the start.

    Parameters
    ----------
    points : sequence of Point
        The passings of the plan.
    typed : sequence of str
        In the order of the day.
    problems : list of Problem
        Gets one for each name that can be either way; such a name is given back as the first that it can mean.
    """
    found = [_passings_of(points, name) for name in typed]
    meant = []
    for name, left in zip(typed, _left_by_order(found), strict=True):
        usual = left[:-1] if len(left) > 1 and left[-1] == len(points) - 1 else left
        if len({points[i].way for i in usual}) > 1:
            problems.append(
                Problem(
                    "this place is passed twice, and the order of the places does not say which is meant",
                    read=name,
                    allowed=" or ".join(f'"{_label(points, i)}"' for i in usual),
                    mend="say which way the party was going",
                    key=AT,
                )
            )
            name = named(points, usual[0])
        elif _is_start(points, name):
            name = named(points, 0)
        meant.append(name)
    return meant


def _passings_of(points: Sequence[Point], name: str) -> list[int]:
    """The passings that a name can mean: all of a place, or those that way; none where it is unknown."""
    wanted = _bare(name)
    whole = [i for i, point in enumerate(points) if point.name.lower() == wanted]
    if whole:
        return whole
    return (
        [0] if _is_start(points, name) else [i for i, p in enumerate(points) if f"{p.name} ({p.way})".lower() == wanted]
    )


def _left_by_order(found: Sequence[Sequence[int]]) -> list[list[int]]:
    """Of the passings each name can mean those that leave room for the names before and after it."""
    earliest, latest = [-1], [math.inf]
    for of_name in found:
        earliest.append(min((i for i in of_name if i > earliest[-1]), default=earliest[-1]))
    for of_name in reversed(found):
        latest.append(max((i for i in of_name if i < latest[-1]), default=latest[-1]))
    after = latest[-2::-1]
    return [[i for i in one if earliest[k] < i < after[k]] for k, one in enumerate(found)]


def _unknown(points: Sequence[Point], problem: Problem) -> Problem:
    """That a place is unknown, with the names as the tables print them."""
    guess = near_miss((problem.read or "")[:80], [point.name for point in points])
    near = [f'"{_label(points, i)}"' for i, point in enumerate(points) if point.name == guess]
    return replace(
        problem,
        allowed=", ".join(_label(points, i) for i in range(len(points))),
        mend=f"did you mean {' or '.join(near)}?" if near else problem.mend,
    )


def _label(points: Sequence[Point], passing: int) -> str:
    """A passing as the tables print it."""
    point = points[passing]
    return f"{point.name} ({point.way if passing else 'start'})"


def _is_start(points: Sequence[Point], name: str) -> bool:
    return _bare(name) == _label(points, 0).lower()


def _bare(name: str) -> str:
    return _WAY.sub(r" (\1)", name.strip().lower())
