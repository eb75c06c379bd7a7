"""What snow does to walking time."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.walking.pace import FLAGS
from handline.walking.snow import snow_factor, snow_n
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("snow"), ids=lambda r: r["sink_m"])
def test_coefficient_agrees_with_the_table(row: dict[str, str]) -> None:
    found = snow_n(float(row["sink_m"]))
    assert float(found) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


@pytest.mark.parametrize("row", read_table("snow_factor"), ids=lambda r: f"{r['sink_m']} m at {r['grade']}")
def test_factor_agrees_with_bisection(row: dict[str, str]) -> None:
    found = snow_factor(
        float(row["speed_m_s"]), float(row["grade"]), float(row["sink_m"]), load_share=float(row["load_share"])
    )
    assert float(found.time_factor) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)
    assert found.flags == ()


def test_no_snow_changes_nothing_and_deeper_is_slower() -> None:
    factor = snow_factor(1.0, 0.1, np.linspace(0.0, 0.5, 51)).time_factor
    assert factor[0] == 1.0
    assert np.all(np.diff(factor) > 0.0)


def test_deeper_than_measured_says_so() -> None:
    found = snow_factor(1.0, 0.1, [0.35, 0.3501])
    assert np.all(np.isfinite(found.time_factor))
    assert found.flags == ("beyond_snow_depth",)
    assert set(found.flags) <= set(FLAGS)


def test_without_more_said_there_is_no_load() -> None:
    assert snow_factor(1.0, 0.1, 0.1) == snow_factor(1.0, 0.1, 0.1, load_share=0.0)


def test_a_descent_is_slowed_as_level_ground_is() -> None:
    down = float(snow_factor(0.3, -0.4, 0.1, level_speed_m_s=1.1).time_factor)
    assert down == pytest.approx(float(snow_factor(1.1, 0.0, 0.1).time_factor), rel=1e-12)


def test_what_is_not_ground_has_no_factor_even_without_snow() -> None:
    found = snow_factor(0.0, 0.0, 0.0)
    assert math.isnan(float(found.time_factor))
    assert found.flags == ("not_ground",)


@pytest.mark.parametrize("sink_m", [-0.01, math.nan, math.inf])
def test_impossible_depths_are_refused(sink_m: float) -> None:
    with pytest.raises(ValueError, match="sink_m must be"):
        snow_factor(1.0, 0.0, [0.1, sink_m])
