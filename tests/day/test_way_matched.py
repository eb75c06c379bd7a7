"""Laying a recording along the way: where it is along the day, in order, out and back."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.way_matched import APART_M, NEAR_M, Course, Way, match_way

CENTRE = (46.5, -113.5)


def straight(length_m: float = 3000.0, out_and_back: bool = True, east_m: float = 0.0) -> Way:
    """A way due north from the centre, and back."""
    there = np.arange(0.0, length_m + 1.0, 25.0)
    north = np.concatenate((there, there[-2::-1])) if out_and_back else there
    along = np.concatenate((there, 2 * length_m - there[-2::-1])) if out_and_back else there
    return Way(along, np.full(north.size, east_m), north, CENTRE)


def degrees(north_m: np.ndarray, east_m: np.ndarray | float = 0.0) -> tuple[np.ndarray, np.ndarray]:
    """Where a plane's points are, found by turning plane_of round numerically: it is linear."""
    probe = straight().plane_of(np.array([CENTRE[0] + 0.01, CENTRE[0]]), np.array([CENTRE[1], CENTRE[1] + 0.01]))
    return CENTRE[0] + north_m / probe[1][0] * 0.01, CENTRE[1] + np.broadcast_to(east_m, north_m.shape) / probe[0][
        1
    ] * 0.01


def walked(along_m: list[float], way: Way, step_m: float = 10.0, off_m: float = 0.0) -> Course:
    """Match a walk through these distances along the way, one metre a second."""
    ends = pairwise(along_m)
    parts = [np.linspace(a, b, max(2, round(abs(b - a) / step_m) + 1))[:-1] for a, b in ends]
    along = np.concatenate((*parts, along_m[-1:]))
    length = way.north_m.max()
    north = np.where(along > length, 2 * length - along, along)
    time = np.concatenate(([0.0], np.cumsum(np.abs(np.diff(along)))))
    return match_way(way, time, *degrees(north, off_m))


def test_the_plane_is_in_metres() -> None:
    """Referee: geographiclib's geodesic."""
    geodesic = pytest.importorskip("geographiclib.geodesic").Geodesic.WGS84
    _, north = straight().plane_of(np.array([CENTRE[0] + 0.01]), np.array([CENTRE[1]]))
    assert north[0] == pytest.approx(geodesic.Inverse(*CENTRE, CENTRE[0] + 0.01, CENTRE[1])["s12"], rel=2e-4)


def test_out_and_back_is_told_apart_by_order() -> None:
    course = walked([0.0, 6000.0], straight())
    assert course.distance_m[0] == pytest.approx(0.0, abs=1.0)
    assert course.distance_m[-1] == pytest.approx(6000.0, abs=1.0)
    # One metre a second: the distance along the way is the time.
    assert np.abs(course.distance_m - course.time_s).max() < 15.0
    assert course.leaps.size == 0


@pytest.mark.parametrize(
    ("part", "off_m"),
    [([0.0, 2000.0], 0.0), ([1000.0, 2500.0], 20.0), ([3500.0, 6000.0], 0.0), ([4000.0, 5000.0], -30.0)],
)
def test_a_part_alone_is_told_up_from_down_by_its_direction(part: list[float], off_m: float) -> None:
    course = walked(part, straight(), off_m=off_m)
    assert course.distance_m[0] == pytest.approx(part[0], abs=26.0)
    assert course.distance_m[-1] == pytest.approx(part[1], abs=26.0)
    assert course.leaps.size == 0


@pytest.mark.parametrize("turn_m", [700.0, 1500.0, 2700.0])
def test_turning_back_before_the_top_is_a_leap_on_the_spot(turn_m: float) -> None:
    way = straight()
    there = np.arange(0.0, turn_m, 10.0)
    north = np.concatenate((there, [turn_m], there[::-1]))
    course = match_way(way, np.arange(north.size) * 10.0, *degrees(north))
    assert course.leaps.size == 1
    leap = int(course.leaps[0])
    assert course.turned_round(leap)
    assert course.distance_m[leap - 1] == pytest.approx(turn_m, abs=40.0)
    assert course.distance_m[leap] == pytest.approx(6000.0 - turn_m, abs=40.0)
    assert course.distance_m[-1] == pytest.approx(6000.0, abs=1.0)


def test_a_recorder_that_was_off_is_bridged() -> None:
    way = straight(out_and_back=False)
    north = np.concatenate((np.arange(0.0, 800.0, 10.0), np.arange(2000.0, 3001.0, 10.0)))
    course = match_way(way, np.arange(north.size) * 10.0, *degrees(north))
    # The way goes on no farther than the straight line between: nothing was left out.
    assert course.leaps.size == 0
    assert course.distance_m[-1] == pytest.approx(3000.0, abs=1.0)


def test_a_way_round_left_out_is_a_leap() -> None:
    """A way that goes 1 km east and back before it goes on north; the recording goes straight on."""
    north = np.concatenate((np.arange(0, 1001, 25.0), np.full(80, 1000.0), np.arange(1025, 2001, 25.0)))
    out = np.concatenate((np.arange(25, 1001, 25.0), np.arange(975, -1, -25.0)))
    east = np.concatenate((np.zeros(41), out, np.zeros(40)))
    way = Way(np.arange(north.size) * 25.0, east, north, CENTRE)
    walk = np.arange(0.0, 2001.0, 10.0)
    course = match_way(way, walk, *degrees(walk))
    assert course.leaps.size == 1
    assert np.diff(course.distance_m).max() == pytest.approx(2000.0, abs=60.0)


def test_points_off_the_way_are_left_out() -> None:
    way = straight(out_and_back=False)
    north = np.arange(0.0, 3001.0, 10.0)
    east = np.where((north > 1000.0) & (north < 1400.0), 250.0, 0.0)
    course = match_way(way, north, *degrees(north, east))
    assert not ((course.distance_m > 1010.0) & (course.distance_m < 1390.0)).any()
    assert course.distance_m[-1] == pytest.approx(3000.0, abs=1.0)


def test_far_off_leaves_nothing_and_says_how_far() -> None:
    course = walked([0.0, 3000.0], straight(out_and_back=False), off_m=NEAR_M + 500.0)
    assert course.time_s.size == 0
    assert course.nearest_m == pytest.approx(NEAR_M + 500.0, abs=15.0)


def test_walked_the_other_way_round_it_does_not_go_along() -> None:
    course = walked([3000.0, 0.0], straight(out_and_back=False))
    assert course.distance_m.size > 0
    assert np.ptp(course.distance_m) < 2 * NEAR_M


def test_standing_still_adds_no_points() -> None:
    rng = np.random.default_rng(4)
    north = np.concatenate((np.arange(0.0, 1000.0, 10.0), np.full(500, 1000.0), np.arange(1000.0, 3001.0, 10.0)))
    jitter = rng.normal(0.0, APART_M / 6.0, north.size)
    course = match_way(straight(out_and_back=False), np.arange(north.size) * 10.0, *degrees(north + jitter, jitter))
    assert ((course.distance_m > 950.0) & (course.distance_m < 1050.0)).sum() < 40


@settings(max_examples=25, deadline=None)
@given(
    start_m=st.floats(0.0, 2000.0),
    length_m=st.floats(300.0, 4000.0),
    off_m=st.floats(-40.0, 40.0),
    step_m=st.floats(5.0, 60.0),
)
def test_any_part_is_found_in_order_and_near(start_m: float, length_m: float, off_m: float, step_m: float) -> None:
    end_m = min(start_m + length_m, 6000.0)
    course = walked([start_m, end_m], straight(), step_m=step_m, off_m=off_m)
    assert (np.diff(course.distance_m) >= 0.0).all()
    assert (np.diff(course.time_s) > 0.0).all()
    assert np.abs(course.distance_m - (start_m + course.time_s)).max() < 80.0
