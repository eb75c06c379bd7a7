"""Places on a route: as somebody wishes them, and as they were found."""

from __future__ import annotations

import math
from dataclasses import dataclass

LINE_FOOT = "line_foot"
LINE_HEAD = "line_head"
LINE_KINDS = (LINE_FOOT, LINE_HEAD)
TRAILHEAD = "trailhead"
SUMMIT = "summit"
TURNING_POINT = "turning_point"


@dataclass(frozen=True)
class PlaceWish:
    """A place to find on a track: by its coordinates, by its distance along the way up, or as the end of the track.

    ``told_as`` is the key a problem with it is told under, where the asker has one.
    """

    name: str
    kind: str
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    at_m: float | None = None
    at_end: bool = False
    told_as: str | None = None

    @property
    def coordinates(self) -> tuple[float, float] | None:
        """Latitude and longitude, if both are given."""
        if self.latitude_deg is None or self.longitude_deg is None:
            return None
        return self.latitude_deg, self.longitude_deg


@dataclass(frozen=True)
class Place:
    """A place on the route, one way. ``offset_m`` is how far the given coordinates lie from the track, 0 without any.

    What typed legs do not tell (heights, coordinates) is NaN.
    """

    name: str
    kind: str
    at_m: float
    elevation_m: float = math.nan
    latitude_deg: float = math.nan
    longitude_deg: float = math.nan
    offset_m: float = 0.0
