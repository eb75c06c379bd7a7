"""Hitches: what the trade says of them, the cord rule, theory labelled theory, and heat worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.line.fibres import FIBRES
from handline.line.friction import ROCKS
from handline.line.hitches import (
    AIR_C,
    CORD_ON_CABLE,
    CORD_ON_CABLE_SOURCE,
    CORD_THICK,
    CORD_TOO_THICK,
    HITCHES,
    capstan_ratio,
    cord_fits,
    cord_flag,
    hang_test_N,
    least_friction_to_lock,
    slip_temperature_C,
    slip_to_melt_m,
)
from handline.sources import source
from tests.tables.published import read_table

FLAGS = {"fits": "", "thick": CORD_THICK, "too thick": CORD_TOO_THICK}


def test_what_the_trade_says_of_each() -> None:
    # Common practice: coils of single cord round the cable, stop or brake, one way, up, down.
    told = {
        hitch.key: (hitch.coils, hitch.is_stop, hitch.one_way, hitch.for_up, hitch.for_down)
        for hitch in HITCHES.values()
    }
    assert told == {
        "prusik": (6, True, False, True, True),
        "klemheist": (8, True, True, True, False),
        "autoblock": (8, False, False, False, True),
        "valdotain": (7, True, True, True, True),
    }
    for hitch in HITCHES.values():
        assert source(hitch.source).kind == "common practice"


@pytest.mark.parametrize("row", read_table("cord_rule"), ids=lambda row: f"{row['cord_mm']}-{row['cable_mm']}")
def test_cord_against_cable(row: dict[str, str]) -> None:
    cord_m, cable_m = float(row["cord_mm"]) / 1000.0, float(row["cable_mm"]) / 1000.0
    assert cord_flag(cord_m, cable_m) == FLAGS[row["expected"]]
    assert bool(cord_fits(cord_m, cable_m)) == (row["expected"] == "fits")


def test_the_rule_goes_over_arrays() -> None:
    assert cord_fits([0.006, 0.007], [[0.009], [0.012]]).tolist() == [[True, False], [True, True]]


@pytest.mark.parametrize("row", read_table("capstan"), ids=lambda row: f"{row['mu']}-{row['turns']}")
def test_capstan(row: dict[str, str]) -> None:
    ratio = capstan_ratio(float(row["mu"]), float(row["turns"]))
    assert ratio == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_capstan_is_what_integrating_the_pull_gives() -> None:
    """dT/dphi = mu T in small steps, an independent way."""
    steps, mu, turns = 200_000, 0.17, 2.5
    pull = (1.0 + mu * 2.0 * math.pi * turns / steps) ** steps
    assert capstan_ratio(mu, turns) == pytest.approx(pull, rel=1e-4)


def test_a_lock_needs_friction_whatever_hangs_on_it() -> None:
    # By hand: 1 / (2 pi x 6 x 0.5) = 0.05305; a tenth of the load in each coil asks for five times that.
    assert least_friction_to_lock(6, 0.5) == pytest.approx(0.05305, abs=5e-6)
    assert least_friction_to_lock(6, 0.1) == pytest.approx(0.26526, abs=5e-6)


@given(st.integers(1, 12), st.floats(0.01, 1.0), st.floats(0.1, 1e5))
def test_friction_at_the_threshold_just_holds_any_load(coils: int, share: float, load_N: float) -> None:
    mu = float(least_friction_to_lock(coils, share))
    assert mu * 2.0 * math.pi * coils * share * load_N == pytest.approx(load_N)


def test_hanging_shows_no_more_than_the_weight() -> None:
    # By hand: 85 x 9.80665 = 833.565 N upright, and half of it at 30 deg.
    assert hang_test_N(85.0, math.pi / 2) == pytest.approx(833.565, abs=5e-4)
    assert hang_test_N(85.0, math.radians(30.0)) == pytest.approx(416.783, abs=5e-4)


def test_cord_on_cable_has_a_range_for_every_state_of_the_rock() -> None:
    # Dry: polyamide on steel, second-hand; the others from memory, and never more than dry.
    assert dict(CORD_ON_CABLE) == {
        "dry": (0.25, 0.45), "damp": (0.15, 0.35), "wet": (0.15, 0.35), "iced": (0.03, 0.10),
    }  # fmt: skip
    assert set(CORD_ON_CABLE) == set(CORD_ON_CABLE_SOURCE) == set(ROCKS)
    assert source(CORD_ON_CABLE_SOURCE["iced"]).kind == "from memory"


def test_heat_of_a_slip_worked_by_hand() -> None:
    # 6 mm PA6 on 12 mm cable, 6 coils: 6 pi 0.018 = 0.339292 m of cord; its section 28.2743 mm2, 0.7 of it fibre;
    # 0.7 x 1140 x 28.2743e-6 x 0.339292 = 7.65542e-3 kg, x 1700 = 13.01421 J/K. 500 N over 2 m are 1000 J.
    low, high = slip_temperature_C(500.0, 2.0, 6, 0.006, 0.012, FIBRES["PA6"])
    assert low == pytest.approx(20.0 + 0.5 * 1000.0 / 13.01421, abs=1e-3)
    assert high == pytest.approx(20.0 + 1000.0 / (0.25 * 13.01421), abs=1e-3)
    # To 220 C, where it begins to melt: 200 x 13.01421 x 0.25 / 500 m at the high end, 8 times that at the low end.
    soon, late = slip_to_melt_m(500.0, 6, 0.006, 0.012, FIBRES["PA6"])
    assert (float(soon), float(late)) == pytest.approx((1.301421, 10.411368), abs=2e-6)


@given(
    st.floats(50, 2e4), st.integers(2, 10), st.floats(0.004, 0.008), st.floats(0.009, 0.03), st.sampled_from([*FIBRES])
)
def test_the_two_ways_of_heat_are_one(force_N: float, coils: int, cord_m: float, cable_m: float, key: str) -> None:
    fibre = FIBRES[key]
    soon, late = slip_to_melt_m(force_N, coils, cord_m, cable_m, fibre)
    assert 0.0 < soon < late
    assert slip_temperature_C(force_N, soon, coils, cord_m, cable_m, fibre)[1] == pytest.approx(fibre.melting_C[0])
    assert slip_temperature_C(force_N, late, coils, cord_m, cable_m, fibre)[0] == pytest.approx(fibre.melting_C[0])


@given(st.floats(0, 2e4), st.floats(0, 50), st.floats(1.0, 3.0))
def test_more_slip_or_pull_is_never_cooler(force_N: float, slip_m: float, more: float) -> None:
    for fibre in FIBRES.values():
        once = np.array(slip_temperature_C(force_N, slip_m, 6, 0.006, 0.012, fibre))
        assert (once >= AIR_C).all()
        assert (np.array(slip_temperature_C(force_N, slip_m * more, 6, 0.006, 0.012, fibre)) >= once).all()
        assert (np.array(slip_temperature_C(force_N * more, slip_m, 6, 0.006, 0.012, fibre)) >= once).all()
