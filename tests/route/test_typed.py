"""Typed legs: their parts, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.route.typed import STEEPEST_GRADE, TypedLeg, leg_problems, leg_profile


@given(st.floats(1.0, 50_000.0), st.floats(0.0, 3000.0), st.floats(0.0, 3000.0))
def test_parts_add_up_to_what_was_typed(length_m: float, up_m: float, down_m: float) -> None:
    run, rise = leg_profile(TypedLeg("Camp", "camp", length_m, up_m, down_m))
    assert run.sum() == pytest.approx(length_m)
    assert rise[rise > 0].sum() == pytest.approx(up_m)
    assert -rise[rise < 0].sum() == pytest.approx(down_m)


def test_a_leg_up_and_down_is_a_rise_then_a_fall_at_one_grade() -> None:
    run, rise = leg_profile(TypedLeg("Camp", "camp", 4000.0, 300.0, 100.0))
    assert run.tolist() == [3000.0, 1000.0]
    assert rise.tolist() == [300.0, -100.0]


@pytest.mark.parametrize(
    ("leg", "what"),
    [
        (TypedLeg("Camp", "camp", -1.0, 0.0), "has a length that is none"),
        (TypedLeg("Camp", "camp", 100.0, math.nan), "has a climb that is none"),
        (TypedLeg("Camp", "camp", 100.0, 0.0, math.inf), "has a descent that is none"),
        (TypedLeg("Camp", "camp", 0.0, 100.0), "has no length"),
        (TypedLeg("Camp", "camp", 100.0, 100.0 * STEEPEST_GRADE + 1.0), "is steeper than any ladder"),
    ],
)
def test_what_is_refused_says_why(leg: TypedLeg, what: str) -> None:
    problems = leg_problems(leg)
    assert len(problems) == 1
    assert problems[0].what == f'the leg to "Camp" {what}'


def test_a_ladder_passes() -> None:
    assert leg_problems(TypedLeg("Ledge", "place", 10.0, 10.0 * STEEPEST_GRADE)) == []
    assert STEEPEST_GRADE == 10.0
