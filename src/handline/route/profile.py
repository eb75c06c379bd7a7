"""The line of a route at an even spacing: where it is and how high, from one end to the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.route.elevation import smoothed_elevation_m
from handline.route.geodesy import distance_m, unwrapped, wrapped
from handline.route.track import Array, Track

SPACING_M = 25.0


@dataclass(frozen=True, eq=False)
class Profile:
    """A line at rising distances along it, one way. Heights and positions are NaN where typed legs give none."""

    distance_m: Array
    elevation_m: Array
    latitude_deg: Array
    longitude_deg: Array

    @property
    def length_m(self) -> float:
        return float(self.distance_m[-1])


def even_distances_m(length_m: float, spacing_m: float = SPACING_M) -> Array:
    """Distances from 0 to the length, evenly spaced by the nearest to the wanted spacing that divides it."""
    return np.linspace(0.0, length_m, max(2, round(length_m / spacing_m) + 1))


def profile_at(track: Track, at_m: Array) -> Profile:
    """The track at chosen distances along it, heights smoothed (see ``smoothed_elevation_m``)."""
    along = distance_m(track.latitude_deg, track.longitude_deg)
    longitude = np.interp(at_m, along, unwrapped(track.longitude_deg))
    return Profile(
        distance_m=at_m,
        elevation_m=smoothed_elevation_m(along, track.elevation_m, at_m),
        latitude_deg=np.interp(at_m, along, track.latitude_deg),
        longitude_deg=wrapped(longitude),
    )
