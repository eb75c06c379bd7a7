"""From the route and its terrain model to the sketch map of the Plan."""

from __future__ import annotations

import math

import numpy as np

from handline.day.plan import RouteSummary
from handline.day.plan_map import MapPlan
from handline.day.shade_kept import kept_shade
from handline.day.sky_setting import terrain_unread
from handline.errors import TerrainError
from handline.route.geodesy import plane_m, unwrapped, wrapped
from handline.trip.model import Trip

# Drawing: room round the way as a share of its longer side, the least of it, and how narrow or flat the sheet may be.
_ROOM = 0.10
_LEAST_ROOM_M = 150.0
_FLATTEST, _STEEPEST = 0.6, 1.4


def plan_map(trip: Trip, route: RouteSummary) -> MapPlan | None:
    """The sheet of the sketch map and its shaded ground; None where the way has no coordinates.

    Parameters
    ----------
    trip : Trip
    route : RouteSummary
        With the track; it has none where legs were typed.
    """
    if len(route.track_latitude_deg) < 2:
        return None
    latitude = np.array(route.track_latitude_deg)
    longitude = unwrapped(np.array(route.track_longitude_deg))
    middle_deg = (
        float(latitude.min() + latitude.max()) / 2.0,
        float(wrapped(np.array((longitude.min() + longitude.max()) / 2.0))),
    )
    east_m, north_m = plane_m(latitude, longitude, *middle_deg)
    degree_m = plane_m(np.array([middle_deg[0] + 1.0]), np.array([middle_deg[1] + 1.0]), middle_deg[0], middle_deg[1])
    width_m, height_m = _sheet_m(float(np.abs(east_m).max()), float(np.abs(north_m).max()))
    shade, says = None, "The ground is not shaded: no terrain model is given."
    if terrain_unread(trip):
        says = f"The ground is not shaded: nothing here reads {trip.route.terrain}."
    elif trip.route.terrain is not None:
        try:
            shade = kept_shade(trip.file(trip.route.terrain), *middle_deg, width_m, height_m)
            says = f"The ground is shaded from {trip.route.terrain}, as if lit from the north-west."
        except TerrainError:
            says = f"The ground is not shaded: {trip.route.terrain} does not hold the middle of the way."
    return MapPlan(
        latitude_deg=middle_deg[0],
        longitude_deg=middle_deg[1],
        m_per_latitude_deg=float(degree_m[1][0]),
        m_per_longitude_deg=float(degree_m[0][0]),
        width_m=width_m,
        height_m=height_m,
        shade=shade,
        shade_says=says,
    )


def _sheet_m(half_width_m: float, half_height_m: float) -> tuple[float, float]:
    """Width and height of a sheet with room round the way, neither too narrow nor too flat to read."""
    room_m = max(_LEAST_ROOM_M, _ROOM * 2.0 * max(half_width_m, half_height_m))
    width_m, height_m = 2.0 * (half_width_m + room_m), 2.0 * (half_height_m + room_m)
    width_m = max(width_m, height_m / _STEEPEST)
    height_m = max(height_m, width_m * _FLATTEST)
    return float(math.ceil(width_m)), float(math.ceil(height_m))
