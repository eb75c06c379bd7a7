"""The loop of weight, pace, hours and water comes to rest, and says so when it does not."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.drinking import KG_PER_L, drink
from handline.walking.energy import metabolic_rate
from handline.walking.fixed_point import settle
from handline.walking.load import load_factor
from handline.walking.water_need import water_need, work_by_rate

FloatArray = npt.NDArray[np.float64]


def test_a_straight_line_against_its_closed_form() -> None:
    """x = 3 + 0.25 x has x = 4; from 0 the changes are 3, 3/4, 3/16 ..."""
    found = settle(lambda x: 3.0 + 0.25 * x, np.zeros(2), 1e-6, 50)
    assert found.values == pytest.approx([4.0, 4.0], abs=found.error_bound + 1e-12)
    assert found.residuals[:3] == pytest.approx([3.0, 0.75, 0.1875], rel=1e-12)
    # 3 / 4^k <= 1e-6 from k = 11 on.
    assert found.iterations == 12
    assert found.settled
    assert found.ratio == pytest.approx(0.25, rel=1e-6)
    assert found.error_bound == pytest.approx(float(np.max(np.abs(found.values - 4.0))), rel=1e-6)
    assert found.words.startswith("Settled after 12 steps: it stands still")
    assert "0.25 of the one before" in found.words


@given(slope=st.floats(-0.95, 0.95), start=st.floats(-100.0, 100.0))
@settings(max_examples=100, deadline=None)
def test_whatever_the_start_it_comes_to_the_same(slope: float, start: float) -> None:
    found = settle(lambda x: 1.0 + slope * x, start, 1e-6, 1000)
    assert found.settled
    # What is left is the last change times slope / (1 - slope): nineteen of them at the steepest.
    assert float(found.values) == pytest.approx(1.0 / (1.0 - slope), abs=2e-5)


def test_a_loop_that_runs_away_is_told_and_not_raised() -> None:
    found = settle(lambda x: 1.0 + 1.5 * x, 1.0, 1e-6, 20)
    assert not found.settled
    assert found.iterations == 20
    assert found.ratio == pytest.approx(1.5, rel=1e-6)
    assert math.isnan(found.error_bound)
    assert found.words.startswith("Not settled after 20 steps: 20 steps were not enough")
    there_and_back = settle(lambda x: -x, 1.0, 1e-6, 7)
    assert (there_and_back.settled, there_and_back.ratio) == (False, 1.0)


def test_the_worst_of_the_last_two_ratios_counts() -> None:
    after = iter([1.0, 1.1, 1.4, 1.49])
    found = settle(lambda x: next(after), 0.0, 1e-6, 4)
    assert found.residuals == pytest.approx([1.0, 0.1, 0.3, 0.09])
    assert found.ratio == pytest.approx(3.0)


def test_what_is_no_number_stops_the_loop() -> None:
    found = settle(lambda x: np.where(x > 2.0, np.nan, x + 1.0), 0.0, 1e-6, 50)
    assert (found.settled, found.iterations) == (False, 4)
    assert "no number" in found.words
    assert math.isnan(found.residual)


def test_what_stands_still_at_once() -> None:
    found = settle(lambda x: x, [1.0, 2.0], 1e-9, 5)
    assert (found.settled, found.iterations, found.residual, found.error_bound) == (True, 1, 0.0, 0.0)
    assert math.isnan(found.ratio)
    assert "of the one before" not in found.words


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"start": math.nan}, "start"),
        ({"tolerance": 0.0}, "tolerance"),
        ({"tolerance": math.nan}, "tolerance"),
        ({"most": 0}, "most"),
        ({"start": [1.0, 2.0], "step": lambda x: x[:1]}, "keep the shape"),
    ],
)
def test_impossible_loops_are_refused(wrong: dict[str, object], words: str) -> None:
    given_: dict[str, object] = {"step": lambda x: x, "start": 1.0, "tolerance": 1e-6, "most": 5}
    with pytest.raises(ValueError, match=words):
        settle(**(given_ | wrong))  # type: ignore[arg-type]


RUN_M = np.array([2000.0, 1500.0, 1000.0, 1500.0])
GRADE = np.array([0.08, 0.25, 0.15, -0.2])
SPEED_M_S = np.array([1.1, 0.6, 0.8, 0.8])


def loop(body_kg: float, gear_kg: float, wbgt_C: float, ways: float) -> Callable[[FloatArray], FloatArray]:
    """Water for a way without a source [kg] -> pack -> pace -> hours and work -> water. Half of it on the mean."""

    def step(water_kg: FloatArray) -> FloatArray:
        load_kg = gear_kg + 0.5 * float(water_kg)
        factor = load_factor(SPEED_M_S, GRADE, body_mass_kg=body_kg, pack_mass_kg=load_kg, carried_kg=0.0).time_factor
        speed_m_s = SPEED_M_S / factor
        hours = ways * RUN_M / speed_m_s / 3600.0
        rate = metabolic_rate(
            speed_m_s=speed_m_s * np.hypot(1.0, GRADE), grade=GRADE, body_mass_kg=body_kg, load_kg=load_kg
        )
        need = water_need(wbgt_C, work_by_rate(rate.rate_W.centre)).need_L_h.at(0.9) * hours
        return np.asarray(KG_PER_L * (drink(need, hours * 3600.0).drunk_L.sum() + 0.5))

    return step


@pytest.mark.parametrize("body_kg", [45.0, 60.0, 75.0, 100.0])
@pytest.mark.parametrize("gear_share", [0.02, 0.1, 0.2, 0.35])
@pytest.mark.parametrize("wbgt_C", [5.0, 20.0, 27.0, 33.0])
def test_every_sensible_pack_settles_soon(body_kg: float, gear_share: float, wbgt_C: float) -> None:
    """Three hours between sources, a tolerance of a spoon of water."""
    step = loop(body_kg, gear_share * body_kg, wbgt_C, 1.0)
    found = settle(step, 0.0, 0.01, 15)
    assert found.settled, found.words
    assert found.iterations < 15
    assert found.ratio < 0.5 or found.iterations <= 3
    from_much = settle(step, 8.0, 0.01, 15)
    assert float(from_much.values) == pytest.approx(float(found.values), abs=0.03)
    assert 0.5 < float(found.values) < 12.0


def test_a_longer_way_settles_more_slowly_as_the_docstring_says() -> None:
    ratios = [settle(loop(60.0, 9.0, 20.0, ways), 0.0, 1e-4, 30).ratio for ways in (0.5, 1.0, 2.0)]
    assert ratios == sorted(ratios)
    assert 0.01 < ratios[0] < ratios[2] < 0.5


def test_a_way_of_days_without_water_does_not_settle() -> None:
    """Without the caps, which would stop it: each kilogram asks for more than a kilogram."""

    def step(water_kg: FloatArray) -> FloatArray:
        factor = load_factor(0.8, 0.1, body_mass_kg=60.0, pack_mass_kg=15.0 + 0.5 * water_kg, carried_kg=0.0)
        return 60.0 * factor.time_factor

    found = settle(step, 0.0, 0.01, 15)
    assert not found.settled
    assert found.words.startswith("Not settled")
