"""Slower hours at the end of a long day: by hand, and against adding up small steps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.tiring import tired_s
from tests.tables.published import read_table

HOUR_S = 3600.0


@pytest.mark.parametrize("row", read_table("tiring"), ids=lambda r: f"{r['work_h']} h")
def test_day_agrees_with_the_table(row: dict[str, str]) -> None:
    work_s = HOUR_S * np.array([float(hours) for hours in row["work_h"].split()])
    given_s = {"fresh_s": HOUR_S * float(row["fresh_h"])} if row["fresh_h"] else {}
    given_s |= {"per_hour": float(row["per_hour"])} if row["per_hour"] else {}
    expected_h = [float(hours) for hours in row["expected"].split()]
    assert tired_s(work_s, **given_s) / HOUR_S == pytest.approx(expected_h, abs=float(row["tolerance"]), rel=0)


@given(
    hours=st.lists(st.floats(0.0, 6.0), min_size=1, max_size=6),
    fresh_h=st.floats(0.0, 10.0),
    per_hour=st.floats(0.0, 0.2),
)
@settings(max_examples=40, deadline=None)
def test_day_agrees_with_small_steps(hours: list[float], fresh_h: float, per_hour: float) -> None:
    """A referee that walks the day in steps at the pace rate of the middle of each."""
    edges_h = np.concatenate(([0.0], np.cumsum(hours)))
    for leg, leg_s in enumerate(tired_s(HOUR_S * np.array(hours), HOUR_S * fresh_h, per_hour)):
        steps = 4000
        step_h = hours[leg] / steps
        middle_h = edges_h[leg] + step_h * (np.arange(steps) + 0.5)
        walked_h = float(np.sum(step_h * (1.0 + per_hour * np.maximum(middle_h - fresh_h, 0.0))))
        assert leg_s / HOUR_S == pytest.approx(walked_h, rel=1e-6, abs=1e-9)


def test_where_a_walk_is_cut_does_not_matter() -> None:
    whole = tired_s(HOUR_S * np.array([9.0]))
    cut = tired_s(HOUR_S * np.array([2.5, 4.0, 0.0, 1.3, 1.2]))
    assert float(np.sum(cut)) == pytest.approx(float(np.sum(whole)), rel=1e-12)


def test_many_days_at_once() -> None:
    work_s = HOUR_S * np.array([[3.0, 5.0], [4.0, 5.0]])
    each = tired_s(work_s, HOUR_S * np.array([6.0, 7.0]), np.array([0.02, 0.1]))
    assert each.shape == (2, 2)
    assert each[:, 1] == pytest.approx(tired_s(work_s[:, 1], 7.0 * HOUR_S, 0.1), rel=1e-12)


def test_no_tiring_leaves_the_day_as_it_is() -> None:
    work_s = HOUR_S * np.array([5.0, 5.0])
    assert np.array_equal(tired_s(work_s, 0.0, 0.0), work_s)
    assert tired_s(np.empty(0)).shape == (0,)


@pytest.mark.parametrize("wrong", [{"work_s": [-1.0]}, {"fresh_s": -1.0}, {"fresh_s": math.nan}, {"per_hour": -0.1}])
def test_what_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="must be 0 or more"):
        tired_s(**({"work_s": [10.0]} | wrong))
