"""Which of several ways comes nearest where none may be recommended: first by what its tether does in a slip."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handline.choose.options_report import Option
from handline.choose.recommending import TETHER, candidate, whole_steps
from handline.choose.what_counts import WHAT_COUNTS
from handline.day.line_reporting import TETHER_FINDINGS
from handline.line.tethers import NONE
from handline.quantity import show_share


def nearest(options: Sequence[Option]) -> Option:
    """The option of some that speaks least gravely against life.

    First by whether its tether stops a slip at all; then by the share of drawn slips it does not stop within the limit
    on a body, as far as the difference matters; then by how many reasons there are against it, then by the chance.
    """
    stopping = [option for option in options if stops_slips(option)]
    left = stopping or list(options)
    least_share = min(option.not_stopped_share for option in left)

    def gravity(option: Option) -> tuple[float, int, float]:
        steps = whole_steps(option.not_stopped_share - least_share, "not_stopped")
        return steps, len(option.against), -candidate(option).value

    return min(left, key=gravity)


def stops_slips(option: Option) -> bool:
    """Whether the tether of an option stops the slip it is judged by, if only over the limit on a body.

    Where friction alone keeps a body from sliding there is none to stop. One that runs free, breaks, does not bite, is
    static and too hard, or ties nobody on at the changeovers is no stop: it would pass for protection and is not.
    """
    if option.slide_m[1] == 0.0:
        return True
    if option.tether == NONE or option.looks_like_protection or not math.isfinite(option.force_N[1]):
        return False
    return not any(stop.key in TETHER_FINDINGS and stop.key != TETHER for stop in option.stops)


def order_says() -> str:
    """By what an option is nearest, in a sentence."""
    points = show_share(WHAT_COUNTS["not_stopped"].least).removesuffix(" %")
    return (
        "Nearest means, of each way, least grave for life: first a tether that stops a slip, before nothing attached "
        "and before what would pass for protection and is not; then the smaller share of slips not stopped within your "
        f"limit, where that differs by {points} points or more; then fewer reasons against it; then the higher chance."
    )


def none_better_says(count: int) -> str:
    """What is said of the nearest of some where the tether of none of them stops a slip."""
    return (
        f"Nothing better is among these {count}: each has nothing attached, or what would pass for protection and is "
        "not. Nearest does not mean that it may be done."
    )
