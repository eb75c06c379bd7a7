"""How the brief says what a plan holds: ranges, and what is not there, in plain words."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from handline.day.plan import NO_TIME, Passing
from handline.day.plan_line import Limit
from handline.line.audit import Outcome
from handline.quantity import (
    Units,
    parse,
    show_clock,
    show_distance,
    show_duration,
    show_force,
    show_height,
    show_length,
    show_share,
    show_span,
    show_speed,
)

LEVEL_WORDS = {"stop": "Stop: do not go like this", "heed": "Heed: act on this", "note": "Note"}
NO_FORCE = "nothing stops the slide"
NO_SLIDE = "no slide to stop"


def said(value: float | None, show: Callable[[float], str], otherwise: str) -> str:
    """The value as ``show`` writes it, or the words for None and NaN."""
    return show(value) if value is not None and math.isfinite(value) else otherwise


def is_known(value: float | None) -> bool:
    """Whether there is a value: neither None nor NaN."""
    return value is not None and math.isfinite(value)


def said_span(
    values: Sequence[float], show: Callable[[float, Units], str], units: Units, otherwise: str = "not known"
) -> str:
    """The least and the most of some values, the unit once, or the words where there is none."""
    finite = [value for value in values if math.isfinite(value)]
    return show_span(min(finite), max(finite), show, units) if finite else otherwise


def usual_words(
    values: Sequence[float], show: Callable[[float, Units], str], units: Units, otherwise: str = "not known"
) -> str:
    """The typical and the worst value: "usually 10 ft, at worst 18 ft"; one where both read the same."""
    finite = [value for value in values if math.isfinite(value)]
    if not finite:
        return otherwise
    usual, worst = show(finite[0], units), show(finite[-1], units)
    return worst if usual == worst else f"usually {usual}, at worst {worst}"


def latest_words(passing: Passing) -> str:
    """The latest time to arrive at a place, or why there is none."""
    return said(passing.latest_clock_s, show_clock, passing.latest_says or NO_TIME)


def other_days(timetable: Sequence[Passing]) -> str:
    """What the marks behind clock times mean, where the timetable has any."""
    clocks = [clock_s for row in timetable for clock_s in (*row.arrive_clock_s, row.latest_clock_s)]
    marks = {"(-1)": "the day before", "(+1)": "the day after"}
    shown = " ".join(said(clock_s, show_clock, "") for clock_s in clocks)
    told = [f"{mark} is {meaning}" for mark, meaning in marks.items() if mark in shown]
    return f" {', '.join(told)}." if told else ""


SLOWER_THAN_PLANNED = (
    "These times count on the plan's pace from there on. Who left as planned and comes so late is slower: turn "
    "earlier, by what “We are at ...” in the brief says."
)


def force_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst stopping force, or why there is none."""
    if outcome.slide_m[1] == 0.0:
        return NO_SLIDE
    return said_span(outcome.force_N, show_force, units, NO_FORCE)


def slide_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst slide."""
    return said_span(outcome.slide_m, show_length, units)


def usual_force_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst stopping force in a sentence, or why there is none."""
    if outcome.slide_m[1] == 0.0:
        return NO_SLIDE
    return usual_words(outcome.force_N, show_force, units, NO_FORCE)


def usual_slide_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst slide in a sentence."""
    return usual_words(outcome.slide_m, show_length, units)


def walk_words(length_m: float, units: Units) -> str:
    """A distance walked; where that would be under a tenth of its unit, in metres or feet."""
    tenth_m = parse("0.1 km" if units == "si" else "0.1 mi", "length")
    return show_distance(length_m, units) if length_m >= tenth_m else show_height(length_m, units)


def speed_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst speed at the end of the free slide."""
    return said_span(outcome.speed_m_s, show_speed, units)


def over_words(outcome: Outcome, limits: Sequence[Limit]) -> str:
    """The limits the worst force passes, by their force alone: "4, 6 and 8 kN"."""
    forces_kN = [f"{limit.force_N / 1000.0:g}" for limit in limits if limit.key in outcome.over_limits]
    return " and ".join(filter(None, (", ".join(forces_kN[:-1]), forces_kN[-1]))) + " kN" if forces_kN else ""


def seconds_words(duration_s: float) -> str:
    """A short time: seconds up to two minutes, then minutes."""
    return f"{duration_s:.0f} s" if duration_s < 120.0 else show_duration(duration_s)


def foot_words(outcome: Outcome) -> str:
    """From which share of the places on the line the body slides to its foot; empty when from none."""
    share = outcome.reach_foot_share
    return "" if share == 0.0 else f"{show_share(share)} to foot"


def least_rain_words(units: Units) -> str:
    """From how much rain on an hour counts as one with rain, finer than rain is told elsewhere."""
    return "0.1 mm" if units == "si" else "0.004 in"
