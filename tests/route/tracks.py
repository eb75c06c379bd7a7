"""Tracks made for the tests: straight north along a meridian, so that a distance is known without computing it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray
from pyproj import Geod

from handline.route.track import Track, track_of

LATITUDE_DEG, LONGITUDE_DEG = 46.5, -113.5
Array = NDArray[np.float64]


def north_of_start(distance_m: ArrayLike) -> tuple[Array, Array]:
    """Latitude and longitude at distances due north of the start."""
    distance = np.asarray(distance_m, dtype=float)
    start_longitude, start_latitude = np.full_like(distance, LONGITUDE_DEG), np.full_like(distance, LATITUDE_DEG)
    longitude, latitude, _ = Geod(ellps="WGS84").fwd(start_longitude, start_latitude, np.zeros_like(distance), distance)
    return np.asarray(latitude), np.asarray(longitude)


def track_north(distance_m: ArrayLike, elevation_m: ArrayLike | None = None) -> Track:
    """A track through these distances north of the start."""
    latitude, longitude = north_of_start(distance_m)
    return track_of(latitude, longitude, None if elevation_m is None else np.asarray(elevation_m, dtype=float))


def hill_track(length_m: float = 5000.0, step_m: float = 10.0, rise_m: float = 500.0) -> Track:
    """A steady climb north from 1,000 m."""
    distance = np.arange(0.0, length_m + step_m / 2, step_m)
    return track_north(distance, 1000.0 + rise_m * distance / length_m)


def shifted_east(track: Track, point: int, east_m: float) -> Track:
    """The track with one point moved east."""
    longitude = track.longitude_deg.copy()
    longitude[point], _, _ = Geod(ellps="WGS84").fwd(longitude[point], track.latitude_deg[point], 90.0, east_m)
    return track_of(track.latitude_deg, longitude, track.elevation_m, time_s=track.time_s)


def gpx_file(
    folder: Path, points: str, *, root: str = 'version="1.1" xmlns="http://www.topografix.com/GPX/1/1"'
) -> Path:
    """A GPX file with this text inside <gpx>."""
    path = folder / "track.gpx"
    path.write_text(f'<?xml version="1.0"?>\n<gpx creator="test" {root}>\n{points}\n</gpx>\n', encoding="utf-8")
    return path
