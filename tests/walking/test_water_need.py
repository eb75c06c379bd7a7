"""Water an hour: the table, the rule below it, and that more heat or work never asks for less."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.quantity import QUART_L
from handline.sources import source
from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.drinking import MOST_L_H
from handline.walking.energy import metabolic_rate
from handline.walking.sweat import WORK, drink_L_h
from handline.walking.water_need import (
    EASY_BELOW_KG,
    EASY_TO_M_S,
    LEVEL_GRADE,
    MODERATE_BELOW_KG,
    MODERATE_TO_M_S,
    REST_L_H,
    UNKNOWN_WORK,
    WORK_FROM_W,
    rest_need,
    water_need,
    work_by_rate,
    work_by_words,
)
from tests.tables.published import read_table

NUMBERS = {row["name"]: float(row["expected"]) for row in read_table("carried_numbers")}


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(
    "row", read_table("water_need"), ids=lambda r: f"{r['wbgt_F']} {r['work']} {r['sun_share'] or '-'} {r['which']}"
)
def test_need_agrees_with_the_table(row: dict[str, str]) -> None:
    sun = float(row["sun_share"] or "nan")
    need = water_need(celsius(float(row["wbgt_F"])), WORK.index(row["work"]), sun).need_L_h
    assert float(getattr(need, row["which"])) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@given(wbgt_F=st.floats(78.0, 110.0), work=st.sampled_from(WORK))
@settings(max_examples=100, deadline=None)
def test_within_the_table_the_middle_is_its_row_or_the_half_litre(wbgt_F: float, work: str) -> None:
    # At a row's edge the last digit of the conversion decides, so the referee is asked a hair above it.
    centre = float(water_need(celsius(wbgt_F), WORK.index(work)).need_L_h.centre)
    assert centre == pytest.approx(max(drink_L_h(wbgt_F + 1e-6, work), 0.5), rel=1e-12)


@pytest.mark.parametrize(
    ("wbgt_F", "work", "before_qt", "from_qt"),
    [(82.0, "hard", 0.75, 1.0), (85.0, "easy", 0.5, 0.75), (90.0, "moderate", 0.75, 1.0), (90.0, "easy", 0.75, 1.0)],
)
def test_a_row_begins_at_its_own_temperature_in_celsius_too(
    wbgt_F: float, work: str, before_qt: float, from_qt: float
) -> None:
    centre = water_need([celsius(wbgt_F - 1e-4), celsius(wbgt_F)], WORK.index(work)).need_L_h.centre
    assert centre == pytest.approx([max(before_qt * QUART_L, 0.5), from_qt * QUART_L], rel=1e-12)


def test_the_table_begins_at_78_F() -> None:
    assert water_need(celsius(78.0), 0).flags == ()
    # Come through other units, it may have lost its last digits.
    assert water_need(celsius(78.0) - 1e-12, 0).flags == ()
    assert water_need(celsius(78.0 - 1e-4), 0).flags == ("below_heat_table",)


@given(
    wbgt=st.tuples(st.floats(-30.0, 45.0), st.floats(-30.0, 45.0)),
    work=st.tuples(st.integers(0, 2), st.integers(0, 2)),
    sun=st.one_of(st.just((math.nan, math.nan)), st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1.0))),
)
@settings(max_examples=300, deadline=None)
def test_more_heat_work_or_sun_never_asks_for_less(
    wbgt: tuple[float, float], work: tuple[int, int], sun: tuple[float, float]
) -> None:
    need = water_need(sorted(wbgt), sorted(work), sorted(sun)).need_L_h
    for of_both in (need.low, need.centre, need.high):
        assert of_both[1] >= of_both[0]
        assert bool(np.all((of_both >= 0.03 - 1e-12) & (of_both <= MOST_L_H + 1e-12)))


@given(loads=st.tuples(st.floats(0.0, 40.0), st.floats(0.0, 40.0)), grade=st.floats(-0.3, 0.4), wbgt=st.floats(20, 35))
@settings(max_examples=100, deadline=None)
def test_a_heavier_pack_never_asks_for_less(loads: tuple[float, float], grade: float, wbgt: float) -> None:
    rate = metabolic_rate(speed_m_s=1.0, grade=grade, body_mass_kg=70.0, load_kg=sorted(loads))
    centre = water_need(wbgt, work_by_rate(rate.rate_W.centre)).need_L_h.centre
    assert centre[1] >= centre[0]


def test_hours_by_members() -> None:
    need = water_need(np.linspace(10.0, 33.0, 8), np.array([[0], [1], [2]]), 0.5)
    assert need.need_L_h.low.shape == need.need_L_h.high.shape == (3, 8)
    assert need.flags == ("below_heat_table",)


def test_what_is_missing_is_nan_and_named() -> None:
    need = water_need([math.nan, 30.0, -5.0], [1, UNKNOWN_WORK, 1])
    assert np.array_equal(np.isnan(need.need_L_h.centre), [True, True, False])
    assert need.flags == ("wbgt_unknown", "work_unknown", "below_heat_table", "freezing")
    assert set(need.flags) <= set(CARRIED_FLAGS)


def test_work_by_rate() -> None:
    assert np.array_equal(work_by_rate([100.0, 324.9, 325.0, 499.9, 500.0, 900.0, math.nan]), [0, 0, 1, 1, 2, 2, -1])
    assert (NUMBERS["moderate from"], NUMBERS["hard from"]) == WORK_FROM_W


@pytest.mark.parametrize(
    ("speed_mph", "load_lb", "work"),
    [(2.5, 29.9, 0), (2.5, 30.0, 1), (2.6, 10.0, 1), (3.5, 39.9, 1), (3.5, 40.0, 2), (2.0, 40.0, 2), (3.6, 10.0, 2)],
)
def test_work_by_the_words_of_the_table(speed_mph: float, load_lb: float, work: int) -> None:
    assert int(work_by_words(speed_mph * 0.44704, 0.0, load_lb * 0.45359237)) == work


def test_off_the_level_the_words_say_nothing_and_the_harder_opinion_counts() -> None:
    by_words = work_by_words([1.0, 1.0, math.nan, 1.0], [0.0201, -0.0201, 0.0, 0.02], 20.0)
    assert np.array_equal(by_words, [UNKNOWN_WORK, UNKNOWN_WORK, UNKNOWN_WORK, 2])
    assert np.array_equal(np.maximum(by_words, work_by_rate(400.0)), [1, 1, 1, 2])


def test_numbers_are_those_of_the_table() -> None:
    found = (EASY_TO_M_S, MODERATE_TO_M_S, EASY_BELOW_KG, MODERATE_BELOW_KG, LEVEL_GRADE, *REST_L_H)
    names = (
        "easy to",
        "moderate to",
        "easy below",
        "moderate below",
        "level to",
        "rest low",
        "rest centre",
        "rest high",
    )
    assert found == pytest.approx(tuple(NUMBERS[name] for name in names), abs=5e-6)
    for key in ("tb_med_507", "tb_med_507_rates", "fire_shifts", "practice_water", "our_water_need"):
        assert source(key).key == key


def test_a_night() -> None:
    night = rest_need([0.0, 10.0])
    assert np.allclose([night.low, night.centre, night.high], [[0.0, 0.5], [0.0, 1.0], [0.0, 2.0]])
    for hours in (-1.0, math.nan):
        with pytest.raises(ValueError, match="hours"):
            rest_need(hours)


@pytest.mark.parametrize("work", [3, -2, 1.0])
def test_work_that_is_none_is_refused(work: float) -> None:
    with pytest.raises(ValueError, match="work must be whole numbers"):
        water_need(25.0, work)


@pytest.mark.parametrize("sun", [-0.1, 1.1])
def test_more_than_full_sun_is_refused(sun: float) -> None:
    with pytest.raises(ValueError, match="sun_share"):
        water_need(25.0, 1, sun)
