"""The horizon by brute force: small steps outward along a ray, one at a time, in plain Python.

Written apart from the vectorised one: own bilinear heights, own curve of the Earth, angles by atan2.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

EARTH_RADIUS_M = 6_371_008.8
REFRACTION = 0.13


def height_at_m(
    heights: Sequence[Sequence[float]], east: Sequence[float], north: Sequence[float], x: float, y: float
) -> float | None:
    """Bilinear height, both axes rising evenly; None off the grid."""
    u, v = (x - east[0]) / (east[1] - east[0]), (y - north[0]) / (north[1] - north[0])
    if not (0.0 <= u <= len(east) - 1 and 0.0 <= v <= len(north) - 1):
        return None
    i, j = min(int(u), len(east) - 2), min(int(v), len(north) - 2)
    s, t = u - i, v - j
    lower = (1.0 - s) * heights[j][i] + s * heights[j][i + 1]
    upper = (1.0 - s) * heights[j + 1][i] + s * heights[j + 1][i + 1]
    return (1.0 - t) * lower + t * upper


def sea_deg(eye_m: float) -> float:
    """Altitude of the open sea."""
    return -math.degrees(math.atan(math.sqrt(2.0 * eye_m * (1.0 - REFRACTION) / EARTH_RADIUS_M)))


def ray_horizon_deg(
    heights: Sequence[Sequence[float]],
    east: Sequence[float],
    north: Sequence[float],
    azimuth_deg: float,
    eye_m: float,
    ground_m: float | None = None,
    finer: float = 1.0,
) -> float:
    """Highest angle along one ray from (0, 0), from one cell away to the edge of the grid; -90 where there is none.

    Steps are a five-hundredth of the way gone, and at most a tenth of a cell; ``finer`` divides both.
    """
    cell = max(east[1] - east[0], north[1] - north[0])
    own = height_at_m(heights, east, north, 0.0, 0.0) if ground_m is None else ground_m
    assert own is not None
    bearing = math.radians(azimuth_deg)
    best, distance = -90.0, cell
    while True:
        height = height_at_m(heights, east, north, distance * math.sin(bearing), distance * math.cos(bearing))
        if height is None:
            return best
        drop = distance * distance * (1.0 - REFRACTION) / (2.0 * EARTH_RADIUS_M)
        best = max(best, math.degrees(math.atan2(height - drop - own - eye_m, distance)))
        distance += min(distance / 500.0, cell / 10.0) / finer
