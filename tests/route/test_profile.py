"""The line at an even spacing."""

from __future__ import annotations

import numpy as np
import pytest

from handline.route.profile import SPACING_M, even_distances_m, profile_at
from handline.route.track import track_of
from tests.route.tracks import hill_track, north_of_start


@pytest.mark.parametrize(("length_m", "points"), [(1000.0, 41), (1012.0, 41), (1013.0, 42), (20.0, 2)])
def test_spacing_divides_the_length(length_m: float, points: int) -> None:
    even = even_distances_m(length_m)
    assert (even.size, even[0], even[-1]) == (points, 0.0, length_m)
    assert np.ptp(np.diff(even)) < 1e-9
    assert SPACING_M == 25.0


def test_places_and_heights_of_a_steady_climb() -> None:
    at = np.array([0.0, 33.0, 1234.5, 5000.0])
    profile = profile_at(hill_track(), at)
    latitude, longitude = north_of_start(at)
    assert profile.latitude_deg == pytest.approx(latitude, abs=1e-8)
    assert profile.longitude_deg == pytest.approx(longitude)
    assert profile.elevation_m == pytest.approx(1000.0 + 0.1 * at, abs=1e-5)
    assert profile.length_m == 5000.0


def test_a_line_across_the_180th_meridian_does_not_run_round_the_world() -> None:
    profile = profile_at(track_of([-40.0, -40.0], [179.99, -179.99], [5.0, 5.0]), np.array([0.0, 800.0]))
    assert abs(profile.longitude_deg[1]) > 179.99
