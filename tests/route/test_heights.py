"""Mended heights: spikes, odd values, missing ones."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.quantity import in_units
from handline.route.heights import clean_heights, filled, without_height_spikes, without_odd_heights
from handline.route.track import Track
from tests.route.tracks import hill_track, track_north

HILL = hill_track()


def with_change(points: slice | list[int], change_m: float) -> Track:
    height = HILL.elevation_m.copy()
    height[points] += change_m
    return track_north(np.arange(0.0, 5005.0, 10.0), height)


def test_good_heights_stay_and_nothing_is_said() -> None:
    assert clean_heights(HILL).elevation_m.tolist() == HILL.elevation_m.tolist()
    assert clean_heights(HILL).notes == ()


@pytest.mark.parametrize("points", [1, 2, 3])
@pytest.mark.parametrize("jump_m", [85.0, -40.0])
def test_a_spike_is_taken_out_and_the_slope_put_back(points: int, jump_m: float) -> None:
    mended = clean_heights(with_change(slice(200, 200 + points), jump_m))
    assert mended.elevation_m == pytest.approx(HILL.elevation_m, abs=1e-6)
    said = mended.notes[0]
    assert said.startswith("1 elevation spike smoothed out: ")
    assert f"{jump_m:+.0f} m at 2.0 km" in in_units(said, "si")
    assert in_units(said, "us").endswith(f"{jump_m / 0.3048:+.0f} ft at 1.2 mi")


def test_what_lasts_longer_is_ground() -> None:
    assert without_height_spikes(with_change(slice(200, 204), 85.0)).notes == ()


@pytest.mark.parametrize(("jump_m", "spike"), [(20.5, False), (22.0, True)])
def test_a_spike_is_steeper_than_ground(jump_m: float, spike: bool) -> None:
    """200 % over 10 m is 20 m, beside the 1 m that the slope itself gains from point to point."""
    assert bool(without_height_spikes(with_change([200], jump_m)).notes) is spike


@pytest.mark.parametrize(("jump_m", "spike"), [(14.9, False), (15.1, True)])
def test_a_spike_is_more_than_fifteen_metres(jump_m: float, spike: bool) -> None:
    distance = np.arange(0.0, 1000.0, 5.0)
    height = np.full(distance.size, 800.0)
    height[100] += jump_m
    assert bool(without_height_spikes(track_north(distance, height)).notes) is spike


def test_a_summit_on_a_drawn_route_is_no_spike() -> None:
    drawn = track_north([0.0, 500.0, 1000.0, 1500.0, 2000.0], [1000.0, 1200.0, 1600.0, 1200.0, 1000.0])
    assert without_height_spikes(drawn).notes == ()


def test_several_spikes_are_counted_and_the_first_shown() -> None:
    said = clean_heights(with_change([50, 150, 250, 350], 60.0)).notes[0]
    assert said.startswith("4 elevation spikes smoothed out: +60 m (+197 ft) at 0.5 km (0.3 mi)")
    assert said.endswith("and 1 more")


def test_heights_no_land_has_are_left_out() -> None:
    height = HILL.elevation_m.copy()
    height[[3, 4]] = -32768.0
    height[9] = 9999.0
    mended = without_odd_heights(track_north(np.arange(0.0, 5005.0, 10.0), height))
    assert np.flatnonzero(np.isnan(mended.elevation_m)).tolist() == [3, 4, 9]
    assert mended.notes == ("3 heights outside -450 m (-1,476 ft) to 8,900 m (29,199 ft) left out",)


def test_missing_heights_are_filled_along_the_line_and_level_at_the_ends() -> None:
    track = filled(track_north([0.0, 10.0, 20.0, 100.0, 110.0], [np.nan, 100.0, np.nan, 109.0, np.nan]))
    assert track.elevation_m == pytest.approx([100.0, 100.0, 101.0, 109.0, 109.0], abs=1e-6)
    assert track.notes == ("3 heights filled in between the others, the longest stretch 90 m (295 ft)",)


@given(st.lists(st.integers(1, 498), min_size=1, max_size=200, unique=True))
def test_filling_a_steady_slope_gives_the_slope_again(missing: list[int]) -> None:
    height = HILL.elevation_m.copy()
    height[missing] = np.nan
    mended = filled(track_north(np.arange(0.0, 5005.0, 10.0), height))
    assert mended.elevation_m == pytest.approx(HILL.elevation_m, abs=1e-6)
