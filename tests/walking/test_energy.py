"""What a day's walking burns, against hand arithmetic and a second calculation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.quantity import KCAL_J
from handline.sources import source
from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.effort_registry import EFFORT_MODELS
from handline.walking.energy import (
    _IN_W,
    CENTRE_MODEL,
    OXYGEN_J_PER_ML,
    Energy,
    day_energy,
    metabolic_rate,
    rest_energy,
    walk_energy,
)
from handline.walking.pace import FLAGS
from tests.tables.published import read_table

MARCH = {"body_mass_kg": 70.0, "load_kg": 20.0}


def walks() -> dict[str, Energy]:
    return {
        "march on the level": walk_energy([4000.0, 6000.0], 0.0, 1.34, **MARCH),
        "up and down": walk_energy(
            [800.0, 500.0, 900.0, 300.0],
            [0.12, 0.0, -0.08, -0.25],
            [0.8, 1.2, 1.1, 0.7],
            body_mass_kg=65.0,
            load_kg=12.0,
            terrain_n=1.1,
        ),
        "a night at rest": rest_energy(8 * 3600.0, body_mass_kg=70.0),
    }


@pytest.mark.parametrize("row", read_table("march_energy"), ids=lambda row: f"{row['walk']}, {row['which']}")
def test_energy_agrees_with_the_table(row: dict[str, str]) -> None:
    found = float(getattr(walks()[row["walk"]].energy_J, row["which"])) / 1000.0
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


def test_the_stated_march_by_hand() -> None:
    """1.5 x 70 + 2 x 90 x (20/70)^2 + 90 x 1.5 x 1.34^2 = 105 + 14.694 + 242.406 = 362.10 W, for 7462.7 s."""
    march = walks()["march on the level"]
    assert float(march.time_s) == pytest.approx(7462.687, abs=0.001)
    assert float(march.energy_J.low) == pytest.approx(362.10 * 7462.687, rel=1e-5)
    assert float(march.energy_J.low) == pytest.approx(2.70e6, abs=0.005e6)
    assert march.flags == ()


def test_a_model_out_of_its_limits_is_named_and_not_used() -> None:
    rate = metabolic_rate(speed_m_s=1.0, grade=[0.1, 0.0, -0.1, -0.2], **MARCH)
    assert np.array_equal(rate.models_used, [2, 3, 2, 1])
    assert np.array_equal(np.isnan(rate.model_W["pandolf_1977"]), [False, False, True, True])
    assert np.array_equal(np.isnan(rate.model_W["santee_downhill"]), [True, False, False, True])
    assert rate.left_out["pandolf_1977"] == ("beyond_effort_grade",)
    assert rate.left_out["minetti_2002"] == ("beyond_effort_load",)
    assert CENTRE_MODEL not in rate.left_out
    assert rate.flags == ("one_effort_model",)
    assert np.array_equal(rate.rate_W.centre, rate.model_W[CENTRE_MODEL])
    assert {flag for flags in rate.left_out.values() for flag in flags} <= set(FLAGS)


def test_without_a_load_every_model_of_level_ground_speaks() -> None:
    """Second calculation in 60-digit decimal arithmetic, at 1.2 m/s and 5 %."""
    rate = metabolic_rate(speed_m_s=1.2, grade=0.05, body_mass_kg=70.0)
    assert {key: float(rate_W) for key, rate_W in rate.model_W.items() if np.isfinite(rate_W)} == pytest.approx(
        {
            "lcda_2019": 396.775121,
            "lcda_load_2022": 396.252632,
            "pandolf_1977": 403.2,
            "minetti_2002": 393.389146,
            "acsm_walk": 419.306533,
        },
        abs=1e-6,
    )
    assert float(rate.rate_W.low) == pytest.approx(393.389146, abs=1e-6)
    assert float(rate.rate_W.high) == pytest.approx(419.306533, abs=1e-6)


def test_past_the_equation_for_packs_the_middle_of_the_others_is_used() -> None:
    rate = metabolic_rate(speed_m_s=2.2, grade=0.0, **MARCH)
    assert rate.flags == ("centre_of_others",)
    pandolf_W, santee_W = (float(rate.model_W[key]) for key in ("pandolf_1977", "santee_downhill"))
    assert float(rate.rate_W.centre) == pytest.approx(0.5 * (pandolf_W + santee_W), rel=1e-12)
    assert float(rate.rate_W.low) == pytest.approx(min(pandolf_W, santee_W), rel=1e-12)


def test_ground_no_model_knows_is_nan_and_burns_like_the_rest_of_the_leg() -> None:
    rate = metabolic_rate(speed_m_s=0.3, grade=-0.6, **MARCH)
    assert math.isnan(float(rate.rate_W.low))
    assert rate.flags == ("effort_unknown",)
    known = walk_energy([100.0, 50.0], [-0.3, 0.1], 0.5, **MARCH)
    with_steep = walk_energy([100.0, 50.0, 30.0], [-0.3, 0.1, -0.6], 0.5, **MARCH)
    assert float(with_steep.unknown_s) == pytest.approx(60.0, abs=1e-9)
    assert float(with_steep.one_model_s) == pytest.approx(200.0, abs=1e-9)
    assert float(with_steep.energy_J.high) == pytest.approx(float(known.energy_J.high) * 180.0 / 150.0, rel=1e-12)
    assert with_steep.flags == ("effort_unknown", "one_effort_model")
    nothing = walk_energy([30.0], [-0.6], 0.5, **MARCH)
    assert math.isnan(float(nothing.energy_J.centre))
    assert float(nothing.unknown_s) == pytest.approx(60.0)


def test_walkers_by_pieces_and_a_leg_without_length() -> None:
    found = walk_energy([500.0, 500.0], [0.1, -0.1], [0.8, 1.1], body_mass_kg=[[60.0], [80.0]], load_kg=[[8.0], [15.0]])
    alone = walk_energy([500.0, 500.0], [0.1, -0.1], [0.8, 1.1], body_mass_kg=80.0, load_kg=15.0)
    assert found.energy_J.low.shape == found.time_s.shape == found.unknown_s.shape == (2,)
    assert float(found.energy_J.centre[1]) == pytest.approx(float(alone.energy_J.centre), rel=1e-12)
    assert float(walk_energy([0.0], 0.0, 1.0, **MARCH).energy_J.high) == 0.0


def test_a_day_is_the_sum_of_its_legs_and_stops() -> None:
    parts = list(walks().values())
    day = day_energy(parts)
    for which in ("low", "centre", "high"):
        total = math.fsum(float(getattr(part.energy_J, which)) for part in parts)
        assert float(getattr(day.energy_J, which)) == pytest.approx(total, rel=1e-12)
    assert float(day.time_s) == pytest.approx(math.fsum(float(part.time_s) for part in parts), rel=1e-12)
    assert float(day.one_model_s) == pytest.approx(300.0 / 0.7, rel=1e-9)
    assert day.flags == ("one_effort_model",)
    with pytest.raises(ValueError, match="nothing to add up"):
        day_energy([])


@given(
    speed=st.floats(0.2, 1.9),
    grade=st.floats(-0.4, 0.45),
    body=st.floats(40.0, 120.0),
    shares=st.tuples(st.floats(0.0, 0.65), st.floats(0.0, 0.65)),
    ground=st.sampled_from([1.0, 1.1, 1.8]),
)
@settings(max_examples=150, deadline=None)
def test_a_heavier_load_never_burns_less(
    speed: float, grade: float, body: float, shares: tuple[float, float], ground: float
) -> None:
    loads = body * np.sort(shares)
    rate_W = metabolic_rate(speed_m_s=speed, grade=grade, body_mass_kg=body, load_kg=loads, terrain_n=ground).rate_W
    assert rate_W.centre[1] >= rate_W.centre[0] * (1.0 - 1e-12)
    assert bool(np.all(rate_W.low <= rate_W.centre))
    assert bool(np.all(rate_W.centre <= rate_W.high))
    assert bool(np.all(rate_W.centre > float(rest_energy(1.0, body_mass_kg=body).energy_J.centre)))


@given(cut=st.floats(0.0, 1.0), grade=st.floats(-0.35, 0.4))
@settings(max_examples=60, deadline=None)
def test_it_does_not_matter_where_a_leg_is_cut(cut: float, grade: float) -> None:
    whole = walk_energy([1000.0, 400.0], [grade, 0.05], 0.9, **MARCH)
    first, second = (
        walk_energy([1000.0 * cut], [grade], 0.9, **MARCH),
        walk_energy([1000.0 * (1.0 - cut), 400.0], [grade, 0.05], 0.9, **MARCH),
    )
    assert float(day_energy([first, second]).energy_J.high) == pytest.approx(float(whole.energy_J.high), rel=1e-9)


def test_every_unit_of_a_model_can_be_made_watts_and_numbers_have_sources() -> None:
    assert {model.unit for model in EFFORT_MODELS.values()} == set(_IN_W)
    assert set(walks()["up and down"].flags) <= set(CARRIED_FLAGS)
    for key in ("practice_oxygen", "our_energy_range"):
        assert source(key).key == key
    expected = {row["name"]: float(row["expected"]) for row in read_table("carried_numbers")}
    assert pytest.approx((expected["kilocalorie"], expected["oxygen"]), rel=1e-9) == (KCAL_J, OXYGEN_J_PER_ML)


@pytest.mark.parametrize(
    "wrong",
    [
        {"length_m": [-1.0]},
        {"length_m": [math.nan]},
        {"speed_m_s": 0.0},
        {"speed_m_s": math.nan},
        {"body_mass_kg": 0.0},
        {"load_kg": -1.0},
        {"terrain_n": 0.0},
    ],
)
def test_impossible_walks_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        walk_energy(**({"length_m": [100.0], "grade": 0.0, "speed_m_s": 1.0} | MARCH | wrong))


@pytest.mark.parametrize("wrong", [(-1.0, 70.0), (math.nan, 70.0), (60.0, 0.0)])
def test_impossible_rests_are_refused(wrong: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        rest_energy(wrong[0], body_mass_kg=wrong[1])
