"""Lengths against geographiclib, the author's own implementation of the same paper (source: karney_2013)."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st

from handline.route.geodesy import between_m, distance_m, plane_m, steps_m, unwrapped, wrapped
from tests.route.tracks import north_of_start

latitudes = st.floats(-90.0, 90.0)
longitudes = st.floats(-180.0, 180.0)


@given(latitudes, longitudes, latitudes, longitudes)
def test_any_two_places_agree_with_geographiclib(lat1: float, lon1: float, lat2: float, lon2: float) -> None:
    expected = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["s12"]
    assert float(between_m(lat1, lon1, lat2, lon2)) == pytest.approx(expected, rel=1e-9, abs=1e-6)


@given(latitudes, longitudes, st.floats(0.0, 360.0), st.floats(0.5, 50.0))
def test_steps_of_a_walk_agree_with_geographiclib(lat: float, lon: float, azimuth_deg: float, step_m: float) -> None:
    end = Geodesic.WGS84.Direct(lat, lon, azimuth_deg, step_m)
    assert float(between_m(lat, lon, end["lat2"], end["lon2"])) == pytest.approx(step_m, abs=1e-7)


def test_a_line_adds_its_steps() -> None:
    latitude, longitude = north_of_start([0.0, 10.0, 250.0, 9000.0])
    assert steps_m(latitude, longitude) == pytest.approx([10.0, 240.0, 8750.0], rel=1e-9)
    assert distance_m(latitude, longitude) == pytest.approx([0.0, 10.0, 250.0, 9000.0], rel=1e-9)


@given(st.floats(-80.0, 80.0), longitudes, st.floats(0.0, 360.0), st.floats(1.0, 3000.0))
def test_plane_keeps_lengths_near_its_centre(lat: float, lon: float, azimuth_deg: float, length_m: float) -> None:
    """A part in a thousand, as its docstring says, on both sides of the 180th meridian too."""
    end = Geodesic.WGS84.Direct(lat, lon, azimuth_deg, length_m)
    east, north = plane_m(np.array([end["lat2"]]), np.array([end["lon2"]]), lat, lon)
    assert float(np.hypot(east, north)[0]) == pytest.approx(length_m, rel=1e-3 if abs(lat) < 60 else 3e-3)


def test_longitudes_cross_the_180th_meridian_and_come_back() -> None:
    across = np.array([179.8, 179.95, -179.9, -179.7])
    assert np.diff(unwrapped(across)) == pytest.approx([0.15, 0.15, 0.2])
    assert wrapped(unwrapped(across)) == pytest.approx(across)
