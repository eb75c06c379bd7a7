"""The line of a trip and what ties on to it: as much of a setting as needs no sky, no pace and no crowd."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handline.day.file_checks import subject_problems
from handline.day.ground_parts import ground_problems
from handline.day.line_geometry import set_line
from handline.day.plan_line import LineStands
from handline.day.route_setting import set_route
from handline.day.tether_setting import set_tethers
from handline.errors import InputError, Problem, TripError
from handline.line.friction import ROCKS, Rock
from handline.line.geometry import LOWERED, RAISED, Line
from handline.line.tethers import Tether
from handline.route.route import Route
from handline.season.rules import parse_period
from handline.trip.model import Trip
from handline.trip.pace_model import Pace
from handline.trip.problems import written_key

# What is guessed of the way itself, whatever the date.
_OF_THE_WAY = frozenset({"line_place"})
STATE_TYPED = "as typed in the trip file"
"""Why the line is raised or lowered, where the file says so itself."""


@dataclass(frozen=True)
class LineSetting:
    """What a slip is computed from. ``guessed`` has the keys the file left open and a guess now fills.

    Where the file has a gear list, the day says what the packs come to at the foot of the line: then they stand in
    ``trip`` as if they had been typed. Until then its packs are not to be used.
    """

    trip: Trip
    route: Route
    line: Line
    line_says: str
    rock: Rock
    tethers: tuple[Tether, ...]
    chosen: Tether
    body_mass_kg: float
    guessed: frozenset[str]
    inputs_sha256: str


def set_up_line(trip: Trip, also: Sequence[Problem] = (), known: LineSetting | None = None) -> LineSetting:
    """The line of a trip.

    Parameters
    ----------
    trip : Trip
    also : sequence of Problem
        What else of the file is known not to fit: told together with what is found here.
    known : LineSetting
        Of the same file on another date: its way is taken as it is.

    Raises
    ------
    TripError
        Whatever of the file does not fit the subjects, all at once: an unknown tether or pace model, a closed date, a
        track that cannot be used.
    """
    problems = [problem.at(key=written_key(place)) for place, problem in subject_problems(_names(trip))] + list(also)
    guessed: set[str] = set()
    route: Route | None = None
    try:
        route = set_route(trip, guessed) if known is None else known.route
        problems += ground_problems(trip, route)
    except InputError as error:
        problems += error.problems
    if known is not None:
        guessed |= known.guessed & _OF_THE_WAY
    if problems or route is None:
        raise TripError([trip.located(problem) for problem in problems])
    state, line_says = line_state(trip)
    if trip.line.state == "by season" and not trip.season.raised:
        guessed.add("line_state")
    if not trip.line.anchors_m:
        guessed.add("anchors")
    line = set_line(trip, route, state, guessed)
    tethers = set_tethers(trip)
    return LineSetting(
        trip=trip,
        route=route,
        line=line,
        line_says=line_says,
        rock=ROCKS[trip.weather.rock or "dry"],
        tethers=tuple(tethers.values()),
        chosen=tethers[trip.tethers.chosen],
        body_mass_kg=trip.party.loaded_kg,
        guessed=frozenset(guessed),
        inputs_sha256=_inputs_sha256(trip),
    )


def line_stands(setting: LineSetting) -> LineStands:
    """How the line of a setting stands, for who reads a result."""
    line = setting.line
    return LineStands(
        name=setting.trip.line.name,
        state=line.state,
        state_says=setting.line_says,
        rock=setting.rock.name,
        rocks=tuple(ROCKS),
        length_m=line.length_m,
        height_m=line.height_m,
        cables=line.cables,
        cable_diameter_m=line.cable_diameter_m,
        section_length_m=line.section_length_m,
        section_angle_rad=line.section_angle_rad,
        stop_m=tuple(stop.at_m for stop in line.stops),
        stop_is_anchor=tuple(stop.is_anchor for stop in line.stops),
    )


def _names(trip: Trip) -> dict[str, Any]:
    """The parts of a trip that the subjects have a say in, in the shape of the file."""
    return {
        "trip": {"date": trip.about.date},
        "route": {"pace_model": trip.route.pace_model},
        "party": {
            "pace": _model_name(trip.party.pace),
            "members": [{"pace": _model_name(member.pace)} for member in trip.party.members],
        },
        "line": {"gloves_up": trip.line.gloves_up, "gloves_down": trip.line.gloves_down},
        "load": {"treatment": trip.load.treatment},
        "waypoints": [
            {"name": waypoint.name, "dry": list(waypoint.dry), "treatment": waypoint.treatment}
            for waypoint in trip.waypoints
        ],
        "season": {
            "open": list(trip.season.open),
            "raised": list(trip.season.raised),
            "holidays": trip.season.holidays,
        },
        "tethers": {
            "chosen": trip.tethers.chosen,
            "own": [{"name": own.name, "kind": own.kind} for own in trip.tethers.own],
        },
    }


def _model_name(pace: Pace | None) -> dict[str, Any]:
    return {} if pace is None else {"model": pace.model}


def line_state(trip: Trip) -> tuple[str, str]:
    """Raised or lowered on the date, and why, in words."""
    if trip.line.state != "by season":
        return trip.line.state, STATE_TYPED
    if not trip.season.raised:
        return RAISED, "no season is typed, so it counts as standing"
    return season_state(trip)


def season_state(trip: Trip) -> tuple[str, str]:
    """What the typed season says of the line on the date, whatever state is typed, and why, in words."""
    words = "; ".join(trip.season.raised)
    if any(parse_period(text).contains(trip.about.date) for text in trip.season.raised):
        return RAISED, f"stands from {words}"
    return LOWERED, f"stands only from {words}"


def _inputs_sha256(trip: Trip) -> str:
    """One hash over the trip file and every file it names."""
    digest = hashlib.sha256(trip.sha256.encode())
    for name in (trip.route.track, trip.route.terrain, trip.weather.forecast):
        # One that is not there is told about where it is read.
        if name is not None and Path(trip.file(name)).is_file():
            digest.update(hashlib.sha256(Path(trip.file(name)).read_bytes()).digest())
    return digest.hexdigest()
