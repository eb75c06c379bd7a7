"""Work in the light and in the dark."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.darkness import arrive_clock_s

NIGHT = [(72_000.0, 108_000.0)]  # 20:00 to 06:00

clocks = st.floats(-50_000.0, 300_000.0)
works = st.floats(0.0, 100_000.0)
factors = st.floats(1.0, 4.0)
nights = st.lists(st.floats(-40_000.0, 250_000.0), min_size=0, max_size=6).map(
    lambda edges: np.array(sorted(edges[: len(edges) // 2 * 2])).reshape(-1, 2)
)


@pytest.mark.parametrize(
    ("depart_s", "work_s", "expected_s"),
    [
        (36_000.0, 7_200.0, 43_200.0),  # all in the light
        (68_400.0, 7_200.0, 77_400.0),  # an hour in the light, an hour that takes an hour and a half
        (75_600.0, 3_600.0, 81_000.0),  # all in the dark
        (102_600.0, 7_200.0, 111_600.0),  # an hour and a half of dark does an hour; then an hour of light
        (72_000.0, 24_000.0, 108_000.0),  # the whole night, to the second
        (200_000.0, 50_000.0, 250_000.0),  # long after the last span
        (68_400.0, 28_800.0, 109_200.0),  # through the night and out again
    ],
)
def test_arithmetic_by_hand(depart_s: float, work_s: float, expected_s: float) -> None:
    """Dark from 20:00 to 06:00, where work takes 1.5 times as long."""
    assert arrive_clock_s(depart_s, work_s, NIGHT, 1.5) == pytest.approx(expected_s, abs=1e-6)


def test_without_dark_the_clock_just_adds() -> None:
    assert arrive_clock_s([0.0, 10.0], 5.0, np.empty((0, 2)), 2.0).tolist() == [5.0, 15.0]


def test_shapes_broadcast() -> None:
    assert arrive_clock_s(np.zeros((3, 1)), np.ones(4), NIGHT, 1.5).shape == (3, 4)


@given(depart_s=clocks, first_s=works, then_s=works, spans=nights, factor=factors)
@settings(deadline=None)
def test_one_walk_after_another_is_the_whole_walk(
    depart_s: float, first_s: float, then_s: float, spans: np.ndarray, factor: float
) -> None:
    halfway_s = arrive_clock_s(depart_s, first_s, spans, factor)
    in_two_s = arrive_clock_s(halfway_s, then_s, spans, factor)
    assert in_two_s == pytest.approx(float(arrive_clock_s(depart_s, first_s + then_s, spans, factor)), abs=1e-5)


@given(depart_s=clocks, work_s=works, spans=nights, factor=factors)
@settings(deadline=None)
def test_looking_back_finds_the_start(depart_s: float, work_s: float, spans: np.ndarray, factor: float) -> None:
    arrive_s = arrive_clock_s(depart_s, work_s, spans, factor)
    assert arrive_clock_s(arrive_s, -work_s, spans, factor) == pytest.approx(depart_s, abs=1e-5)


@given(depart_s=clocks, work_s=works, spans=nights, factor=factors)
@settings(deadline=None)
def test_never_sooner_than_in_the_light_nor_later_than_in_the_dark(
    depart_s: float, work_s: float, spans: np.ndarray, factor: float
) -> None:
    took_s = float(arrive_clock_s(depart_s, work_s, spans, factor)) - depart_s
    assert work_s - 1e-5 <= took_s <= factor * work_s + 1e-5


@given(spans=nights, factor=factors, work_s=works)
@settings(deadline=None)
def test_leaving_later_never_arrives_sooner(spans: np.ndarray, factor: float, work_s: float) -> None:
    arrive_s = arrive_clock_s(np.linspace(-60_000.0, 300_000.0, 500), work_s, spans, factor)
    assert np.all(np.diff(arrive_s) > 0.0)


@pytest.mark.parametrize("factor", [0.0, -1.0, float("nan"), float("inf")])
def test_a_factor_must_make_sense(factor: float) -> None:
    with pytest.raises(ValueError, match="dark_factor"):
        arrive_clock_s(0.0, 1.0, NIGHT, factor)


@pytest.mark.parametrize("spans", [[(5.0, 1.0)], [(0.0, 5.0), (4.0, 9.0)], [(0.0, float("inf"))], [0.0, 1.0]])
def test_spans_must_be_in_order_and_apart(spans: list[object]) -> None:
    with pytest.raises(ValueError, match="dark_spans"):
        arrive_clock_s(0.0, 1.0, np.array(spans), 1.5)


def test_clocks_that_are_no_number_stay_so_and_far_ones_go_on_straight() -> None:
    spans = [[0.0, 100.0], [200.0, 300.0]]
    depart = np.array([np.nan, np.inf, -np.inf, 1e12, -1e12, 50.0])
    found = arrive_clock_s(depart, 25.0, spans, 2.0)
    assert np.isnan(found[0])
    assert found[1:3].tolist() == [np.inf, -np.inf]
    # In the light before and after; and in the dark of the first span at half the rate.
    assert found[3:].tolist() == pytest.approx([1e12 + 25.0, -1e12 + 25.0, 100.0])
