"""What may be drunk: the caps, and what is then missing."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from handline.quantity import Units
from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.drinking import (
    KG_PER_L,
    MOST_L_DAY,
    MOST_L_H,
    MOST_LOSS_SHARE,
    drink,
    loss_of_body,
    overdrinking,
)
from tests.tables.published import read_table

NUMBERS = {row["name"]: float(row["expected"]) for row in read_table("carried_numbers")}


def test_numbers_are_those_of_the_table() -> None:
    found = (MOST_L_H, MOST_L_DAY, MOST_LOSS_SHARE, KG_PER_L)
    assert found == pytest.approx(
        tuple(NUMBERS[name] for name in ("most an hour", "most a day", "loss limit", "litre")), abs=5e-6
    )


@given(
    need=arrays(float, (3, 6), elements=st.floats(0.0, 20.0)),
    duration=arrays(float, 6, elements=st.floats(0.0, 30000.0)),
    night=st.integers(0, 6),
)
@settings(max_examples=150, deadline=None)
def test_never_over_the_caps_and_nothing_is_lost_from_the_count(
    need: np.ndarray, duration: np.ndarray, night: int
) -> None:
    days = (np.arange(6) >= night).astype(int)
    found = drink(need, duration, days)
    assert bool(np.all(found.drunk_L <= 1.5 * 0.946352946 * duration / 3600.0 + 1e-9))
    for day in (0, 1):
        assert bool(np.all(found.drunk_L[:, days == day].sum(axis=1) <= 12 * 0.946352946 + 1e-9))
    assert bool(np.all((found.drunk_L >= 0.0) & (found.missed_L >= 0.0)))
    assert np.allclose(found.drunk_L + found.missed_L, need, atol=1e-12)
    assert np.array_equal(found.capped, found.missed_L > 0.0)
    assert ("capped" in found.flags) == bool(np.any(found.capped))


def test_the_day_s_cap_by_hand() -> None:
    """Ten hours at 1.4 L are 14 L, and 11.356235 L may be drunk: 1.1356235 L in each, the last as much as the first."""
    found = drink(np.full(10, 1.4), np.full(10, 3600.0))
    assert found.drunk_L == pytest.approx([1.1356235] * 10, abs=1e-6)
    assert float(found.missed_L.sum()) == pytest.approx(14.0 - 11.356235, abs=1e-6)
    assert found.flags == ("capped",)
    two_days = drink(np.full(10, 1.4), np.full(10, 3600.0), [0] * 5 + [1] * 5)
    assert two_days.flags == ()
    assert np.array_equal(two_days.drunk_L, np.full(10, 1.4))


def test_drunk_is_all_that_is_needed_where_it_may_be() -> None:
    assert float(drink(0.7, 3600.0).drunk_L[0]) == 0.7
    assert float(drink(2.0, 3600.0).drunk_L[0]) == pytest.approx(1.41953, abs=1e-5)


def test_a_need_that_is_missing_leaves_its_day_unknown() -> None:
    found = drink([0.5, math.nan, 0.5, 0.5], np.full(4, 3600.0), [0, 0, 0, 1])
    assert np.array_equal(np.isnan(found.drunk_L), [True, True, True, False])
    assert found.flags == ("need_unknown",)


def test_loss_of_body() -> None:
    """1.4 L of 70 kg is just 2 %."""
    found = loss_of_body([0.7, 1.4, 1.41, math.nan], 70.0)
    assert found.share[:3] == pytest.approx([0.01, 0.02, 0.0201428571], abs=1e-9)
    assert np.array_equal(found.over, [False, False, True, False])
    assert found.flags == ("loss_over_limit", "need_unknown")
    assert set(found.flags) | {"capped"} <= set(CARRIED_FLAGS)


@pytest.mark.parametrize(("units", "caps"), [("us", ("1.5 qt", "12.0 qt")), ("si", ("1.4 L", "11.4 L"))])
def test_the_caution_says_both_caps_in_the_units_of_the_trip(units: Units, caps: tuple[str, str]) -> None:
    assert f"more than you lose, nor more than {caps[0]} in an hour or {caps[1]} in a day" in overdrinking(units)


@pytest.mark.parametrize("wrong", [{"need_L": -0.1}, {"duration_s": -1.0}, {"duration_s": math.nan}])
def test_impossible_drinking_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        drink(**({"need_L": 0.5, "duration_s": 3600.0} | wrong))


@pytest.mark.parametrize("wrong", [{"missed_L": -0.1}, {"body_mass_kg": 0.0}, {"body_mass_kg": math.nan}])
def test_impossible_losses_are_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        loss_of_body(**({"missed_L": 0.5, "body_mass_kg": 70.0} | wrong))
