"""The chances of a Plan turned over: by start, by what fails first, by what moves them, by what spreads the day."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from handline.day.chance_moves import chance_moves, length_spread
from handline.day.drawn_parts import draw_parts
from handline.day.fails_first import fails_first
from handline.day.limits import limit_sentences
from handline.day.plan_chances import ChanceMoved, ChancePlan, FailsFirstRow, SpreadPart, StartsPlan
from handline.day.setting import Setting
from handline.day.simulation import Days, Draws, Floats
from handline.day.start_sweep import StartSweep, sweep_starts
from handline.quantity import say_clock, show_duration, show_share

# As many days as the sweep of starts looks at: about a point of error.
MOVED_DAYS = 2000

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


def plan_chances(setting: Setting, draws: Draws, days: Days) -> ChancePlan:
    """Turn the chances over.

    Parameters
    ----------
    draws, days
        The simulated days of the plan, from its start.
    """
    about, limits, itinerary, storm = setting.trip.about, setting.limits, setting.itinerary, setting.storm
    start_s, few = about.start_clock_s, min(about.days, MOVED_DAYS)
    parts = draw_parts(itinerary, about.days, about.seed).first(few)
    moves = chance_moves(limits, itinerary, parts, storm, start_s) if limits.any else ()
    spread = length_spread(itinerary, few, about.seed, start_s)
    return ChancePlan(
        starts=_starts(sweep_starts(limits, itinerary, draws, storm, start_s)),
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
    )


def _starts(sweep: StartSweep) -> StartsPlan:
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


def _starts_say(sweep: StartSweep) -> str:
    """The window of starts and what a delay costs, in a sentence."""
    late, points = show_duration(sweep.delay_s), 100.0 * sweep.delay_points
    cost = f"leaving {late} late takes {points:.1f} points from the chance"
    if points < 0.05:
        cost = f"leaving {late} late takes nothing from the chance"
    if sweep.window_clock_s is None:
        best = f"the best is {say_clock(sweep.best_clock_s)} with {show_share(sweep.best_chance)}"
        return f"No start meets your limits as surely as you want; {best}; {cost}."
    first, last = sweep.window_clock_s
    whole_day = "" if not all(sweep.goes_on) else ", as far as was looked"
    from_s = "any time before" if sweep.goes_on[0] and not sweep.goes_on[1] else f"{say_clock(first)} to"
    return f"Starts from {from_s} {say_clock(last)} meet your limits{whole_day}; {cost}."


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
