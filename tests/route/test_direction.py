"""Which way a track goes."""

from __future__ import annotations

import numpy as np
import pytest

from handline.route.direction import comes_back, one_way_up
from handline.route.place import PlaceWish
from handline.route.track import Track
from tests.route.tracks import hill_track, north_of_start, track_north

UP = hill_track()
DOWN = UP.backward()


def at(distance_m: float, name: str, kind: str) -> PlaceWish:
    latitude, longitude = north_of_start([distance_m])
    return PlaceWish(name, kind, float(latitude[0]), float(longitude[0]))


LANDING, TOP = at(5.0, "Landing", "trailhead"), at(4980.0, "Top", "summit")
TOP_AT_END = PlaceWish("Top", "summit", at_end=True)


@pytest.mark.parametrize(
    ("wishes", "reason"),
    [
        ([LANDING], '"Landing" is at its end'),
        ([TOP], '"Top" is at its start'),
        ([LANDING, TOP], '"Landing" is at its end and "Top" is at its start'),
        ([TOP_AT_END], "its end, meant as the summit, is 500 m lower than its start"),
    ],
)
def test_recorded_from_the_top_is_turned_and_said(wishes: list[PlaceWish], reason: str) -> None:
    track, turned = one_way_up(DOWN, wishes, out_and_back=True)
    assert turned
    assert track.elevation_m.tolist() == UP.elevation_m.tolist()
    assert track.notes == (f"the track was recorded the other way round ({reason}): turned",)
    assert one_way_up(UP, wishes, out_and_back=True) == (UP, False)


@pytest.mark.parametrize(
    ("track", "wishes"),
    [
        (DOWN, []),
        (DOWN, [at(2500.0, "Landing", "trailhead")]),
        (DOWN, [at(5.0, "Hut", "place")]),
        (DOWN, [LANDING, at(20.0, "Low top", "summit")]),
    ],
    ids=["no word", "in the middle", "another kind", "two that disagree"],
)
def test_without_evidence_the_track_stays(track: Track, wishes: list[PlaceWish]) -> None:
    assert one_way_up(track, wishes, out_and_back=True) == (track, False)


def test_a_day_that_ends_below_its_start_is_not_turned_if_it_does_not_come_back() -> None:
    assert one_way_up(DOWN, [TOP_AT_END], out_and_back=False) == (DOWN, False)


def there_and_back(heights_sign: float = 1.0) -> Track:
    out = np.arange(0.0, 3001.0, 10.0)
    distance = np.concatenate((out, out[-2::-1]))
    return track_north(distance, 1000.0 + heights_sign * 0.2 * distance)


def test_a_track_that_comes_back_by_itself_is_cut_at_its_top() -> None:
    track, turned = one_way_up(there_and_back(), [LANDING], out_and_back=True)
    assert not turned
    assert track.elevation_m[-1] == pytest.approx(1600.0)
    assert track.notes == (
        "the track comes back to its start: of its 6.0 km the first 3.0 km, to its far point, are walked out and back",
    )


def test_a_walk_into_a_valley_is_cut_at_its_far_end() -> None:
    track, _ = one_way_up(there_and_back(-1.0), [], out_and_back=True)
    assert track.elevation_m[-1] == pytest.approx(400.0)


def test_it_stays_whole_if_the_track_is_the_whole_day() -> None:
    assert one_way_up(there_and_back(), [LANDING], out_and_back=False)[0].size == 601


@pytest.mark.parametrize(("short_by_m", "closed"), [(199.0, True), (201.0, False)])
def test_coming_back_is_ending_within_200_m(short_by_m: float, closed: bool) -> None:
    assert comes_back(track_north([0.0, 1000.0, short_by_m])) is closed
