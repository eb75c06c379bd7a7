"""How the brief says what a plan holds: ranges, and what is not there, in plain words."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from handline.day.plan import Outcome, Passing
from handline.quantity import Units, show_clock, show_force, show_length, show_share

NO_TIME = "no time meets the limits"
NO_FORCE = "nothing stops the slide"


def said(value: float | None, show: Callable[[float], str], otherwise: str) -> str:
    """The value as ``show`` writes it, or the words for None and NaN."""
    return otherwise if value is None or not math.isfinite(value) else show(value)


def said_range(values: Sequence[float], show: Callable[[float], str], otherwise: str = "not known") -> str:
    """The least and the most of some values, as one text where they read alike."""
    finite = [value for value in values if math.isfinite(value)]
    if not finite:
        return otherwise
    low, high = show(min(finite)), show(max(finite))
    return low if low == high else f"{low} to {high}"


def latest_words(passing: Passing) -> str:
    """The latest time to arrive at a place, or why there is none."""
    return said(passing.latest_clock_s, show_clock, passing.latest_says or NO_TIME)


def force_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst stopping force."""
    return said_range(outcome.force_N, lambda force_N: show_force(force_N, units), NO_FORCE)


def slide_words(outcome: Outcome, units: Units) -> str:
    """Typical and worst slide."""
    return said_range(outcome.slide_m, lambda length_m: show_length(length_m, units))


def foot_words(outcome: Outcome) -> str:
    """From how much of the line the body slides to its foot; empty when from nowhere."""
    share = outcome.reach_foot_share
    return "" if share == 0.0 else f"to the foot from {show_share(share)} of the line"
