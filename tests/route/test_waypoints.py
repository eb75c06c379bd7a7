"""Places found on a track: nearest point, how far off, how often passed, and the ends."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import TrackError
from handline.route.geodesy import distance_m
from handline.route.place import PlaceWish
from handline.route.waypoints import FARTHEST_OFF_M, find_places, passings_of
from tests.route.tracks import LATITUDE_DEG, LONGITUDE_DEG, hill_track, north_of_start, track_north

HILL = hill_track()
ALONG = distance_m(HILL.latitude_deg, HILL.longitude_deg)


def beside(at_m: float, east_m: float, name: str = "Hut", kind: str = "place") -> PlaceWish:
    """A wish this far along the hill track and this far east of it."""
    latitude, longitude = north_of_start([at_m])
    place = Geodesic.WGS84.Direct(latitude[0], longitude[0], 90.0, east_m)
    return PlaceWish(name, kind, place["lat2"], place["lon2"])


@given(st.floats(100.0, 4900.0), st.floats(-240.0, 240.0))
def test_nearest_point_and_offset(at_m: float, east_m: float) -> None:
    """On a straight line north the nearest point and the offset are known. 1 cm."""
    wish = beside(at_m, east_m)
    assert wish.coordinates is not None
    passings, offset = passings_of(HILL, ALONG, *wish.coordinates)
    assert passings == (pytest.approx(at_m, abs=0.02),)
    assert offset == pytest.approx(abs(east_m), abs=0.01)


def test_too_far_off_is_a_problem_with_the_distance() -> None:
    find_places(HILL, [beside(2000.0, FARTHEST_OFF_M - 1.0)], every_passing=False)
    with pytest.raises(TrackError, match="251 m from the track"):
        find_places(HILL, [beside(2000.0, FARTHEST_OFF_M + 1.0)], every_passing=False)
    with pytest.raises(TrackError, match="km from the track"):
        find_places(HILL, [PlaceWish("Hut", "place", LATITUDE_DEG, -LONGITUDE_DEG)], every_passing=False)


def test_all_problems_are_told_at_once() -> None:
    wishes = [
        beside(2000.0, 400.0, "Far hut"),
        PlaceWish("Beyond", "place", at_m=6000.0),
        PlaceWish("Before", "place", at_m=-1.0),
        PlaceWish("Nowhere", "place", latitude_deg=46.0),
        PlaceWish("Good", "place", at_m=3000.0),
    ]
    with pytest.raises(TrackError) as refused:
        find_places(HILL, wishes, every_passing=False)
    assert [problem.what.split('"')[1] for problem in refused.value.problems] == [
        "Far hut",
        "Beyond",
        "Before",
        "Nowhere",
    ]


def test_distances_and_the_end_are_taken_as_given_and_put_in_order() -> None:
    wishes = [
        PlaceWish("Top", "summit", at_end=True),
        PlaceWish("Bridge", "water", at_m=1500.0),
        PlaceWish("Camp", "camp", at_m=3000.0),
    ]
    found, notes = find_places(HILL, wishes, every_passing=False)
    assert [(place.wish.name, place.passings_m) for place in found] == [
        ("Bridge", (1500.0,)),
        ("Camp", (3000.0,)),
        ("Top", (float(ALONG[-1]),)),
    ]
    assert notes == ('"Bridge" is listed after "Top", but the track reaches it first',)


def test_a_place_near_an_end_becomes_that_end_and_says_so() -> None:
    wishes = [beside(40.0, 10.0, "Car park", "trailhead"), PlaceWish("Top", "summit", at_m=5030.0)]
    found, notes = find_places(HILL, wishes, every_passing=False)
    assert [place.passings_m for place in found] == [(0.0,), (float(ALONG[-1]),)]
    assert notes == (
        '"Car park" lies 40 m (131 ft) from the start of the track: taken as its start',
        '"Top" lies 30 m (98 ft) from the end of the track: taken as its end',
    )
    assert find_places(HILL, [beside(61.0, 0.0)], every_passing=False)[0][0].passings_m[0] == pytest.approx(
        61.0, abs=0.1
    )


def test_only_the_nearest_place_becomes_the_end_and_the_line_never_moves() -> None:
    wishes = [
        PlaceWish("Foot", "line_foot", at_m=4900.0),
        PlaceWish("Head", "line_head", at_m=4975.0),
        PlaceWish("Cairn", "place", at_m=4960.0),
    ]
    found, _ = find_places(HILL, wishes, every_passing=False)
    assert [place.passings_m[0] for place in found] == [4900.0, 4975.0, float(ALONG[-1])]


def test_a_little_past_the_end_is_the_end_and_said_but_never_for_the_line() -> None:
    wishes = [PlaceWish("Cairn", "place", at_m=5012.0), PlaceWish("Top", "summit", at_m=5060.0)]
    found, notes = find_places(HILL, wishes, every_passing=False)
    assert [place.passings_m for place in found] == [(float(ALONG[-1]),)] * 2
    assert len(notes) == 2
    with pytest.raises(TrackError, match="past the end"):
        find_places(HILL, [PlaceWish("Top", "summit", at_m=5060.1)], every_passing=False)
    with pytest.raises(TrackError, match="past the end"):
        find_places(HILL, [PlaceWish("Head", "line_head", at_m=5001.0)], every_passing=False)


def test_head_before_foot_is_refused() -> None:
    wishes = [PlaceWish("Foot", "line_foot", at_m=3000.0), PlaceWish("Head", "line_head", at_m=2900.0)]
    with pytest.raises(TrackError, match="is reached before its foot"):
        find_places(HILL, wishes, every_passing=False)


def test_a_place_is_passed_on_the_way_out_and_on_the_way_back() -> None:
    out = np.arange(0.0, 3001.0, 10.0)
    there_and_back = track_north(np.concatenate((out, out[-2::-1])))
    wish = beside(1000.0, 12.0, "Bridge", "water")
    found, _ = find_places(there_and_back, [wish], every_passing=True)
    assert found[0].passings_m == pytest.approx((1000.0, 5000.0), abs=0.1)
    once, _ = find_places(there_and_back, [wish], every_passing=False)
    assert len(once[0].passings_m) == 1


def test_a_switchback_near_a_place_is_not_a_second_passing() -> None:
    """Bends 100 m up and down beside the place: the track never leaves it behind."""
    zigzag = np.concatenate([np.arange(0, 1000, 10), np.arange(1000, 900, -10), np.arange(900, 2000, 10)])
    found, _ = find_places(track_north(zigzag.astype(float)), [beside(950.0, 5.0)], every_passing=True)
    assert len(found[0].passings_m) == 1
