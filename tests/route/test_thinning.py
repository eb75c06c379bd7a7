"""A track with fewer points. The referee goes from point to point by plain trigonometry on a sphere."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.route_setting import set_route
from handline.route.geodesy import distance_m
from handline.route.profile import Profile, profile_at
from handline.route.thinning import WITHIN_M, thinned
from handline.route.track import Track, track_of
from handline.trip.reading import read_trip
from tests.route.tracks import hill_track, shifted_east, track_north

EXAMPLES = Path(__file__).parents[2] / "examples"
DEGREE_M = math.pi * 6371008.8 / 180.0

Point = tuple[float, float, float]


def _in_space(latitude_deg: float, longitude_deg: float, elevation_m: float, centre: Track) -> Point:
    east = (longitude_deg - float(centre.longitude_deg[0]) + 180.0) % 360.0 - 180.0
    return (
        east * DEGREE_M * math.cos(math.radians(float(centre.latitude_deg[0]))),
        (latitude_deg - float(centre.latitude_deg[0])) * DEGREE_M,
        elevation_m,
    )


def _off(point: Point, start: Point, end: Point) -> float:
    """How far a point lies off a straight piece: the nearest of its ends and of its foot, where that is between."""
    span = math.dist(start, end)
    ends = min(math.dist(point, start), math.dist(point, end))
    if span == 0.0:
        return ends
    along = sum((p - s) * (e - s) for p, s, e in zip(point, start, end, strict=True)) / span
    return math.sqrt(max(0.0, math.dist(point, start) ** 2 - along**2)) if 0.0 < along < span else ends


def _farthest_off(track: Track, thin: Profile) -> float:
    """How far the whole track lies off the thin one, each point seen from the piece that stands for it."""
    along = distance_m(track.latitude_deg, track.longitude_deg)
    heights = profile_at(track, along).elevation_m
    whole = [
        _in_space(*point, track)
        for point in zip(track.latitude_deg.tolist(), track.longitude_deg.tolist(), heights.tolist(), strict=True)
    ]
    kept = np.searchsorted(along, thin.distance_m)
    return max(
        _off(whole[i], whole[first], whole[last])
        for first, last in pairwise(kept.tolist())
        for i in range(first, last + 1)
    )


@pytest.mark.parametrize("name", ["tamsin-dome", "petrel-slab"])
def test_no_point_of_an_example_lies_farther_off_than_is_said(name: str) -> None:
    track = set_route(read_trip(EXAMPLES / name / "trip.toml"), set()).track
    assert track is not None
    thin = thinned(track)
    # The referee's sphere is no ellipsoid: a third of a hundredth.
    assert _farthest_off(track, thin) <= 1.004 * WITHIN_M
    assert thin.distance_m.size < track.size / 5
    assert (thin.latitude_deg[0], thin.longitude_deg[0]) == (track.latitude_deg[0], track.longitude_deg[0])
    assert (thin.latitude_deg[-1], thin.longitude_deg[-1]) == (track.latitude_deg[-1], track.longitude_deg[-1])
    # Corners are cut, so it is shorter, but by little.
    length_m = distance_m(thin.latitude_deg, thin.longitude_deg)[-1]
    assert 0.98 < length_m / thin.distance_m[-1] < 1.0


def test_a_straight_climb_needs_its_ends_only() -> None:
    assert thinned(hill_track()).distance_m == pytest.approx([0.0, 5000.0])


@pytest.mark.parametrize(("aside_m", "kept"), [(0.99 * WITHIN_M, 2), (1.01 * WITHIN_M, 3)])
def test_a_corner_counts_from_the_distance_said(aside_m: float, kept: int) -> None:
    track = track_north(np.arange(0.0, 1001.0, 10.0), np.full(101, 1000.0))
    assert thinned(shifted_east(track, 50, aside_m)).distance_m.size == kept


def test_a_hump_on_a_straight_way_is_kept() -> None:
    distance = np.arange(0.0, 2001.0, 10.0)
    heights = 1000.0 + 40.0 * np.exp(-(((distance - 800.0) / 150.0) ** 2))
    thin = thinned(track_north(distance, heights))
    assert float(thin.elevation_m.max()) == pytest.approx(1040.0, abs=1.0)
    assert 4 < thin.distance_m.size < 20


def test_a_way_there_and_back_keeps_its_far_end() -> None:
    there = track_north([0.0, 500.0, 1000.0], [1000.0, 1050.0, 1100.0])
    both = track_of(
        np.concatenate((there.latitude_deg, there.latitude_deg[-2::-1])),
        np.concatenate((there.longitude_deg, there.longitude_deg[-2::-1])),
        np.concatenate((there.elevation_m, there.elevation_m[-2::-1])),
    )
    assert thinned(both).distance_m == pytest.approx([0.0, 1000.0, 2000.0])


def test_it_runs_across_the_180th_meridian() -> None:
    track = track_of([-42.0] * 5, [179.998, 179.999, -180.0, -179.999, -179.998], [5.0] * 5)
    assert thinned(track).longitude_deg.tolist() == [179.998, -179.998]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-40.0, 40.0), st.floats(-20.0, 20.0)), min_size=2, max_size=40),
    st.sampled_from([1.0, 5.0, 25.0]),
)
def test_any_track_stays_within(asides: list[tuple[float, float]], within_m: float) -> None:
    track = track_north(np.arange(len(asides)) * 30.0, [1000.0 + rise for _, rise in asides])
    for i, (east_m, _) in enumerate(asides):
        track = shifted_east(track, i, east_m)
    thin = thinned(track, within_m)
    assert _farthest_off(track, thin) <= 1.004 * within_m
    if within_m == 1.0:
        assert set(thin.latitude_deg.tolist()) <= set(track.latitude_deg.tolist())


def test_stated() -> None:
    assert WITHIN_M == 5.0
