"""Whole routes: unrolled, counted, and everything done to the track said."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.errors import TrackError
from handline.quantity import in_units
from handline.route.place import Place, PlaceWish
from handline.route.reading import read_track
from handline.route.route import Route, route_from_legs, route_from_track
from handline.route.track import track_of
from handline.route.typed import TypedLeg
from tests.route.tracks import LATITUDE_DEG, hill_track, north_of_start, track_north
from tests.tables.published import read_table

WISHES = [
    PlaceWish("Landing", "trailhead", at_m=0.0),
    PlaceWish("Bridge", "water", at_m=1500.0),
    PlaceWish("Foot", "line_foot", at_m=4800.0),
    PlaceWish("Head", "line_head", at_m=4870.0),
    PlaceWish("Top", "summit", at_end=True),
]


def names(route: Route) -> list[str]:
    return [f"{point.name} {point.way}" for point in route.points]


def assert_sound(route: Route) -> None:
    """What must hold for every route."""
    assert len(route.legs) == len(route.points) - 1
    for leg, before, after in zip(route.legs, route.points[:-1], route.points[1:], strict=True):
        assert (route.points[leg.start], route.points[leg.end]) == (before, after)
        assert leg.length_m == pytest.approx(after.distance_m - before.distance_m, abs=1e-6)
        assert leg.run_m.sum() == pytest.approx(leg.length_m, abs=1e-6)
        assert (leg.run_m > 0).all()
        if math.isfinite(before.elevation_m):
            assert leg.rise_m.sum() == pytest.approx(after.elevation_m - before.elevation_m, abs=1e-6)
    assert sum(leg.length_m for leg in route.legs) == pytest.approx(route.length_m)
    assert sum(leg.up_m for leg in route.legs) == pytest.approx(route.up_m)
    assert sum(leg.down_m for leg in route.legs) == pytest.approx(route.down_m)
    assert route.points[0].distance_m == 0.0
    assert route.points[-1].distance_m == pytest.approx(route.length_m)


def test_out_and_back_passes_every_place_twice_but_the_last() -> None:
    route = route_from_track(hill_track(), WISHES, out_and_back=True)
    assert_sound(route)
    assert names(route) == [
        "Landing up", "Bridge up", "Foot up", "Head up", "Top up",
        "Head down", "Foot down", "Bridge down", "Landing down",
    ]  # fmt: skip
    assert [point.distance_m for point in route.points] == pytest.approx(
        [0.0, 1500.0, 4800.0, 4870.0, 5000.0, 5130.0, 5200.0, 8500.0, 10_000.0]
    )
    assert [leg.is_line for leg in route.legs] == [False, False, True, False, False, True, False, False]
    assert (route.length_m, route.up_m, route.down_m) == pytest.approx((10_000.0, 500.0, 500.0))
    assert [place.name for place in route.places] == ["Landing", "Bridge", "Foot", "Head", "Top"]
    assert route.profile.length_m == pytest.approx(5000.0)


def test_legs_carry_the_real_grades() -> None:
    route = route_from_track(hill_track(), WISHES, out_and_back=True)
    up, down = route.legs[1], route.legs[-2]
    assert up.rise_m / up.run_m == pytest.approx(np.full(up.run_m.size, 0.1), rel=1e-6)
    assert down.run_m == pytest.approx(up.run_m[::-1])
    assert down.rise_m == pytest.approx(-up.rise_m[::-1])
    assert up.run_m.max() < 26.1


def test_the_position_is_the_highest_places() -> None:
    route = route_from_track(hill_track(), WISHES, out_and_back=True)
    latitude, longitude = north_of_start([5000.0])
    assert (route.latitude_deg, route.longitude_deg) == pytest.approx((latitude[0], longitude[0]), abs=1e-7)


def test_ends_become_places_where_none_is_wished() -> None:
    assert names(route_from_track(hill_track(), [], out_and_back=True)) == [
        "Start up",
        "Turning point up",
        "Start down",
    ]
    assert names(route_from_track(hill_track(), [], out_and_back=False)) == ["Start up", "End up"]
    kinds = [point.kind for point in route_from_track(hill_track(), [], out_and_back=True).points]
    assert kinds == ["trailhead", "turning_point", "trailhead"]


def test_a_traverse_goes_up_to_its_highest_point_and_down_from_it() -> None:
    distance = np.arange(0.0, 6001.0, 10.0)
    over = track_north(distance, 1000.0 + np.minimum(distance * 0.2, (6000.0 - distance) * 0.1 + 400.0))
    wishes = [PlaceWish("Col", "place", at_m=2000.0), PlaceWish("Hut", "place", at_m=5000.0)]
    route = route_from_track(over, wishes, out_and_back=False)
    assert_sound(route)
    assert names(route) == ["Start up", "Col up", "Hut down", "End down"]
    assert (route.up_m, route.down_m) == pytest.approx((666.7 - 2.0, 266.7 - 2.0), abs=3.0)


def test_a_track_that_comes_back_by_itself_passes_places_as_often_as_it_does() -> None:
    out = np.arange(0.0, 3001.0, 10.0)
    whole = track_north(np.concatenate((out, out[-2::-1])), 1000.0 + 0.2 * np.concatenate((out, out[-2::-1])))
    places = north_of_start([0.0, 1000.0, 2500.0, 2570.0])
    kinds = (("Landing", "trailhead"), ("Bridge", "water"), ("Foot", "line_foot"), ("Head", "line_head"))
    wishes = [
        PlaceWish(name, kind, float(latitude), float(longitude))
        for (name, kind), latitude, longitude in zip(kinds, *places, strict=True)
    ]
    route = route_from_track(whole, wishes, out_and_back=False)
    assert_sound(route)
    assert names(route) == [
        "Landing up", "Bridge up", "Foot up", "Head up", "Head down", "Foot down", "Bridge down", "Landing down",
    ]  # fmt: skip
    assert [leg.is_line for leg in route.legs] == [False, False, True, False, True, False, False]
    folded = route_from_track(whole, wishes, out_and_back=True)
    assert names(folded) == [
        "Landing up", "Bridge up", "Foot up", "Head up", "Turning point up",
        "Head down", "Foot down", "Bridge down", "Landing down",
    ]  # fmt: skip
    assert [place.name for place in route.places] == ["Landing", "Bridge", "Foot", "Head"]
    assert folded.length_m == pytest.approx(route.length_m)
    assert folded.raw_up_m == pytest.approx(route.raw_up_m)


def test_two_places_at_one_spot_are_joined_by_a_leg_without_parts() -> None:
    wishes = [PlaceWish("Water", "water", at_m=2000.0), PlaceWish("Camp", "camp", at_m=2000.0)]
    route = route_from_track(hill_track(), wishes, out_and_back=True)
    assert_sound(route)
    assert [leg.run_m.size for leg in route.legs].count(0) == 2


def test_a_track_walked_the_other_way_gives_the_same_route() -> None:
    wishes = [*WISHES[1:4], PlaceWish("Top", "summit", *(float(a[0]) for a in north_of_start([5000.0])))]
    there = route_from_track(hill_track(), wishes, out_and_back=True)
    turned = route_from_track(hill_track().backward(), wishes, out_and_back=True)
    assert names(turned) == names(there)
    assert turned.up_m == pytest.approx(there.up_m)
    assert turned.raw_up_m == pytest.approx(there.raw_up_m)
    assert any("the other way round" in note for note in turned.notes)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.0, 20.0))
def test_walking_it_backward_swaps_up_and_down(seed: int, band_m: float) -> None:
    rng = np.random.default_rng(seed)
    distance = np.arange(0.0, 2001.0, 10.0)
    track = track_north(distance, 1000.0 + np.cumsum(rng.normal(0.0, 2.0, distance.size)))
    there = route_from_track(track, [], out_and_back=False, dead_band_m=band_m)
    back = route_from_track(track.backward(), [], out_and_back=False, dead_band_m=band_m)
    assert_sound(there)
    assert (back.up_m, back.down_m) == pytest.approx((there.down_m, there.up_m), abs=1e-6)
    assert back.length_m == pytest.approx(there.length_m)


def test_everything_done_to_a_messy_track_is_said() -> None:
    clean = hill_track()
    height = clean.elevation_m.copy()
    height[100] += 85.0
    height[200:204] = np.nan
    rows = np.sort(np.concatenate((np.arange(clean.size), [7, 8, 9])))
    rows = rows[(rows < 300) | (rows > 330)]
    messy = track_of(clean.latitude_deg[rows], clean.longitude_deg[rows], height[rows], notes=("as read",))
    notes = route_from_track(messy, [], out_and_back=False).notes
    assert tuple(in_units(note, "si") for note in notes) == (
        "as read",
        "3 duplicate points left out",
        "1 elevation spike smoothed out: +85 m at 1.0 km",
        "5 heights filled in between the others, the longest stretch 50 m",
        "1 gap in the recording, bridged straight: 320 m at 3.0 km",
        "climb summed raw 584 m; counted 500 m, with heights averaged over 30 m of ground and a dead band of 5.0 m",
    )


@pytest.mark.parametrize(
    ("track", "what"),
    [
        (track_of([LATITUDE_DEG], [7.0], [1.0]), "one point only"),
        (track_of([95.0, 95.1], [7.0, 7.0], [1.0, 1.0]), "not on the Earth"),
        (track_north([0.0, 900.0]), "the track has no heights"),
        (track_north([0.0, 900.0], [0.0, 0.0]), "points in the sea"),
        (track_of([LATITUDE_DEG] * 5, [7.0] * 5, [1.0] * 5), "goes nowhere"),
    ],
)
def test_what_cannot_be_planned_is_refused(track: object, what: str) -> None:
    with pytest.raises(TrackError, match=what):
        route_from_track(track, WISHES, out_and_back=True)  # type: ignore[arg-type]


def test_positions_and_heights_are_refused_together() -> None:
    with pytest.raises(TrackError) as refused:
        route_from_track(track_of([95.0, 95.1], [7.0, 7.0]), [], out_and_back=True)
    assert [problem.what for problem in refused.value.problems] == [
        "not on the Earth: 2 points",
        "the track has no heights",
    ]


# --- typed legs --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", read_table("practice_climb"), ids=lambda row: row["what"])
def test_typed_legs_add_up(row: dict[str, str]) -> None:
    """Two legs as a guidebook gives them, in miles and feet; their sums."""
    mile_m, foot_m = 1609.344, 0.3048
    legs = [
        TypedLeg("Camp", "camp", 4.5 * mile_m, 2300.0 * foot_m),
        TypedLeg("Top", "summit", 3.5 * mile_m, 2900.0 * foot_m, 400.0 * foot_m),
    ]
    route = route_from_legs(Place("Landing", "trailhead", 0.0, 0.0), legs, out_and_back=False)
    assert_sound(route)
    found = {
        "length": route.length_m / mile_m,
        "climb": route.up_m / foot_m,
        "net rise": (route.up_m - route.down_m) / foot_m,
        "ups and downs": route.down_m / foot_m,
    }
    assert found[row["what"]] == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_typed_legs_out_and_back() -> None:
    legs = [TypedLeg("Foot", "line_foot", 4000.0, 800.0, 50.0), TypedLeg("Head", "line_head", 72.0, 64.0)]
    route = route_from_legs(Place("Landing", "trailhead", 0.0, 1262.0), legs, out_and_back=True)
    assert_sound(route)
    assert names(route) == ["Landing up", "Foot up", "Head up", "Foot down", "Landing down"]
    assert [leg.is_line for leg in route.legs] == [False, True, True, False]
    assert (route.length_m, route.up_m, route.down_m) == pytest.approx((8144.0, 914.0, 914.0))
    assert [point.elevation_m for point in route.points] == pytest.approx([1262.0, 2012.0, 2076.0, 2012.0, 1262.0])
    assert route.dead_band_m == 0.0
    assert math.isnan(route.raw_up_m)


def test_typed_legs_without_a_height_still_carry_their_grades() -> None:
    legs = [TypedLeg("Top", "summit", 4000.0, 800.0)]
    route = route_from_legs(Place("Landing", "trailhead", 0.0), legs, out_and_back=True, latitude_deg=46.6)
    assert math.isnan(route.points[1].elevation_m)
    assert [point.way for point in route.points] == ["up", "up", "down"]
    assert route.legs[0].rise_m.tolist() == [800.0]
    assert route.latitude_deg == 46.6


def test_typed_legs_that_cannot_be_are_all_told() -> None:
    start = Place("Landing", "trailhead", 0.0)
    with pytest.raises(TrackError, match="no legs"):
        route_from_legs(start, [], out_and_back=True)
    with pytest.raises(TrackError) as refused:
        route_from_legs(start, [TypedLeg("A", "place", -1.0, 0.0), TypedLeg("B", "place", 0.0, 9.0)], out_and_back=True)
    assert len(refused.value.problems) == 2
    with pytest.raises(TrackError, match="too long"):
        route_from_legs(start, [TypedLeg("A", "place", 600_000.0, 0.0)], out_and_back=True)


# --- the two examples --------------------------------------------------------------------------------------------

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize(
    ("trip", "foot_m", "head_m", "line_rise_m", "length_m", "climb_m"),
    [("tamsin-dome", 10_605.0, 10_680.0, 64.8, 11_000.0, 1500.0), ("petrel-slab", 5285.0, 5380.0, 95.0, 5900.0, 640.0)],
)
def test_the_examples_are_what_they_say(
    trip: str, foot_m: float, head_m: float, line_rise_m: float, length_m: float, climb_m: float
) -> None:
    """Ours: the slab's height is the sum of its sections in trip.toml; length and climb are what they are about."""
    wishes = [PlaceWish("Foot", "line_foot", at_m=foot_m), PlaceWish("Head", "line_head", at_m=head_m)]
    route = route_from_track(read_track(EXAMPLES / trip / "track.gpx"), wishes, out_and_back=True)
    assert_sound(route)
    line = [leg for leg in route.legs if leg.is_line]
    assert [leg.up_m + leg.down_m for leg in line] == pytest.approx([line_rise_m] * 2, abs=6.0)
    assert route.length_m / 2 == pytest.approx(length_m, rel=0.02)
    one_way_climb_m = sum(leg.up_m for leg in route.legs[:3])
    assert one_way_climb_m == pytest.approx(climb_m, rel=0.1)
    assert route.raw_up_m > 1.2 * route.up_m
