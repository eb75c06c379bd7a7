"""What walking costs the body, against published values and a second calculation, and its limits."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.errors import InputError
from handline.sources import source
from handline.walking.effort import Effort, effort
from handline.walking.effort_models import minetti_2002_J_kg_m, santee_downhill_W
from handline.walking.effort_registry import EFFORT_MODELS, ENERGY_TERRAIN_N
from handline.walking.pace import FLAGS
from tests.tables.published import read_table

UNIT = {
    "W/kg": "W per kg of body mass",
    "W": "W",
    "J/(kg m)": "J per kg of body mass and m",
    "ml/(kg min)": "ml of oxygen per kg of body mass and minute",
}
SPEED_M_S = {"m/s": 1.0, "m/min": 1.0 / 60.0}


def of_row(row: dict[str, str]) -> Effort:
    return effort(
        row["model"],
        speed_m_s=float(row["speed"]) * SPEED_M_S[row["speed_unit"]],
        grade=float(row["grade"]),
        body_mass_kg=float(row["body_mass_kg"]),
        load_kg=float(row["load_kg"]),
        terrain_n=float(row["terrain_n"]),
    )


@pytest.mark.parametrize(
    "row", read_table("effort"), ids=lambda r: f"{r['model']} {r['speed']} {r['grade']} {r['load_kg']}, {r['kind']}"
)
def test_effort_agrees_with_the_table(row: dict[str, str]) -> None:
    found = of_row(row)
    assert found.flags == ()
    assert found.unit == UNIT[row["unit"]]
    assert found.source == row["source"]
    assert float(found.value) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(
            row,
            marks=()
            if row["agrees"] == "yes"
            else pytest.mark.xfail(
                strict=True, reason="the polynomial overstates walking on the level and gently down"
            ),
        )
        for row in read_table("minetti_measured")
    ],
    ids=lambda r: f"grade {r['grade']}",
)
def test_minetti_agrees_with_its_own_measurements(row: dict[str, str]) -> None:
    found = float(minetti_2002_J_kg_m(float(row["grade"])))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


def test_minetti_overstates_level_walking_by_half() -> None:
    """52 per cent, minetti_2002: 1.64 J/(kg m) was measured."""
    assert float(minetti_2002_J_kg_m(0.0)) / 1.64 == pytest.approx(1.52, abs=0.005)


def test_going_down_costs_least_near_8_per_cent() -> None:
    """Santee 2001: the least is at -8 per cent; a whole per cent either way."""
    grades = np.linspace(-0.12, 0.0, 1201)
    least = grades[np.argmin(santee_downhill_W(1.34, grades, body_mass_kg=70.0, load_kg=10.0, terrain_n=1.0))]
    assert least == pytest.approx(-0.08, abs=0.01)


@pytest.mark.parametrize("row", read_table("energy_terrain"), ids=lambda r: r["terrain"])
def test_energy_coefficients_of_the_ground(row: dict[str, str]) -> None:
    assert ENERGY_TERRAIN_N[row["terrain"]] == pytest.approx(float(row["expected"]), abs=1e-12)


# Lowest and highest of speed [m/s], grade [1] and load over body mass [1] as the sources state them.
LIMITS = {
    "lcda_2019": ((0.0, 1.96), (-0.40, 0.45), (0.0, 0.0)),
    "lcda_load_2022": ((0.0, 1.96), (-0.40, 0.45), (0.0, 0.66)),
    "pandolf_1977": ((0.0, math.inf), (0.0, math.inf), (0.0, math.inf)),
    "santee_downhill": ((0.0, math.inf), (-0.12, 0.0), (0.0, math.inf)),
    "minetti_2002": ((-math.inf, math.inf), (-0.45, 0.45), (0.0, 0.0)),
    "acsm_walk": ((50 / 60, 100 / 60), (0.0, math.inf), (0.0, 0.0)),
}


def test_every_model_is_there_with_its_limits() -> None:
    assert {
        key: (model.limits.speed_m_s, model.limits.grade, model.limits.load_share)
        for key, model in EFFORT_MODELS.items()
    } == LIMITS
    for key, model in EFFORT_MODELS.items():
        assert model.key == key
        assert source(model.source).key == model.source


@pytest.mark.parametrize("key", LIMITS)
def test_at_a_limit_there_is_a_value_and_past_it_a_flag(key: str) -> None:
    speeds, grades, loads = LIMITS[key]
    usual = {"speed_m_s": 1.0, "grade": 0.0, "load_kg": 0.0}
    scale = {"speed_m_s": 1.0, "grade": 1.0, "load_kg": 100.0}
    flags = {"speed_m_s": "beyond_effort_speed", "grade": "beyond_effort_grade", "load_kg": "beyond_effort_load"}
    for name, limits in (("speed_m_s", speeds), ("grade", grades), ("load_kg", loads)):
        for limit, beyond in zip(limits, (-1e-5, 1e-5), strict=True):
            if not math.isfinite(limit):
                continue
            at = effort(key, **(usual | {name: limit * scale[name]}), body_mass_kg=100.0)
            assert math.isfinite(float(at.value))
            assert at.flags == ()
            if name == "load_kg" and beyond < 0.0:
                continue
            past = effort(key, **(usual | {name: (limit + beyond) * scale[name]}), body_mass_kg=100.0)
            assert math.isnan(float(past.value))
            assert past.flags == (flags[name],)


@pytest.mark.parametrize("key", ["lcda_2019", "minetti_2002", "acsm_walk"])
def test_a_model_of_hard_ground_says_nothing_of_soft(key: str) -> None:
    found = effort(key, speed_m_s=1.0, grade=0.0, body_mass_kg=70.0, terrain_n=1.1)
    assert math.isnan(float(found.value))
    assert found.flags == ("beyond_effort_ground",)


def test_only_what_is_outside_is_lost() -> None:
    found = effort("pandolf_1977", speed_m_s=[[1.0], [1.2]], grade=[0.0, -0.1, 0.1], body_mass_kg=70.0)
    assert found.value.shape == (2, 3)
    assert np.array_equal(np.isnan(found.value), [[False, True, False]] * 2)
    assert found.flags == ("beyond_effort_grade",)
    assert set(found.flags) <= set(FLAGS)


def test_without_more_said_there_is_no_load_and_the_ground_is_hard() -> None:
    walk = {"speed_m_s": 1.2, "grade": 0.05, "body_mass_kg": 70.0}
    assert effort("pandolf_1977", **walk).value == effort("pandolf_1977", **walk, load_kg=0.0, terrain_n=1.0).value


def test_what_is_missing_has_no_effort() -> None:
    found = effort("lcda_2019", speed_m_s=math.nan, grade=math.nan, body_mass_kg=70.0)
    assert math.isnan(float(found.value))
    assert found.flags == ("beyond_effort_speed", "beyond_effort_grade")


@pytest.mark.parametrize("wrong", [{"body_mass_kg": 0.0}, {"load_kg": -1.0}, {"terrain_n": 0.0}])
def test_impossible_masses_and_ground_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        effort("pandolf_1977", **({"speed_m_s": 1.0, "grade": 0.0, "body_mass_kg": 70.0} | wrong))


def test_a_near_miss_is_suggested() -> None:
    with pytest.raises(InputError, match='did you mean "pandolf_1977"'):
        effort("pandolf_1997", speed_m_s=1.0, grade=0.0, body_mass_kg=70.0)
