"""The sky over the places of a trip: each with its own horizon, and when the sun shines there."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, replace
from importlib.util import find_spec

from handline.day.horizon_kept import kept_horizon
from handline.errors import InputError, TerrainError
from handline.line.geometry import Line
from handline.quantity import in_units, show_angle
from handline.route.place import LINE_FOOT, LINE_HEAD, SUMMIT, TRAILHEAD
from handline.route.route import Route
from handline.route.unrolling import Point
from handline.sky.horizon import LEVEL, Horizon, horizon_of_bearings
from handline.sky.sun_on_place import Plane, SunOnPlace, sun_on_place
from handline.trip.model import Trip
from handline.trip.route_model import Skyline

SLAB = "slab"
CAMP = "camp"
FACING_NOT_TYPED = "which way it faces is not typed: told is the sun over its horizon, be it on the rock or behind it"
"""Told of a slab that has no facing."""
# Kinds of places whose sun is looked at even where nobody typed a horizon for them.
_KINDS = (TRAILHEAD, CAMP, SUMMIT)


@dataclass(frozen=True)
class PlaceSky:
    """One place and its sky. ``horizon_says`` is what its horizon stands on, in words.

    ``plane`` is that of the slab, None where nobody typed its facing, and of every other place. ``notes`` are what is
    not known of the sun there.
    """

    name: str
    kind: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    horizon: Horizon
    horizon_says: str
    plane: Plane | None
    notes: tuple[str, ...]
    sun: SunOnPlace


def set_sky(trip: Trip, route: Route, line: Line, timezone: str) -> tuple[PlaceSky, ...]:
    """The sky of a trip's places, the slab first.

    A typed horizon counts before the terrain model, and that before a level one. A place that the terrain model does
    not hold gets a level one with a note; the slab must be in it. Where the slab's facing is typed, the sun
    must also stand before its plane.

    Raises
    ------
    InputError
        A terrain model that cannot be read or does not hold the slab; a date out of reach.
    """
    foot, head = (next(point for point in route.points if point.kind == kind) for kind in (LINE_FOOT, LINE_HEAD))
    between = _between(foot, head)
    rows = [_place(trip, route, timezone, trip.line.name, SLAB, between, trip.line.horizon, _plane(trip, line))]
    typed = {waypoint.name: waypoint.horizon for waypoint in trip.waypoints}
    seen: set[str] = set()
    for point in route.points:
        horizon = typed.get(point.name, ())
        if point.name in seen or not (point.kind in _KINDS or horizon):
            continue
        seen.add(point.name)
        at = (point.latitude_deg, point.longitude_deg, point.elevation_m)
        rows.append(_place(trip, route, timezone, point.name, point.kind, at, horizon))
    return tuple(rows)


def sky_again(sky: tuple[PlaceSky, ...], date: dt.date, timezone: str) -> tuple[PlaceSky, ...]:
    """The same places under the sun of another date."""
    return tuple(
        replace(
            place, sun=sun_on_place(place.latitude_deg, place.longitude_deg, date, timezone, place.horizon, place.plane)
        )
        for place in sky
    )


def terrain_unread(trip: Trip) -> bool:
    """Whether the trip names a terrain model that this machine has nothing to read with."""
    return trip.route.terrain is not None and find_spec("rasterio") is None


def _between(foot: Point, head: Point) -> tuple[float, float, float]:
    """The middle of the line: latitude, longitude and height."""
    return (
        (foot.latitude_deg + head.latitude_deg) / 2.0,
        (foot.longitude_deg + head.longitude_deg) / 2.0,
        (foot.elevation_m + head.elevation_m) / 2.0,
    )


def _place(
    trip: Trip,
    route: Route,
    timezone: str,
    name: str,
    kind: str,
    at: tuple[float, float, float],
    skyline: tuple[Skyline, ...],
    plane: Plane | None = None,
) -> PlaceSky:
    latitude_deg, longitude_deg, elevation_m = at
    if math.isnan(latitude_deg) or math.isnan(longitude_deg):
        latitude_deg, longitude_deg = route.latitude_deg, route.longitude_deg
    horizon, says = _horizon(trip, kind, (latitude_deg, longitude_deg), skyline)
    notes = tuple(in_units(note, trip.about.units) for note in horizon.notes)
    if plane is not None:
        says = f"its own slope, {show_angle(plane.slope_rad)} facing {plane.facing_deg:.0f} deg; {says}"
    elif kind == SLAB:
        notes = (FACING_NOT_TYPED, *notes)
    sun = sun_on_place(latitude_deg, longitude_deg, trip.about.date, timezone, horizon, plane)
    return PlaceSky(name, kind, latitude_deg, longitude_deg, elevation_m, horizon, says, plane, notes, sun)


def _plane(trip: Trip, line: Line) -> Plane | None:
    """The plane of the slab's steepest piece, which the rock is reckoned by as well; None with no typed facing."""
    return None if trip.line.facing_deg is None else Plane(max(line.section_angle_rad), trip.line.facing_deg)


def _horizon(
    trip: Trip, kind: str, place_deg: tuple[float, float], skyline: tuple[Skyline, ...]
) -> tuple[Horizon, str]:
    if skyline:
        horizon = horizon_of_bearings([part.bearing_deg for part in skyline], [part.height_deg for part in skyline])
        return horizon, "as typed"
    if trip.route.terrain is None:
        return LEVEL, "level: no terrain model is given and nothing is typed"
    if terrain_unread(trip):
        return LEVEL, f"level: nothing here reads {trip.route.terrain}"
    try:
        return kept_horizon(trip.file(trip.route.terrain), *place_deg), f"from {trip.route.terrain}"
    except TerrainError as error:
        if kind == SLAB:
            raise InputError([problem.at(key="route.terrain") for problem in error.problems]) from None
        return LEVEL, f"level: {trip.route.terrain} does not hold this place"
