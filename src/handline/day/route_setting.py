"""From the [route] and [[waypoints]] of a trip file to a Route with the line as one of its legs."""

from __future__ import annotations

import math
from functools import partial

import numpy as np

from handline.errors import InputError, Problem, TripError
from handline.route.place import LINE_FOOT, LINE_HEAD, LINE_KINDS, Place, PlaceWish
from handline.route.reading import read_track
from handline.route.route import Route, route_from_legs, route_from_track
from handline.route.terrain import drape
from handline.route.typed import TypedLeg
from handline.route.usable import lacks_heights
from handline.trip.model import Trip
from handline.trip.route_model import Waypoint

FOOT, HEAD = "Foot of the line", "Head of the line"


def set_route(trip: Trip, guessed: set[str]) -> Route:
    """The route of a trip. Adds "line_place" to ``guessed`` where the file does not say where on the way the line is.

    Raises
    ------
    InputError
        Everything about the track, the legs or the places that cannot be used, with the keys it concerns.
    """
    route = _typed(trip) if trip.route.track is None else _recorded(trip, guessed)
    if not any(leg.is_line for leg in route.legs):
        raise TripError(
            Problem(
                what="no leg of the route goes from the foot of the line straight to its head",
                read=f"foot: {trip.foot_name or 'not named'}; head: {trip.head_name or 'not named'}",
                allowed="foot and head next to each other on the way, the foot first",
                mend='give two neighbouring waypoints kind = "line_foot" and kind = "line_head"',
                key="line",
            )
        )
    return route


def _typed(trip: Trip) -> Route:
    kinds = {waypoint.name: waypoint.kind for waypoint in trip.waypoints} | _line_kinds(trip)
    first = trip.route.legs[0].start
    start_m = math.nan if trip.route.start_elevation_m is None else trip.route.start_elevation_m
    return route_from_legs(
        Place(first, kinds.get(first, "trailhead"), 0.0, elevation_m=start_m),
        [
            TypedLeg(leg.end, kinds.get(leg.end, "place"), leg.distance_m, leg.up_m, leg.down_m)
            for leg in trip.route.legs
        ],
        out_and_back=trip.route.out_and_back,
        latitude_deg=math.nan if trip.route.latitude_deg is None else trip.route.latitude_deg,
        longitude_deg=math.nan if trip.route.longitude_deg is None else trip.route.longitude_deg,
    )


def _recorded(trip: Trip, guessed: set[str]) -> Route:
    track_file = trip.file(trip.route.track or "")
    try:
        track = read_track(track_file)
        if trip.route.terrain is not None and lacks_heights(track):
            track = drape(track, trip.file(trip.route.terrain))
        wishes = [_wish(trip, i, waypoint) for i, waypoint in enumerate(trip.waypoints)]
        build = partial(
            route_from_track, track, out_and_back=trip.route.out_and_back, dead_band_m=trip.route.dead_band_m
        )
        if trip.foot_name is None or trip.head_name is None:
            guessed.add("line_place")
            wishes += _line_under_the_top(build(wishes), trip)
        return build(wishes)
    except InputError as error:
        raise TripError(
            [problem if problem.key else problem.at(file=track_file, key="route.track") for problem in error.problems]
        ) from None


def _wish(trip: Trip, index: int, waypoint: Waypoint) -> PlaceWish:
    at = waypoint.at_m
    return PlaceWish(
        name=waypoint.name,
        kind=_line_kinds(trip).get(waypoint.name, waypoint.kind),
        latitude_deg=waypoint.latitude_deg,
        longitude_deg=waypoint.longitude_deg,
        at_m=at if isinstance(at, float) else None,
        at_end=at == "end",
        told_as=f"waypoints[{index}]." + ("latitude" if at is None else "at"),
    )


def _line_kinds(trip: Trip) -> dict[str, str]:
    named = ((trip.foot_name, LINE_FOOT), (trip.head_name, LINE_HEAD))
    return {name: kind for name, kind in named if name is not None}


def _line_under_the_top(route: Route, trip: Trip) -> list[PlaceWish]:
    """Foot and head where the file names one or none: the other end follows from the line's length across the ground.

    With neither named the line is taken to end at the highest point of the way.
    """
    across_m = max(1.0, sum(section.length_m * math.cos(section.angle_rad) for section in trip.line.slab))
    at_m = {place.kind: place.at_m for place in route.places if place.kind in LINE_KINDS}
    if LINE_FOOT in at_m:
        head_m = min(at_m[LINE_FOOT] + across_m, float(route.profile.distance_m[-1]))
        return [PlaceWish(HEAD, LINE_HEAD, at_m=head_m)]
    top_m = float(route.profile.distance_m[int(np.argmax(route.profile.elevation_m))])
    head_m = at_m.get(LINE_HEAD, top_m)
    foot = PlaceWish(FOOT, LINE_FOOT, at_m=max(0.0, head_m - across_m))
    return [foot] if LINE_HEAD in at_m else [foot, PlaceWish(HEAD, LINE_HEAD, at_m=head_m)]
