"""Mended positions: what is left out, what stays, and what is said."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.quantity import in_units
from handline.route.cleaning import (
    clean_positions,
    with_gaps_said,
    without_duplicates,
    without_nowhere,
    without_spikes,
    without_standing,
)
from handline.route.geodesy import distance_m
from handline.route.track import Track, track_of
from tests.route.tracks import hill_track, shifted_east, track_north

HILL = hill_track()


def length_m(track: Track) -> float:
    return float(distance_m(track.latitude_deg, track.longitude_deg)[-1])


def test_a_clean_track_stays_as_it_is_and_nothing_is_said() -> None:
    cleaned = with_gaps_said(without_standing(clean_positions(HILL)))
    assert cleaned.latitude_deg.tolist() == HILL.latitude_deg.tolist()
    assert cleaned.notes == ()


def test_points_without_a_position_are_left_out() -> None:
    latitude, longitude = HILL.latitude_deg.copy(), HILL.longitude_deg.copy()
    latitude[5:8] = longitude[5:8] = 0.0
    cleaned = without_nowhere(track_of(latitude, longitude, HILL.elevation_m))
    assert cleaned.size == HILL.size - 3
    assert cleaned.notes == ("3 points at latitude 0, longitude 0 left out: no position",)


def test_duplicates_are_left_out_but_not_a_pause() -> None:
    twice = HILL.take(np.sort(np.concatenate((np.arange(HILL.size), [3, 3, 9]))))
    assert without_duplicates(twice).notes == ("3 duplicate points left out",)
    assert without_duplicates(twice).size == HILL.size
    timed = track_of([46.5, 46.5, 46.5], [7.0, 7.0, 7.0], time_s=[0.0, 0.0, 60.0])
    assert without_duplicates(timed).time_s.tolist() == [0.0, 60.0]


def test_a_lone_point_far_off_is_left_out() -> None:
    cleaned = without_spikes(shifted_east(HILL, 40, 900.0))
    assert cleaned.size == HILL.size - 1
    assert cleaned.notes == ("1 point far off the line left out, the worst 900 m (2,953 ft) off",)
    assert length_m(cleaned) == pytest.approx(5000.0, abs=0.01)


@pytest.mark.parametrize("off_m", [50.0, 150.0])
def test_a_point_a_little_off_stays(off_m: float) -> None:
    """Twenty usual steps of 10 m are 200 m: what is less may be the path."""
    assert without_spikes(shifted_east(HILL, 40, off_m)).notes == ()
    assert without_spikes(shifted_east(HILL, 40, 210.0)).size == HILL.size - 1


def test_the_tip_of_a_drawn_out_and_back_is_no_spike() -> None:
    drawn = track_north([0.0, 1000.0, 2000.0, 3000.0, 2000.0, 1000.0, 0.0])
    assert without_spikes(drawn).size == 7


def test_standing_still_is_not_walking() -> None:
    """An hour of jitter within 2 m in the middle of a walk adds next to nothing to its length."""
    rng = np.random.default_rng(1)
    walk, pause = np.arange(0.0, 1001.0, 10.0), 500.0 + rng.uniform(-2.0, 2.0, 600)
    track = track_north(np.concatenate((walk[walk <= 500.0], pause, walk[walk > 500.0])))
    assert length_m(track) > 1700.0
    cleaned = without_standing(track)
    assert length_m(cleaned) == pytest.approx(1000.0, abs=1e-3)
    assert [in_units(note, "si") for note in cleaned.notes] == [
        "600 points within 5 m of the one before left out, so that standing still is not walking"
    ]


def test_both_ends_stay_however_near() -> None:
    assert without_standing(track_north([0.0, 10.0, 20.0, 23.0])).size == 3
    assert length_m(without_standing(track_north([0.0, 10.0, 20.0, 23.0]))) == pytest.approx(23.0, abs=1e-6)
    assert without_standing(track_north([0.0, 3.0])).size == 2


@given(st.integers(1, 40))
def test_length_does_not_depend_on_how_densely_it_is_recorded(factor: int) -> None:
    coarse = np.arange(0.0, 2001.0, 40.0)
    dense = np.unique(np.concatenate([coarse[:-1] + 40.0 * part / factor for part in range(factor)] + [coarse[-1:]]))
    assert length_m(without_standing(track_north(dense))) == pytest.approx(2000.0, abs=1e-3)


def test_gaps_are_said_with_their_lengths() -> None:
    distance = np.arange(0.0, 3001.0, 10.0)
    holed = distance[(distance <= 500) | (distance >= 750)]
    noted = with_gaps_said(track_north(holed[(holed <= 2000) | (holed >= 2100)]))
    (note,) = noted.notes
    gaps = "2 gaps in the recording, bridged straight: "
    assert in_units(note, "si") == gaps + "250 m at 0.5 km, 100 m at 2.0 km"
    assert in_units(note, "us") == gaps + "820 ft at 0.3 mi, 328 ft at 1.2 mi"
    assert with_gaps_said(track_north(np.arange(0.0, 9000.0, 500.0))).notes == ()


@pytest.mark.parametrize(("gap_m", "said"), [(79.0, False), (81.0, True)])
def test_a_gap_is_longer_than_eight_usual_steps(gap_m: float, said: bool) -> None:
    distance = np.concatenate((np.arange(0.0, 501.0, 10.0), 500.0 + gap_m + np.arange(0.0, 501.0, 10.0)))
    assert bool(with_gaps_said(track_north(distance)).notes) is said


def test_the_space_between_joined_pieces_is_not_said_twice() -> None:
    distance = np.concatenate((np.arange(0.0, 501.0, 10.0), np.arange(900.0, 1401.0, 10.0)))
    latitude_track = track_north(distance)
    joined = track_of(latitude_track.latitude_deg, latitude_track.longitude_deg, piece_starts=(0, 51))
    assert with_gaps_said(latitude_track).notes != ()
    assert with_gaps_said(joined).notes == ()
