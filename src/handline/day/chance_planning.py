"""The chances of a Plan turned over: by start, by what fails first, by what moves them, by what spreads the day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from handline.day.chance_moves import chance_moves, length_spread
from handline.day.drawn_parts import draw_parts
from handline.day.fails_first import fails_first
from handline.day.limits import limit_sentences
from handline.day.load_setting import carry_settled
from handline.day.plan import RANGE
from handline.day.plan_chances import (
    ChanceMoved,
    ChancePlan,
    FailsFirstRow,
    SpreadPart,
    StartsPlan,
    TurnedAt,
    TurningBack,
    WaterPlanned,
)
from handline.day.simulation import Days, Draws, Floats
from handline.day.start_sweep import STEP_S, StartSweep, sweep_starts
from handline.day.subjects import Setting
from handline.day.turn_back import with_rules
from handline.day.water_enough import water_enough
from handline.quantity import say_clock, show_chance, show_duration

# As many days as the sweep of starts looks at: about a point of error.
MOVED_DAYS = 2000
# The sweep's last start may lie so far from the latest one: a step of its grid, and one that its fewer days put it off.
NEAR_LATEST_S = 2.0 * STEP_S

SPREAD_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "pace": "how the party walks that day",
        "legs": "ups and downs from leg to leg",
        "waits": "waiting at the line",
        "passage": "time on the line",
        "rock": "the rock that is met",
        "dark": "walking in the dark",
        "together": "what they make only with each other",
    }
)


def plan_chances(setting: Setting, draws: Draws, days: Days, leave_by_clock_s: float) -> ChancePlan:
    """Turn the chances over.

    Parameters
    ----------
    draws, days
        The simulated days of the plan, from its start.
    leave_by_clock_s : float
        The latest start, to the minute [s after local midnight]; not finite where there is none.
    """
    about, limits, itinerary, storm = setting.trip.about, setting.limits, setting.itinerary, setting.storm
    start_s, few = setting.trip.depart_clock_s, min(about.days, MOVED_DAYS)
    parts = draw_parts(itinerary, about.days, about.seed).first(few)
    moves = chance_moves(limits, itinerary, parts, storm, start_s) if limits.any else ()
    spread = length_spread(itinerary, few, about.seed, start_s)
    return ChancePlan(
        starts=_starts(_sweep(setting, draws), leave_by_clock_s),
        fails_first=_fails_first(setting, days),
        moves=tuple(
            ChanceMoved(
                key=move.key,
                better_says=move.better.says,
                better_share=move.better.chance,
                better_change=move.better.change,
                worse_says=move.worse.says,
                worse_share=move.worse.chance,
                worse_change=move.worse.change,
                error=max(move.better.error, move.worse.error),
            )
            for move in moves
        ),
        day_sigma_s=spread.sigma_s,
        spread=tuple(SpreadPart(one.key, SPREAD_WORDS[one.key], one.share, one.error) for one in spread.shares),
        water=_water(setting, draws, days),
        turning_back=_turning_back(setting, draws, days) if setting.turn_rules else None,
    )


def _sweep(setting: Setting, draws: Draws) -> StartSweep:
    """Over the start in the morning: from the camp after a night out."""
    itinerary, night = setting.itinerary, setting.itinerary.night
    if night is None:
        return sweep_starts(setting.limits, itinerary, draws, setting.storm, setting.trip.depart_clock_s)
    limits = replace(setting.limits, camp_clock_s=None)
    return sweep_starts(
        limits, itinerary.leaving_camp(), draws, setting.storm, night.start_clock_s, first=night.passing
    )


def _water(setting: Setting, draws: Draws, days: Days) -> WaterPlanned:
    _, carried = carry_settled(
        setting.trip, setting.route, setting.weather, setting.itinerary, setting.packs, setting.camp
    )
    few = min(setting.trip.about.days, MOVED_DAYS)
    some = Days(tuple(np.broadcast_to(clock_s, (draws.days,))[:few] for clock_s in days.arrive_clock_s), ())
    found = water_enough(carried, setting.itinerary, some, setting.trip.about.seed)
    worst = int(np.argmin(found.by_stretch))
    return WaterPlanned(found.share, found.error, found.stretches[worst], found.by_stretch[worst])


def _turning_back(setting: Setting, draws: Draws, days: Days) -> TurningBack:
    rules, points = setting.turn_rules, setting.route.points
    found = with_rules(setting.limits, setting.itinerary, draws, days, setting.storm, rules)
    low, middle, high = (float(value) for value in np.quantile(found.home_clock_s, RANGE))
    return TurningBack(
        rules=tuple(
            TurnedAt(points[rule.passing].name, rule.after_clock_s, share)
            for rule, share in zip(rules, found.turned, strict=True)
        ),
        top_share=found.top,
        kept_share=found.kept["all"],
        error=found.error,
        kept_at_top_share=found.kept_at_top,
        home_clock_s=(low, middle, high),
    )


def _starts(sweep: StartSweep, leave_by_clock_s: float) -> StartsPlan:
    sweep = replace(sweep, window_clock_s=_to_the_minute(sweep, leave_by_clock_s))
    return StartsPlan(
        clock_s=_floats(sweep.start_clock_s),
        share=_floats(sweep.chance["all"]),
        error=_floats(sweep.error),
        wanted=sweep.wanted,
        planned_clock_s=sweep.planned_clock_s,
        window_clock_s=sweep.window_clock_s,
        best_clock_s=sweep.best_clock_s,
        best_share=sweep.best_chance,
        delay_s=sweep.delay_s,
        delay_share=sweep.delay_points,
        delay_error=sweep.delay_error,
        says=_starts_say(sweep),
    )


def _to_the_minute(sweep: StartSweep, leave_by_clock_s: float) -> tuple[float, float] | None:
    """The window of starts up to the very latest start that the rest of the plan gives, where that lies in it or near.

    In it, it is the earlier of the two: on fewer days the sweep may find a later start that just meets the limits.
    """
    if sweep.window_clock_s is None or sweep.goes_on[1]:
        return sweep.window_clock_s
    first_s, last_s = sweep.window_clock_s
    same = first_s <= leave_by_clock_s <= last_s + NEAR_LATEST_S
    return first_s, leave_by_clock_s if same else last_s


def _starts_say(sweep: StartSweep) -> str:
    """The window of starts and what a delay costs, in a sentence."""
    late, points = show_duration(sweep.delay_s), 100.0 * sweep.delay_points
    cost = f"leaving {late} late takes {points:.1f} points from the chance"
    if points < 0.05:
        cost = f"leaving {late} late takes nothing from the chance"
    if sweep.window_clock_s is None:
        best = f"the best is {say_clock(sweep.best_clock_s)} with {show_chance(sweep.best_chance)}"
        looked = f"from {say_clock(sweep.start_clock_s[0])} to {say_clock(sweep.start_clock_s[-1])}"
        return f"No start {looked} meets your limits as surely as you want; {best}; {cost}."
    first, last = sweep.window_clock_s
    whole_day = "" if not all(sweep.goes_on) else ", as far as was looked"
    if sweep.goes_on[0] and not sweep.goes_on[1]:
        return f"Any start before {say_clock(last)} meets your limits; {cost}."
    return f"Starts from {say_clock(first)} to {say_clock(last)} meet your limits{whole_day}; {cost}."


def _fails_first(setting: Setting, days: Days) -> tuple[FailsFirstRow, ...]:
    """Every limit by how often it is the first to fail, the most frequent first."""
    found = fails_first(setting.limits, setting.itinerary, days, setting.storm)
    points, legs, sentences = setting.route.points, setting.route.legs, limit_sentences(setting.limits)
    rows = []
    for key, share in found.by_limit.items():
        worst = legs[int(found.by_leg[key].argmax())]
        end = points[worst.end]
        where = f"{points[worst.start].name} to {end.name}, {end.way}" if share > 0.0 else ""
        rows.append(FailsFirstRow(key, sentences[key], share, found.error[key], where))
    return tuple(rows)


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
