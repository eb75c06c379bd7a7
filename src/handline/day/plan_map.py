"""The sketch map of the Plan: the sheet it is drawn on and the shaded ground. The track is that of the route."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class GroundShade:
    """How bright the ground is, cell by cell, with the light from the north-west: 0 is dark, 255 full in the light.

    ``rows`` run from north to south and each from west to east; None where the terrain model has no height. The edges
    are those of the outermost cells, east and north of the middle of the sheet [m].
    """

    rows: tuple[tuple[int | None, ...], ...]
    cell_m: float
    west_m: float
    south_m: float
    east_m: float
    north_m: float


@dataclass(frozen=True)
class MapPlan:
    """The sheet around the whole way, on the plane that touches the Earth at its middle.

    ``m_per_latitude_deg`` and ``m_per_longitude_deg`` are lengths of a degree there. ``shade`` is None and
    ``shade_says`` why, where there is no shaded ground; where there is, what it is from.
    """

    latitude_deg: float
    longitude_deg: float
    m_per_latitude_deg: float
    m_per_longitude_deg: float
    width_m: float
    height_m: float
    shade: GroundShade | None
    shade_says: str

    def at_m(self, latitude_deg: float, longitude_deg: float) -> tuple[float, float]:
        """How far east and north of the middle a place lies [m]."""
        east_deg = (longitude_deg - self.longitude_deg + 180.0) % 360.0 - 180.0
        return east_deg * self.m_per_longitude_deg, (latitude_deg - self.latitude_deg) * self.m_per_latitude_deg
