"""What ``handline replan`` is asked with, as typed: places and times, a stay, a storm, the rock; and the answer."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from handline.day.passed_told import PassedAt, order_problems, passings_told
from handline.day.planning import Simulated, simulate
from handline.day.replan_report import Replan
from handline.day.replanning import replan
from handline.day.setting import set_up
from handline.day.subjects import Setting
from handline.day.today_typed import DELAY, ROCK, STORM, STORM_FROM, StormToday
from handline.day.told import Told
from handline.day.typed_options import amount
from handline.errors import InputError, Problem, unknown_choice
from handline.line.friction import ROCKS
from handline.quantity import show_share
from handline.trip.amount import Amount, Clock, Share
from handline.trip.model import Trip
from handline.weather.storms import MOST_STORM_CHANCE

_DELAY = Amount("duration", "0 min", "24 h")
_CHANCE = Share(0.0, MOST_STORM_CHANCE)
# A share without a per cent sign, as a trip file has it without quotes.
_BARE_SHARE = re.compile(r"\s*(?:[01]|[01]?\.\d{1,15})\s*")


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
    try:
        passed = passings_told(points, simulated.days, asking.at, asking.time)
    except InputError as error:
        problems += error.problems
        return ()
    problems += order_problems(points, passed, setting.trip.depart_clock_s)
    return passed
