"""What no plan can be made of: each reason refused in its own words."""

from __future__ import annotations

import numpy as np
import pytest

from handline.errors import TrackError
from handline.route.track import Track, track_of
from handline.route.usable import (
    HIGHEST_M,
    LONGEST_M,
    LOWEST_M,
    SMALLEST_EXTENT_M,
    lacks_heights,
    refuse_unusable_heights,
    refuse_unusable_positions,
)
from tests.route.tracks import hill_track, track_north

HILL = hill_track()


@pytest.mark.parametrize(
    ("track", "what"),
    [
        (track_of([], []), "the track has no points"),
        (track_of([46.5], [-113.5]), "the track has one point only"),
        (track_of([46.5, 95.0], [-113.5, -113.5]), "not on the Earth: 1 point"),
        (track_of([46.5, 46.6], [-113.5, 246.5]), "not on the Earth: 1 point"),
        (track_of([46.5, np.nan], [-113.5, -113.5]), "not on the Earth: 1 point"),
        (track_of([0.0, 0.0, 46.5], [0.0, 0.0, -113.5]), "the points lie at latitude 0, longitude 0, in the sea"),
        (track_of([0.0, 46.5], [0.0, -113.5]), "the track has fewer than two points with a position"),
        (track_of([46.5] * 9, [-113.5] * 9), "the track goes nowhere"),
        (track_north([0.0, SMALLEST_EXTENT_M - 0.5]), "the track goes nowhere"),
        (track_north([0.0, LONGEST_M + 10.0]), "the track is too long for a day on foot"),
    ],
)
def test_positions_refused(track: Track, what: str) -> None:
    with pytest.raises(TrackError) as refused:
        refuse_unusable_positions(track)
    assert refused.value.problems[0].what.startswith(what)


def test_positions_just_inside_pass() -> None:
    refuse_unusable_positions(track_north([0.0, SMALLEST_EXTENT_M + 0.5]))
    refuse_unusable_positions(track_north([0.0, LONGEST_M - 10.0]))
    refuse_unusable_positions(track_of([90.0, 89.0], [180.0, -180.0]))


def test_a_point_off_the_earth_names_its_line() -> None:
    with pytest.raises(TrackError) as refused:
        refuse_unusable_positions(track_of([46.5, 95.0], [-113.5, -113.5], line=[7, 8], file="x.gpx"))
    assert (refused.value.problems[0].line, refused.value.problems[0].file) == (8, "x.gpx")
    assert refused.value.problems[0].read == "95, -113.5 at point 2"


def with_heights(*heights_m: float) -> Track:
    return track_north(np.arange(len(heights_m)) * 100.0, heights_m)


@pytest.mark.parametrize(
    ("track", "what"),
    [
        (with_heights(np.nan, np.nan), "the track has no heights"),
        (with_heights(0.0, 0.0, np.nan), "every height of the track is 0 m"),
        (with_heights(-3.0, -2.0, 0.0), "the whole track lies at or below sea level"),
        (with_heights(900.0, np.nan, np.nan), "more than half the points have no believable height"),
        (with_heights(900.0, LOWEST_M - 1.0, HIGHEST_M + 1.0), "more than half the points have no believable height"),
    ],
)
def test_heights_refused_and_a_terrain_asked_for(track: Track, what: str) -> None:
    assert lacks_heights(track)
    with pytest.raises(TrackError) as refused:
        refuse_unusable_heights(track)
    assert refused.value.problems[0].what.startswith(what)
    assert "route.terrain" in str(refused.value)


def test_heights_just_inside_pass() -> None:
    for track in (with_heights(900.0, np.nan), with_heights(-5.0, 1.0), with_heights(LOWEST_M, HIGHEST_M), HILL):
        assert not lacks_heights(track)
        refuse_unusable_heights(track)


def test_the_limits_hold_the_lowest_and_the_highest_land() -> None:
    """From memory: shore near -430 m, summit near 8,849 m."""
    assert (LOWEST_M, HIGHEST_M) == (-450.0, 8_900.0)
