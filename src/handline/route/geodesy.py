"""Lengths on the Earth: geodesics on the WGS84 ellipsoid (Karney), and a plane around one place.

Sources: karney_2013.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from handline.route.track import Array


@lru_cache(maxsize=1)
def _ellipsoid() -> Any:
    from pyproj import Geod

    return Geod(ellps="WGS84")


def between_m(
    from_latitude_deg: ArrayLike, from_longitude_deg: ArrayLike, to_latitude_deg: ArrayLike, to_longitude_deg: ArrayLike
) -> Array:
    """Length of the geodesic between places [m], any shapes that broadcast.

    Sources: karney_2013.
    """
    arrays = np.broadcast_arrays(from_longitude_deg, from_latitude_deg, to_longitude_deg, to_latitude_deg)
    flat = [np.array(array, dtype=float).ravel() for array in arrays]
    _, _, length_m = _ellipsoid().inv(*flat)
    return np.asarray(length_m, dtype=float).reshape(arrays[0].shape)


def steps_m(latitude_deg: Array, longitude_deg: Array) -> Array:
    """Length of each step of a line of n points [m], shape (n - 1,)."""
    return between_m(latitude_deg[:-1], longitude_deg[:-1], latitude_deg[1:], longitude_deg[1:])


def distance_m(latitude_deg: Array, longitude_deg: Array) -> Array:
    """Distance along a line of n points from its first [m], shape (n,)."""
    return np.concatenate(([0.0], np.cumsum(steps_m(latitude_deg, longitude_deg))))


def plane_m(
    latitude_deg: Array, longitude_deg: Array, centre_latitude_deg: float, centre_longitude_deg: float
) -> tuple[Array, Array]:
    """East and north of a centre [m], on the plane that touches the ellipsoid there.

    Validity: within some kilometres of the centre lengths are right to a part in a thousand; far off only roughly.
    """
    ellipsoid = _ellipsoid()
    latitude_rad = np.radians(centre_latitude_deg)
    flatness = 1.0 - ellipsoid.es * np.sin(latitude_rad) ** 2
    prime_vertical_m = ellipsoid.a / np.sqrt(flatness)
    meridian_m = prime_vertical_m * (1.0 - ellipsoid.es) / flatness
    east_deg = (longitude_deg - centre_longitude_deg + 180.0) % 360.0 - 180.0
    east_m = np.radians(east_deg) * prime_vertical_m * np.cos(latitude_rad)
    return east_m, np.radians(latitude_deg - centre_latitude_deg) * meridian_m


def unwrapped(longitude_deg: Array) -> Array:
    """Longitudes without the jump at the 180th meridian, so that one may interpolate between them."""
    return np.asarray(np.unwrap(longitude_deg, period=360.0), dtype=float)


def wrapped(longitude_deg: Array) -> Array:
    """Longitudes from -180 to 180 again."""
    return (longitude_deg + 180.0) % 360.0 - 180.0
