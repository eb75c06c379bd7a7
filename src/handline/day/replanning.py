"""The plan from here: the pace learned from the passings of today, and what it does to the rest of the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from handline.day.cautions import CAUTIONS
from handline.day.drawn_parts import at_pace, draw_parts, log_pace, put_together
from handline.day.latest import LATEST_DAYS
from handline.day.limits import chance_from
from handline.day.line_today import line_on, line_says
from handline.day.pace_posterior import PacePosterior, Stretch, learned_pace, moved_to, observed_stretches
from handline.day.passed_told import PassedAt, named, order_problems
from handline.day.plan import PROBABILITIES, RANGE
from handline.day.plan_field import LineSays
from handline.day.planning import Simulated
from handline.day.replan_report import ChanceNow, Course, CourseKey, Held, PaceToday, PassingAhead, Replan, StretchSeen
from handline.day.replan_words import LOST_FROM_SHARE, Bar, Decide, advise, limit_words, notes, pace_words
from handline.day.simulation import Floats
from handline.day.subjects import Setting
from handline.day.today_typed import StormToday, rock_all_day, storm_left, today_problems
from handline.day.turn_back import TurnRule
from handline.day.turning import From, Here, foot_of_line, go_on, latest_to_go_on_s, turn_at
from handline.errors import InputError
from handline.quantity import say_clock, show_share


@dataclass(frozen=True)
class Learned:
    """What today's passings say of the pace, and the days that are still possible from the last of them."""

    at: Here
    stretches: tuple[Stretch, ...]
    pace: PacePosterior
    prior_sigma: float


def replan(
    setting: Setting,
    simulated: Simulated,
    passed: Sequence[PassedAt],
    delay_s: float = 0.0,
    storm: StormToday | None = None,
    rock: str | None = None,
) -> Replan:
    """Plan the rest of the day from the last passing.

    Parameters
    ----------
    setting : Setting
    simulated : Simulated
        The days of its plan.
    passed : sequence of PassedAt
        The passings so far, in order; the last is where the party is. Passing 0 is when it left; without it the
        planned start counts.
    delay_s : float
        A stay at the last passing on top of the planned stop there [s].
    storm : StormToday, optional
        In place of the plan's storms.
    rock : str, optional
        The rock for the rest of the day, in place of the plan's.

    Raises
    ------
    InputError
        All that is wrong with what was told.
    """
    learned = learn(setting, simulated, passed, delay_s, storm, rock)
    at, points = learned.at, setting.route.points
    on = go_on(at)
    turns, why_no_turn = _turns(setting, at, on)
    ways: list[tuple[CourseKey, str, From]] = [("go on", "", on)]
    ways += [(key, points[turn].name, turn_at(at, turn, on)) for key, turn in turns]
    courses = tuple(_course(key, place, way) for key, place, way in ways)
    decide_at = _decide_at(at) if turns else None
    by_s = np.nan if decide_at is None else _turn_by_s(at, on, decide_at, setting.turn_rules)
    there_by = 0.0 if decide_at is None else float((on.days.arrive_clock_s[decide_at - at.here] <= by_s).mean())
    place = "" if decide_at is None else points[decide_at].name
    stretches = tuple(_stretch_seen(setting, stretch) for stretch in learned.stretches)
    line = line_on(line_says(setting), setting.rock.name if rock is None else rock)
    before_line, off_line = at.here <= foot_of_line(at.itinerary), at.here >= at.itinerary.off_line
    bar = Bar(line.rock, line.says, before_line) if line.barred and not off_line else None
    start_assumed_s = None if passed[0].passing == 0 else setting.trip.depart_clock_s
    return Replan(
        name=setting.trip.about.name,
        date=setting.trip.about.date.isoformat(),
        units=setting.trip.about.units,
        timezone=setting.timezone,
        at=named(points, at.here),
        clock_s=at.clock_s,
        delay_s=delay_s,
        wanted_chance=setting.limits.chance,
        advice=advise(courses, setting.limits.chance, Decide(place, by_s, there_by), bar, any_left=len(on.kept) > 1),
        chances=_chances(setting, simulated, on),
        courses=courses,
        ahead=tuple(_ahead(setting, simulated, on, at.here, i) for i in range(at.here + 1, len(points))),
        pace=_pace(learned, stretches),
        storm_says=setting.storm_says if storm is None else _storm_says(storm),
        rock_says="as in the plan" if rock is None else f"{rock} for the rest of the day, as typed",
        line_says="" if off_line else _line_says(line, bar, before_line),
        notes=tuple(notes(stretches, start_assumed_s, at.clock_s, storm is not None or rock is not None, why_no_turn)),
        cautions=CAUTIONS,
    )


def learn(
    setting: Setting,
    simulated: Simulated,
    passed: Sequence[PassedAt],
    delay_s: float = 0.0,
    storm: StormToday | None = None,
    rock: str | None = None,
) -> Learned:
    """The pace from today's passings, and the days of the plan at that pace; parameters and errors as ``replan``.

    What was passed is held against the plan's days with the plan's rock. Each day then walks the rest so much slower or
    faster that the days have the pace learned; waits, the line and the course of the weather stay as drawn.
    """
    about, itinerary = setting.trip.about, setting.itinerary
    problems = order_problems(setting.route.points, passed, setting.trip.depart_clock_s)
    problems += today_problems(delay_s, storm, rock)
    if problems:
        raise InputError(problems)
    parts = draw_parts(itinerary, simulated.draws.days, about.seed)
    if not np.allclose(put_together(itinerary, parts).movement_s, simulated.draws.movement_s, rtol=1e-9, atol=0.0):
        raise ValueError("simulated days are not those of this setting and its seed")
    here = passed[-1]
    begun = passed if passed[0].passing == 0 else (PassedAt(0, setting.trip.depart_clock_s), *passed)
    pace = log_pace(parts, here.passing)
    stretches = observed_stretches(itinerary, simulated.draws, pace, begun)
    posterior = learned_pace(pace, stretches)
    draws = put_together(itinerary, at_pace(parts, moved_to(posterior, pace)))
    if rock is not None:
        itinerary = replace(itinerary, rock=rock_all_day(rock))
        draws = replace(draws, member=np.zeros_like(draws.member))
    hazard = setting.storm if storm is None else storm_left(storm, here.clock_s)
    at = Here(itinerary, draws, setting.limits, hazard, here.passing, here.clock_s, delay_s)
    return Learned(at, stretches, posterior, float(pace.std()))


def _turns(setting: Setting, at: Here, on: From) -> tuple[list[tuple[CourseKey, int]], str]:
    """Where the party may turn from here on, and why not where it may not."""
    if not setting.trip.route.out_and_back:
        return [], "The way home is not the way up, so turning round is not worked out."
    if at.here >= at.itinerary.legs // 2:
        return [], ""
    foot = foot_of_line(at.itinerary)
    turns: list[tuple[CourseKey, int]] = [("turn here", at.here)]
    if at.here < foot:
        turns.append(("turn at the foot", foot))
    return turns, ""


def _decide_at(at: Here) -> int:
    """The next place at which it is decided again: the foot of the line, or past it the turning point."""
    foot = foot_of_line(at.itinerary)
    return foot if at.here < foot else at.itinerary.legs // 2


def _turn_by_s(at: Here, on: From, passing: int, rules: Sequence[TurnRule]) -> float:
    """The latest time at a passing ahead from which the limits are met as often as wanted, at today's pace.

    A rule of the party's own may be earlier.
    """
    few = at.draws.first(LATEST_DAYS)
    chance = partial(chance_from, at.limits, at.itinerary, few, at.storm, passing)
    first_s = float(on.days.arrive_clock_s[passing - at.here].min())
    own_s = [rule.after_clock_s for rule in rules if rule.passing == passing]
    return float(np.minimum(latest_to_go_on_s(chance, first_s, at.limits.chance), min(own_s, default=np.inf)))


# --- the parts of a Replan ---------------------------------------------------------------------------------------


def _course(key: CourseKey, place: str, way: From) -> Course:
    kept = way.kept["all"]
    low, middle, high = (float(value) for value in np.quantile(way.days.arrive_clock_s[-1], RANGE))
    return Course(key, place, float(kept.mean()), _error(kept), (low, middle, high))


def _error(kept: Floats) -> float:
    return float(kept.std() / np.sqrt(kept.size))


def _chances(setting: Setting, simulated: Simulated, on: From) -> tuple[ChanceNow, ...]:
    words = limit_words(setting.limits, list(on.kept))
    return tuple(
        ChanceNow(
            key=key,
            sentence=words[key],
            share=float(share.mean()),
            error=_error(share),
            planned_share=float(simulated.kept[key].mean()) if key in simulated.kept else None,
            wanted=setting.limits.chance,
        )
        for key, share in on.kept.items()
    )


def _ahead(setting: Setting, simulated: Simulated, on: From, here: int, passing: int) -> PassingAhead:
    point, arrive_s = setting.route.points[passing], on.days.arrive_clock_s[passing - here]
    latest_s = float(simulated.latest_clock_s[passing])
    by_latest = float((arrive_s <= latest_s).mean()) if np.isfinite(latest_s) else None
    return PassingAhead(
        name=point.name,
        kind=point.kind,
        way="up" if point.way == "up" else "down",
        planned_clock_s=float(np.median(simulated.days.arrive_clock_s[passing])),
        arrive_clock_s=tuple(float(value) for value in np.quantile(arrive_s, PROBABILITIES)),
        latest_clock_s=None if by_latest is None else latest_s,
        by_latest_share=by_latest,
        held=_held(by_latest, setting.limits.chance),
    )


def _held(by_latest: float | None, wanted: float) -> Held:
    if by_latest is None:
        return ""
    if by_latest >= wanted:
        return "held"
    return "lost" if by_latest < 1.0 - LOST_FROM_SHARE else "open"


def _stretch_seen(setting: Setting, stretch: Stretch) -> StretchSeen:
    points = setting.route.points
    return StretchSeen(
        start=named(points, stretch.first),
        end=named(points, stretch.last),
        took_s=stretch.took_s,
        learned_s=stretch.learned_s,
        middle_s=stretch.middle_s,
        shorter_share=stretch.shorter_share,
        slope=stretch.slope,
        noise_sigma=stretch.noise_sigma,
        tells=stretch.tells,
    )


def _pace(learned: Learned, stretches: tuple[StretchSeen, ...]) -> PaceToday:
    low, high = learned.pace.band()
    return PaceToday(
        factor=float(learned.pace.factor),
        low=float(low),
        high=float(high),
        prior_sigma=learned.prior_sigma,
        sigma=float(learned.pace.sigma),
        stretches=stretches,
        says=pace_words(learned.pace, stretches),
    )


def _line_says(line: LineSays, bar: Bar | None, before_line: bool) -> str:
    """What is told of the line beside the advice, which says why a line is barred; hands on the next way on it."""
    hands = line.hands_up if before_line else line.hands_down
    return " ".join(filter(None, ("" if bar else line.says, hands)))


def _storm_says(storm: StormToday) -> str:
    since = "" if storm.from_clock_s is None else f" from {say_clock(storm.from_clock_s)} on"
    return f"{show_share(storm.chance)} for the rest of the day{since}, as typed"
