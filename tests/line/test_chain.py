"""Parts in series: their stiffness by hand, what is refused, and where the numbers of each part come from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.line.arrest import ABSORBER_EN_958_2017
from handline.line.chain import (
    BODY_FROM_MEMORY,
    Body,
    Chain,
    GivingPart,
    absorber_bounds,
    cable_along_N_m,
    slipping_hitch,
)
from handline.sources import source


def test_what_is_not_said_is_rigid() -> None:
    chain = Chain(strand_N=161e3, strand_m=0.6)
    assert chain.stiffness_N_m == pytest.approx(161e3 / 0.6, rel=1e-14)
    assert [float(give) for give in chain.spring_m_N[:2]] == [0.0, 0.0]
    assert (chain.giving, chain.body) == ((), None)


def test_springs_in_series_by_hand() -> None:
    # 1 / (1/300 + 1/600 + 1/200) = 100 N/m; a strand of EA 150 N and 0.75 m has 200 N/m.
    chain = Chain(strand_N=150.0, strand_m=0.75, stop_N_m=300.0, cable_N_m=600.0)
    assert chain.stiffness_N_m == pytest.approx(100.0, rel=1e-14)


def test_arrays_broadcast() -> None:
    chain = Chain(strand_N=np.array([[1e4], [2e4]]), strand_m=np.array([0.5, 1.0, 2.0]))
    assert chain.stiffness_N_m.tolist() == [[2e4, 1e4, 5e3], [4e4, 2e4, 1e4]]


def test_a_rigid_chain_needs_a_body_that_gives() -> None:
    with pytest.raises(ValueError, match="must spring"):
        Chain(strand_N=np.inf, strand_m=1.0)
    with pytest.raises(ValueError, match="must spring"):
        Chain(strand_N=np.array([1e4, np.inf]), strand_m=1.0, body=Body(np.inf, 0.0))
    chain = Chain(strand_N=np.inf, strand_m=1.0, body=BODY_FROM_MEMORY)
    assert np.isinf(chain.stiffness_N_m)


@pytest.mark.parametrize("name", ["strand_N", "strand_m", "stop_N_m", "cable_N_m"])
@pytest.mark.parametrize("number", [0.0, -1.0, np.nan])
def test_a_spring_is_above_nothing(name: str, number: float) -> None:
    with pytest.raises(ValueError, match=name):
        replace(Chain(strand_N=1e4, strand_m=1.0), **{name: np.array([1.0, number])})


def test_a_strand_has_a_length() -> None:
    with pytest.raises(ValueError, match="strand_m must be finite"):
        Chain(strand_N=1e4, strand_m=np.inf)


def test_two_parts_give_at_most() -> None:
    with pytest.raises(ValueError, match="at most 2"):
        Chain(strand_N=1e4, strand_m=1.0, giving=(slipping_hitch(1000.0),) * 3)


@pytest.mark.parametrize(
    ("numbers", "named"),
    [
        ((1000.0, 0.0, 1.0), "plateau_N"),
        ((1000.0, np.nan, 1.0), "plateau_N"),
        ((np.inf, np.inf, 1.0), "plateau_N"),
        ((999.0, 1000.0, 1.0), "opening_N"),
        ((np.inf, 1000.0, 1.0), "opening_N"),
        ((1000.0, 1000.0, 0.0), "travel_m"),
        ((1000.0, 1000.0, np.nan), "travel_m"),
    ],
)
def test_a_part_that_cannot_be_is_refused(numbers: tuple[float, float, float], named: str) -> None:
    with pytest.raises(ValueError, match=named):
        GivingPart(*numbers)


@pytest.mark.parametrize(
    ("stiffness", "damping", "named"),
    [(0.0, 1.0, "stiffness"), (np.nan, 1.0, "stiffness"), (1e5, -1.0, "damping"), (1e5, np.inf, "damping")],
)
def test_a_body_that_cannot_be_is_refused(stiffness: float, damping: float, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        Body(stiffness, damping)


def test_a_hitch_slips_without_end_at_the_force_given() -> None:
    hitch = slipping_hitch(2500.0)
    assert (hitch.opening_N, hitch.plateau_N, hitch.travel_m) == (2500.0, 2500.0, np.inf)
    assert source(hitch.source).title


@pytest.mark.parametrize(("wet", "ceiling_N"), [(False, 6000.0), (True, 8000.0)])
def test_an_absorber_is_taken_at_both_its_ends(wet: bool, ceiling_N: float) -> None:
    # EN 958:2017: 6 kN dry, 8 kN wet, 2.2 m; the weak end is from memory.
    hard, weak = absorber_bounds(ABSORBER_EN_958_2017, wet)
    assert (hard.opening_N, hard.plateau_N, hard.travel_m) == (ceiling_N, ceiling_N, 2.2)
    assert (weak.opening_N, weak.plateau_N, weak.travel_m) == (3000.0, 3000.0, 2.2)
    assert (source(hard.source).kind, source(weak.source).kind) == ("standard", "from memory")


def test_the_body_from_memory_says_so() -> None:
    assert (BODY_FROM_MEMORY.stiffness_N_m, BODY_FROM_MEMORY.damping_N_s_m) == (300e3, 1000.0)
    assert source(BODY_FROM_MEMORY.source).kind == "from memory"


def test_along_the_cable_by_hand() -> None:
    # EA 8,400 kN, the low end for 15 mm steel cable (reference page), in the middle of 2.7 m: 8.4e6 * 2 / 1.35.
    assert cable_along_N_m(8.4e6, 1.35, 1.35) == pytest.approx(12.444e6, rel=1e-4)
    assert cable_along_N_m(8.4e6, 2.7, np.inf) == pytest.approx(8.4e6 / 2.7, rel=1e-14)
    with pytest.raises(ValueError, match="above 0"):
        cable_along_N_m(8.4e6, 0.0, 1.0)


@given(st.floats(0.05, 10.0), st.floats(0.05, 10.0))
def test_a_cable_is_softest_in_the_middle(upper_m: float, lower_m: float) -> None:
    middle = 0.5 * (upper_m + lower_m)
    assert cable_along_N_m(8.4e6, upper_m, lower_m) >= cable_along_N_m(8.4e6, middle, middle) * (1 - 1e-12)
