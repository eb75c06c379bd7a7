"""Legs typed by hand: a distance, a climb and a descent, as a guidebook gives them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from handline.errors import Problem
from handline.route.track import Array

STEEPEST_GRADE = 10.0  # a ladder; more is a slip of the pen, such as feet for metres


@dataclass(frozen=True)
class TypedLeg:
    """A leg to a place. Length on the map, climb and descent on the way, all in metres and not negative."""

    to_name: str
    to_kind: str
    length_m: float
    up_m: float
    down_m: float = 0.0


def leg_profile(leg: TypedLeg) -> tuple[Array, Array]:
    """Lengths and rises of the leg's parts [m]: the climb first, then the descent, at one grade.

    A leg with both up and down is a rise and then a fall, so that a pace model sees grades and not their mean, which
    may be flat. The length is shared in proportion to the heights. A level leg is one part.
    """
    total = leg.up_m + leg.down_m
    if total == 0.0:
        return np.array([leg.length_m]), np.array([0.0])
    rises = np.array([rise for rise in (leg.up_m, -leg.down_m) if rise])
    return leg.length_m * (np.abs(rises) / total), rises


def leg_problems(leg: TypedLeg) -> list[Problem]:
    """Everything wrong with a typed leg."""
    name = f'the leg to "{leg.to_name}"'
    problems = [
        Problem(f"{name} has a {what} that is none", read=f"{value:g} m", allowed="a finite length, not below zero")
        for what, value in (("length", leg.length_m), ("climb", leg.up_m), ("descent", leg.down_m))
        if not math.isfinite(value) or value < 0.0
    ]
    if problems:
        return problems
    if leg.length_m == 0.0:
        return [
            Problem(f"{name} has no length", read="0 m", allowed="more than 0 m", mend="give its length on the map")
        ]
    grade = (leg.up_m + leg.down_m) / leg.length_m
    if grade > STEEPEST_GRADE:
        return [
            Problem(
                f"{name} is steeper than any ladder",
                read=f"{leg.up_m + leg.down_m:.0f} m of height on {leg.length_m:.0f} m",
                allowed=f"up to {STEEPEST_GRADE:.0f} m of height a metre",
                mend="check the units of its length and climb",
            )
        ]
    return []
