"""What a pack does to walking time."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.load import load_factor
from handline.walking.pace import FLAGS
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("load_factor"), ids=lambda r: f"{r['pack_mass_kg']} kg at {r['grade']}")
def test_factor_agrees_with_bisection(row: dict[str, str]) -> None:
    found = load_factor(
        float(row["speed_m_s"]),
        float(row["grade"]),
        body_mass_kg=float(row["body_mass_kg"]),
        pack_mass_kg=float(row["pack_mass_kg"]),
        carried_kg=float(row["carried_kg"]),
    )
    assert float(found.time_factor) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)
    assert found.flags == ()


@given(
    speed=st.floats(0.1, 1.8),
    grade=st.floats(-0.6, 0.6),
    body=st.floats(40.0, 120.0),
    packs=st.tuples(st.floats(0.0, 40.0), st.floats(0.0, 40.0)),
)
@settings(max_examples=150, deadline=None)
def test_heavier_is_never_faster(speed: float, grade: float, body: float, packs: tuple[float, float]) -> None:
    light, heavy = sorted(packs)
    factor = load_factor(speed, grade, body_mass_kg=body, pack_mass_kg=[light, heavy], carried_kg=0.0).time_factor
    assert factor[0] >= 1.0 - 1e-9
    assert factor[1] >= factor[0] * (1.0 - 1e-9)


def test_a_lighter_pack_is_no_gain_and_says_so() -> None:
    found = load_factor(1.2, [0.1, 0.1, 0.1], body_mass_kg=70.0, pack_mass_kg=[19.9, 20.0, 20.1], carried_kg=20.0)
    assert np.array_equal(found.time_factor[:2], [1.0, 1.0])
    assert found.time_factor[2] > 1.0
    assert found.flags == ("lighter_pack",)
    assert load_factor(1.2, 0.1, body_mass_kg=70.0, pack_mass_kg=20.0, carried_kg=20.0).flags == ()


def test_the_same_pack_slows_a_lighter_body_more() -> None:
    factor = load_factor(1.2, 0.1, body_mass_kg=[50.0, 90.0], pack_mass_kg=15.0, carried_kg=0.0).time_factor
    assert factor[0] > 1.05 * factor[1]


def test_a_descent_is_slowed_as_level_ground_is() -> None:
    masses = {"body_mass_kg": 70.0, "pack_mass_kg": 15.0, "carried_kg": 0.0}
    down = load_factor([0.3, 0.9], [-0.5, -0.05], level_speed_m_s=1.1, **masses).time_factor
    assert down == pytest.approx(np.full(2, float(load_factor(1.1, 0.0, **masses).time_factor)), rel=1e-12)


def test_people_by_segments() -> None:
    found = load_factor(
        np.linspace(0.4, 1.2, 7),
        0.05,
        body_mass_kg=np.array([60.0, 70.0, 80.0])[:, None],
        pack_mass_kg=np.array([[10.0], [12.0], [60.0]]),
        carried_kg=0.0,
    )
    assert found.time_factor.shape == (3, 7)
    assert found.flags == ("beyond_effort_load",)
    assert set(found.flags) <= set(FLAGS)


def test_what_is_not_ground_has_no_factor_even_with_a_light_pack() -> None:
    found = load_factor(0.0, 0.0, body_mass_kg=70.0, pack_mass_kg=0.0, carried_kg=0.0)
    assert math.isnan(float(found.time_factor))
    assert found.flags == ("not_ground",)


@pytest.mark.parametrize(
    "wrong", [{"body_mass_kg": 0.0}, {"pack_mass_kg": -1.0}, {"pack_mass_kg": math.nan}, {"carried_kg": -1.0}]
)
def test_impossible_masses_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        load_factor(1.0, 0.0, **({"body_mass_kg": 70.0, "pack_mass_kg": 10.0, "carried_kg": 0.0} | wrong))
