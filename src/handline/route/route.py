"""The route: built from a track and wished places, or from legs typed by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from handline.errors import Problem, TrackError
from handline.quantity import in_both_units, show_height, show_length
from handline.route.cleaning import clean_positions, with_gaps_said, without_standing
from handline.route.direction import one_way_up
from handline.route.elevation import DEAD_BAND_M, SMOOTHING_WINDOW_M, summed_climb_m
from handline.route.geodesy import distance_m, steps_m
from handline.route.heights import clean_heights
from handline.route.place import TRAILHEAD, TURNING_POINT, Place, PlaceWish
from handline.route.profile import Profile, even_distances_m, profile_at
from handline.route.track import Array, Track
from handline.route.typed import TypedLeg, leg_problems, leg_profile
from handline.route.unrolling import Itinerary, Leg, Point, legs_of, points_of, walked_back, walked_once
from handline.route.usable import LONGEST_M, refuse_unusable, refuse_unusable_heights
from handline.route.waypoints import Found, find_places

NODE_APART_M = 1.0


@dataclass(frozen=True, eq=False)
class Route:
    """The whole itinerary, from the start to the last point.

    ``places`` and ``profile`` are one way. ``raw_up_m`` is every rise of the recording summed as it stands, for the
    whole itinerary; NaN for typed legs. ``latitude_deg`` and ``longitude_deg`` are the highest place's, for sun and
    weather; NaN if unknown. ``notes`` say what was done to the input, with numbers; ``longest_jump_m`` is the longest
    step between two points of the track, 0 for typed legs. ``track`` is the track one way as it was cleaned, None for
    typed legs.
    """

    points: tuple[Point, ...]
    legs: tuple[Leg, ...]
    places: tuple[Place, ...]
    length_m: float
    up_m: float
    down_m: float
    raw_up_m: float
    dead_band_m: float
    profile: Profile
    notes: tuple[str, ...]
    latitude_deg: float
    longitude_deg: float
    longest_jump_m: float = 0.0
    track: Track | None = None


def route_from_track(
    track: Track, wishes: Sequence[PlaceWish], *, out_and_back: bool, dead_band_m: float = DEAD_BAND_M
) -> Route:
    """The route along a recorded or drawn track.

    The track is cleaned, turned the right way, given its places and, if the party comes back, walked back too.

    Parameters
    ----------
    track : Track
        As it was read; heights already draped from a terrain model if it has none of its own.
    wishes : sequence of PlaceWish
        The places, in any order. The ends of the track become places by themselves where no wish is near.
    out_and_back : bool
        Whether the party comes back the way it went. Otherwise the track is the whole day.
    dead_band_m : float [m]
        The smallest swing of height that counts as climb.

    Returns
    -------
    Route

    Raises
    ------
    TrackError
        With every reason why no plan can be made of this track or of these places.

    Notes
    -----
    Sources: karney_2013, practice_climb.
    """
    refuse_unusable(track)
    cleaned = clean_positions(track)
    refuse_unusable_heights(cleaned)
    directed, turned = one_way_up(clean_heights(cleaned), wishes, out_and_back=out_and_back)
    line = with_gaps_said(without_standing(directed))

    found, place_notes = find_places(line, wishes, every_passing=not out_and_back)
    length_m = float(distance_m(line.latitude_deg, line.longitude_deg)[-1])
    found = _with_ends(found, length_m, out_and_back)
    nodes_m = _nodes_m(length_m, found)
    nodes = profile_at(line, nodes_m)
    passings = _passings(found, nodes)
    unroll = walked_back if out_and_back else walked_once
    itinerary = unroll(nodes.distance_m, nodes.elevation_m, passings)

    recorded_up, recorded_down = summed_climb_m(cleaned.elevation_m[: directed.size])
    if turned:
        recorded_up, recorded_down = recorded_down, recorded_up
    raw_up_m = recorded_up + recorded_down if out_and_back else recorded_up
    places = _first_passings(passings)
    highest = max(places, key=lambda place: place.elevation_m)
    return _route(
        itinerary,
        profile_at(line, even_distances_m(length_m)),
        places,
        raw_up_m=raw_up_m,
        dead_band_m=dead_band_m,
        notes=(*line.notes, *place_notes),
        position_deg=(highest.latitude_deg, highest.longitude_deg),
        longest_jump_m=float(steps_m(line.latitude_deg, line.longitude_deg).max()),
        track=line,
    )


def route_from_legs(
    start: Place,
    legs: Sequence[TypedLeg],
    *,
    out_and_back: bool,
    latitude_deg: float = math.nan,
    longitude_deg: float = math.nan,
) -> Route:
    """The route of legs typed by hand, its climb counted exactly as typed.

    Parameters
    ----------
    start : Place
        Where the day begins. The other heights follow from its height, and are NaN if that is not known.
    legs : sequence of TypedLeg
        One way if the party comes back the way it went, else the whole day.
    out_and_back : bool
    latitude_deg, longitude_deg : float [deg]
        Where the highest place lies, roughly, if that is known.

    Returns
    -------
    Route

    Raises
    ------
    TrackError
        With every leg that cannot be.
    """
    _refuse_legs(legs)
    parts = [leg_profile(leg) for leg in legs]
    along = np.concatenate(([0.0], *(run for run, _ in parts))).cumsum()
    climbed = np.concatenate(([0.0], *(rise for _, rise in parts))).cumsum()
    ends = np.cumsum([run.size for run, _ in parts]).tolist()
    elevation = start.elevation_m + climbed
    places = (
        start,
        *(
            Place(leg.to_name, leg.to_kind, float(along[node]), float(elevation[node]))
            for leg, node in zip(legs, ends, strict=True)
        ),
    )
    passings = list(zip([0, *ends], places, strict=True))
    itinerary = (walked_back if out_and_back else walked_once)(along, climbed, passings)
    unknown = np.full(along.size, np.nan)
    return _route(
        itinerary,
        Profile(along, elevation, unknown, unknown),
        places,
        raw_up_m=math.nan,
        dead_band_m=0.0,
        notes=("legs as typed: each at an even grade, its climb before its descent",),
        position_deg=(latitude_deg, longitude_deg),
    )


def _route(
    itinerary: Itinerary,
    profile: Profile,
    places: tuple[Place, ...],
    *,
    raw_up_m: float,
    dead_band_m: float,
    notes: tuple[str, ...],
    position_deg: tuple[float, float],
    longest_jump_m: float = 0.0,
    track: Track | None = None,
) -> Route:
    legs = legs_of(itinerary, dead_band_m)
    up_m = sum(leg.up_m for leg in legs)
    if math.isfinite(raw_up_m):
        notes = (
            *notes,
            f"climb summed raw {in_both_units(raw_up_m, show_height)}; counted {in_both_units(up_m, show_height)}, "
            f"with heights averaged over {in_both_units(SMOOTHING_WINDOW_M, show_height)} of ground and a dead band of "
            f"{in_both_units(dead_band_m, show_length)}",
        )
    return Route(
        points=points_of(itinerary),
        legs=legs,
        places=places,
        length_m=float(itinerary.distance_m[-1]),
        up_m=up_m,
        down_m=sum(leg.down_m for leg in legs),
        raw_up_m=raw_up_m,
        dead_band_m=dead_band_m,
        profile=profile,
        notes=notes,
        latitude_deg=position_deg[0],
        longitude_deg=position_deg[1],
        longest_jump_m=longest_jump_m,
        track=track,
    )


def _with_ends(found: tuple[Found, ...], length_m: float, out_and_back: bool) -> tuple[Found, ...]:
    """The places found, with one at each end of the line."""
    passed = {passing for place in found for passing in place.passings_m}
    start = Found(PlaceWish("Start", TRAILHEAD), (0.0,))
    end = PlaceWish("Turning point", TURNING_POINT) if out_and_back else PlaceWish("End", TRAILHEAD)
    return (
        *(() if 0.0 in passed else (start,)),
        *found,
        *(() if length_m in passed else (Found(end, (length_m,)),)),
    )


def _nodes_m(length_m: float, found: tuple[Found, ...]) -> Array:
    """Where the line is cut: every passing of a place, and an even spacing between them."""
    passed = np.array(sorted({passing for place in found for passing in place.passings_m}))
    even = even_distances_m(length_m)
    apart = np.abs(even[:, None] - passed[None, :]).min(axis=1) > NODE_APART_M
    return np.sort(np.concatenate((even[apart], passed)))


def _passings(found: tuple[Found, ...], nodes: Profile) -> list[tuple[int, Place]]:
    """Every passing of every place, in the order of walking: its node and the place."""
    passings = []
    for place in found:
        for at_m in place.passings_m:
            node = int(np.searchsorted(nodes.distance_m, at_m))
            passings.append(
                (
                    node,
                    Place(
                        name=place.wish.name,
                        kind=place.wish.kind,
                        at_m=at_m,
                        elevation_m=float(nodes.elevation_m[node]),
                        latitude_deg=float(nodes.latitude_deg[node]),
                        longitude_deg=float(nodes.longitude_deg[node]),
                        offset_m=place.offset_m,
                    ),
                )
            )
    return sorted(passings, key=lambda passing: passing[0])


def _first_passings(passings: Sequence[tuple[int, Place]]) -> tuple[Place, ...]:
    """Every place once, where it is first passed."""
    first: dict[tuple[str, str], Place] = {}
    for _, place in passings:
        first.setdefault((place.name, place.kind), place)
    return tuple(first.values())


def _refuse_legs(legs: Sequence[TypedLeg]) -> None:
    problems = [problem for leg in legs for problem in leg_problems(leg)]
    if not legs:
        problems.append(Problem("the route has no legs", mend="type one leg at least: a length and a climb"))
    elif not problems and (length_m := sum(leg.length_m for leg in legs)) > LONGEST_M:
        problems.append(
            Problem(
                "the legs are too long for a day on foot",
                read=f"{length_m / 1000:,.0f} km",
                allowed=f"up to {LONGEST_M / 1000:.0f} km",
            )
        )
    if problems:
        raise TrackError(problems)
