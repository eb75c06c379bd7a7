"""Smoothing and climb counting against closed forms, brute force and an independent way of counting."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.integrate import quad

from handline.route.elevation import (
    DEAD_BAND_M,
    SMOOTHING_WINDOW_M,
    counted_climb_m,
    smoothed_elevation_m,
    summed_climb_m,
    turning_points,
)

heights = arrays(float, st.integers(2, 60), elements=st.integers(0, 40).map(float))


def sawtooth(teeth: int, height_m: float, slope_m: float = 0.0) -> np.ndarray:
    """Up and down ``teeth`` times, every tooth of this height, all of it gaining ``slope_m`` a tooth."""
    ground = np.zeros(2 * teeth + 1)
    ground[1::2] = height_m
    return ground + slope_m * np.arange(2 * teeth + 1) / 2.0


@pytest.mark.parametrize("height_m", [5.0, 5.001, 12.0])
def test_teeth_of_the_band_or_more_count_in_full(height_m: float) -> None:
    """Closed form: n teeth of height h climb n h and fall n h."""
    up, down = counted_climb_m(sawtooth(20, height_m), 5.0)
    assert (up[-1], down[-1]) == pytest.approx((20 * height_m, 20 * height_m))


@pytest.mark.parametrize("height_m", [0.5, 4.999])
def test_teeth_under_the_band_do_not_count(height_m: float) -> None:
    assert counted_climb_m(sawtooth(20, height_m), 5.0)[0][-1] == 0.0
    assert summed_climb_m(sawtooth(20, height_m)) == pytest.approx((20 * height_m, 20 * height_m))


def test_small_teeth_on_a_slope_leave_the_slope() -> None:
    """Closed form: each tooth rises h + s/2 and falls h - s/2; below the band s n is left, and the last fall."""
    up, down = counted_climb_m(sawtooth(50, 4.0, slope_m=3.0), 5.0)
    assert (up[-1], down[-1]) == pytest.approx((150.0 + 2.5, 2.5))
    up, down = counted_climb_m(sawtooth(50, 8.0, slope_m=3.0), 5.0)
    assert (up[-1], down[-1]) == pytest.approx((50 * 9.5, 50 * 6.5))


def test_no_band_counts_every_rise() -> None:
    rng = np.random.default_rng(3)
    ground = np.cumsum(rng.normal(0.0, 1.0, 500))
    up, down = counted_climb_m(ground, 0.0)
    assert (up[-1], down[-1]) == pytest.approx(summed_climb_m(ground))


def test_turning_points_of_a_plain_day() -> None:
    #           0    1    2    3    4    5    6    7    8    9
    ground = [100, 104, 101, 130, 127, 128, 160, 158, 120, 123]
    assert turning_points(np.array(ground, dtype=float), 5.0).tolist() == [0, 6, 8, 9]


def swings_by_removal(ground: np.ndarray, band_m: float) -> float:
    """Climb counted another way: take out the smallest swing under the band until none is left."""
    turns = [float(ground[0]), *(float(after) for before, after in pairwise(ground) if after != before)]
    while True:
        inner = zip(turns[:-2], turns[1:-1], turns[2:], strict=True)
        turns = [turns[0], *(b for a, b, c in inner if (b - a) * (c - b) < 0), turns[-1]]
        size, first = min((abs(after - before), i) for i, (before, after) in enumerate(pairwise(turns)))
        if size >= band_m:
            return sum(max(after - before, 0.0) for before, after in pairwise(turns))
        del turns[first : first + 2]


@given(heights, st.integers(1, 12).map(float))
def test_counting_agrees_with_taking_out_the_smallest_swings(ground: np.ndarray, band_m: float) -> None:
    """Between two deep valleys, so that there are no stubs at the ends, the two ways agree exactly."""
    valley = np.array([-1000.0])
    between = np.concatenate((valley, ground, valley))
    assert counted_climb_m(between, band_m)[0][-1] == pytest.approx(swings_by_removal(between, band_m))


@given(heights, st.integers(0, 12).map(float))
def test_walking_back_swaps_up_and_down(ground: np.ndarray, band_m: float) -> None:
    up, down = counted_climb_m(ground, band_m)
    back_up, back_down = counted_climb_m(ground[::-1], band_m)
    assert (back_up[-1], back_down[-1]) == pytest.approx((down[-1], up[-1]))


@given(heights, st.integers(0, 12).map(float))
def test_up_less_down_is_the_net_rise_and_never_more_than_the_raw_sum(ground: np.ndarray, band_m: float) -> None:
    up, down = counted_climb_m(ground, band_m)
    raw_up, raw_down = summed_climb_m(ground)
    assert up[-1] - down[-1] == pytest.approx(ground[-1] - ground[0])
    assert up[-1] <= raw_up + 1e-9
    assert down[-1] <= raw_down + 1e-9
    assert up[-1] >= ground.max() - ground[0] - band_m
    assert (np.diff(up) >= 0).all()
    assert (np.diff(down) >= 0).all()


@given(heights)
def test_a_wider_band_never_counts_more(ground: np.ndarray) -> None:
    """Beyond the stubs at the two ends, which come and go with the band."""
    counted = [counted_climb_m(ground, band_m)[0][-1] for band_m in (0.0, 3.0, 5.0, 10.0)]
    assert all(wider <= narrower + 1e-9 for narrower, wider in pairwise(counted))


def test_raw_sums_pass_over_missing_heights() -> None:
    assert summed_climb_m(np.array([100.0, np.nan, 110.0, 90.0])) == (10.0, 20.0)


@given(st.floats(-2.0, 2.0), st.floats(0.0, 3000.0))
def test_smoothing_keeps_a_straight_slope(grade: float, start_m: float) -> None:
    distance = np.array([0.0, 13.0, 90.0, 91.0, 400.0])
    at = np.linspace(0.0, 400.0, 57)
    smooth = smoothed_elevation_m(distance, start_m + grade * distance, at)
    assert smooth == pytest.approx(start_m + grade * at, abs=1e-6)


def test_smoothing_is_the_mean_over_the_window() -> None:
    """Against numerical integration (scipy)."""
    rng = np.random.default_rng(5)
    distance = np.cumsum(rng.uniform(2.0, 20.0, 60))
    distance -= distance[0]
    ground = rng.normal(1000.0, 20.0, 60)
    at = np.array([0.0, 4.0, 100.0, 233.3, distance[-1] - 5.0, distance[-1]])
    smooth = smoothed_elevation_m(distance, ground, at, 40.0)
    for place, value in zip(at, smooth, strict=True):
        half = min(20.0, place, distance[-1] - place)
        if half == 0.0:
            expected = float(np.interp(place, distance, ground))
        else:
            breaks = distance[(distance > place - half) & (distance < place + half)]
            area, _ = quad(lambda s: np.interp(s, distance, ground), place - half, place + half, points=breaks)
            expected = area / (2 * half)
        assert value == pytest.approx(expected, abs=1e-6)


def test_smoothing_cuts_a_corner_by_an_eighth_of_window_times_change_of_grade() -> None:
    """Closed form: the mean of max(0, g s) over -w/2..w/2 is g w / 8."""
    distance, ground = np.array([0.0, 100.0, 200.0]), np.array([500.0, 500.0, 600.0])
    smooth = smoothed_elevation_m(distance, ground, np.array([100.0]))
    assert smooth[0] - 500.0 == pytest.approx(30.0 / 8.0)


def test_the_stated_window_and_band() -> None:
    """Common practice, no source: 30 m of ground, 5 m of height."""
    assert (SMOOTHING_WINDOW_M, DEAD_BAND_M) == (30.0, 5.0)
