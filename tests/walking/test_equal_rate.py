"""The speed of equal metabolic rate: against bisection in decimals, and put back into the equation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.effort_models import lcda_load_2022_W_kg, lcda_moving_W_kg
from handline.walking.equal_rate import LEVEL_SPEED_M_S, descent_as_level, equal_rate_factor, speed_of_equal_rate
from handline.walking.pace import FLAGS
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("equal_rate"), ids=lambda r: f"{r['speed_m_s']} {r['grade']} {r['n_after']}")
def test_speed_agrees_with_bisection(row: dict[str, str]) -> None:
    read = {key: float(row[key]) for key in list(row)[:8]}
    after = speed_of_equal_rate(
        read["speed_m_s"],
        read["grade"],
        load_share=(read["load_before"], read["load_after"]),
        terrain_n=(read["n_before"], read["n_after"]),
        rate_share=read["rate_share"],
    )
    assert float(after.speed_m_s) == pytest.approx(read["expected"], abs=float(row["tolerance"]), rel=0)
    assert after.flags == (() if -0.40 <= read["grade"] <= 0.45 else ("beyond_effort_grade",))


def test_faster_always_costs_more_so_there_is_one_root() -> None:
    """Every grade of the limits, every speed of the limits: steps of 1 per mille and of 1 mm/s."""
    grades = np.linspace(-0.40, 0.45, 851)[:, None]
    speeds = np.concatenate((np.geomspace(1e-9, 1e-3, 50), np.arange(0.002, 1.9605, 0.001)))
    assert np.all(np.diff(lcda_moving_W_kg(speeds, grades), axis=1) > 0.0)


@given(
    speed=st.floats(0.05, 1.8),
    grade=st.floats(-0.40, 0.45),
    loads=st.tuples(st.floats(0.0, 0.66), st.floats(0.0, 0.66)),
    n=st.tuples(st.floats(1.0, 5.0), st.floats(1.0, 5.0)),
    share=st.floats(0.5, 1.1),
)
@settings(max_examples=300, deadline=None)
def test_the_speed_found_costs_what_was_asked(
    speed: float, grade: float, loads: tuple[float, float], n: tuple[float, float], share: float
) -> None:
    longer = math.hypot(1.0, grade)
    wanted = share * float(lcda_load_2022_W_kg(speed * longer, grade, load_share=loads[0], terrain_n=n[0]))
    standing = float(lcda_load_2022_W_kg(0.0, grade, load_share=loads[1], terrain_n=n[1]))
    after = speed_of_equal_rate(speed, grade, load_share=loads, terrain_n=n, rate_share=share)
    if wanted <= standing:
        assert math.isnan(float(after.speed_m_s))
        assert "no_equal_rate" in after.flags
    else:
        found = lcda_load_2022_W_kg(float(after.speed_m_s) * longer, grade, load_share=loads[1], terrain_n=n[1])
        assert float(found) == pytest.approx(wanted, rel=1e-9)
        assert "no_equal_rate" not in after.flags


def test_nothing_changed_is_the_same_speed() -> None:
    after = speed_of_equal_rate([0.3, 1.34, 1.9], [0.3, 0.0, -0.2], load_share=(0.3, 0.3), terrain_n=(1.2, 1.2))
    assert after.speed_m_s == pytest.approx([0.3, 1.34, 1.9], rel=1e-10)
    assert after.flags == ()


def test_without_more_said_there_is_no_load_and_the_ground_is_hard() -> None:
    said = {"load_share": (0.0, 0.0), "terrain_n": (1.0, 1.0)}
    assert speed_of_equal_rate(1.2, 0.05, rate_share=0.8) == speed_of_equal_rate(1.2, 0.05, rate_share=0.8, **said)
    assert equal_rate_factor(1.2, 0.05, rate_share=0.8) == equal_rate_factor(1.2, 0.05, rate_share=0.8, **said)


def test_where_standing_costs_more_there_is_no_speed() -> None:
    """At 0.1 m/s the rate is 1.96 W/kg, and half of it is less than the 1.49 W/kg of standing."""
    after = speed_of_equal_rate([0.1, 1.34], 0.0, rate_share=0.5)
    assert math.isnan(after.speed_m_s[0])
    assert 0.0 < after.speed_m_s[1] < 1.34
    assert after.flags == ("no_equal_rate",)


@pytest.mark.parametrize(
    ("speed", "grade"), [(0.0, 0.1), (-1.0, 0.1), (math.nan, 0.1), (math.inf, 0.1), (1.0, math.nan)]
)
def test_without_a_speed_or_a_grade_there_is_none(speed: float, grade: float) -> None:
    after = speed_of_equal_rate([speed, 1.0], [grade, 0.0], load_share=(0.0, 0.2))
    assert math.isnan(after.speed_m_s[0])
    assert math.isfinite(after.speed_m_s[1])
    assert after.flags == ("not_ground",)


@pytest.mark.parametrize(("grade", "limit"), [(0.46, 0.45), (3.0, 0.45), (-0.41, -0.40), (math.inf, 0.45)])
def test_past_the_steepest_its_grade_is_used(grade: float, limit: float) -> None:
    beyond = speed_of_equal_rate(0.4, grade, load_share=(0.0, 0.3))
    at = speed_of_equal_rate(0.4, limit, load_share=(0.0, 0.3))
    assert beyond.flags == ("beyond_effort_grade",)
    assert at.flags == ()
    assert float(beyond.speed_m_s) == float(at.speed_m_s)


def test_past_load_and_speed_it_is_flagged_and_carried_on() -> None:
    heavy = speed_of_equal_rate(1.0, 0.0, load_share=(0.0, 0.6601))
    assert math.isfinite(float(heavy.speed_m_s))
    assert heavy.flags == ("beyond_effort_load",)
    assert speed_of_equal_rate(1.0, 0.0, load_share=(0.0, 0.66)).flags == ()
    assert speed_of_equal_rate(1.0, 0.0, load_share=(0.6601, 0.0)).flags == ("beyond_effort_load",)
    fast = speed_of_equal_rate([1.9601, 1.0], 0.0, load_share=(0.0, 0.1))
    assert np.all(np.isfinite(fast.speed_m_s))
    assert fast.flags == ("beyond_effort_speed",)
    assert speed_of_equal_rate(1.96, 0.0, load_share=(0.0, 0.1)).flags == ()


def test_the_limit_of_speed_is_along_the_slope() -> None:
    """1.80 m/s on the map at 45 per cent is 1.974 m/s along the slope."""
    assert speed_of_equal_rate(1.80, 0.45).flags == ("beyond_effort_speed",)
    assert speed_of_equal_rate(1.78, 0.45).flags == ()


def test_shapes_broadcast() -> None:
    found = equal_rate_factor(np.full(5, 1.0), 0.1, load_share=(0.0, np.full((3, 1), 0.2)))
    assert found.time_factor.shape == (3, 5)
    assert speed_of_equal_rate(1.0, 0.1).speed_m_s.shape == ()
    assert speed_of_equal_rate([], []).speed_m_s.shape == (0,)
    assert set(found.flags) <= set(FLAGS)


def test_the_factor_is_the_speed_before_over_the_speed_after() -> None:
    after = speed_of_equal_rate([0.5, 1.2], [0.2, 0.0], terrain_n=(1.0, 1.5))
    found = equal_rate_factor([0.5, 1.2], [0.2, 0.0], terrain_n=(1.0, 1.5))
    assert found.time_factor == pytest.approx(np.array([0.5, 1.2]) / after.speed_m_s, rel=1e-12)


@pytest.mark.parametrize(
    "wrong",
    [
        {"load_share": (-0.1, 0.0)},
        {"load_share": (0.0, math.nan)},
        {"terrain_n": (0.0, 1.0)},
        {"terrain_n": (1.0, math.inf)},
        {"rate_share": 0.0},
    ],
)
def test_what_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="must be"):
        speed_of_equal_rate(1.0, 0.0, **wrong)


def test_a_descent_counts_as_level_ground() -> None:
    speed, grade = descent_as_level([0.4, 0.5, 0.6], [-0.3, 0.0, 0.3])
    assert speed == pytest.approx([LEVEL_SPEED_M_S, 0.5, 0.6])
    assert grade == pytest.approx([0.0, 0.0, 0.3])
    assert descent_as_level(0.4, -0.3, 1.1)[0] == pytest.approx(1.1)


def test_a_usual_walk_is_three_miles_an_hour() -> None:
    """3 x 1609.344 m / 3600 s, common practice, to the printed digits."""
    assert pytest.approx(3 * 1609.344 / 3600, abs=0.005) == LEVEL_SPEED_M_S
