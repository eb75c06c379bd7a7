"""From a trip file to the itinerary: walking, waits, the passage of the line and stops, as numbers on a clock."""

from __future__ import annotations

import numpy as np

from handline.day.line_passage import passage_of
from handline.day.line_wait import LineWait, Wait
from handline.day.simulation import Itinerary, LineLeg, Night, RockClock
from handline.errors import Problem
from handline.line.friction import ROCKS
from handline.line.geometry import WAYS, Line
from handline.line.passage import party_passage_s
from handline.line.tethers import Tether
from handline.route.route import Route
from handline.trip.model import Trip
from handline.walking.party_pace import PartyTimes

# Where the file says nothing about a crowd: half the parties wait less than this, nine in ten less than the long one.
# [practice_line_wait]
USUAL_WAIT = Wait(median_s=15 * 60.0, long_s=45 * 60.0)
# Where only the median is typed, nine in ten wait less than this many times it. [practice_line_wait]
USUAL_LONG_WAIT_FACTOR = 3.0


def set_waits(trip: Trip, problems: list[Problem], guessed: set[str]) -> dict[str, LineWait]:
    """The wait before the line on the way up and down. Adds to ``problems``, and to ``guessed`` what is not typed."""
    waits: dict[str, LineWait] = {}
    typed = {
        "up": (trip.crowd.wait_up_s, trip.crowd.wait_up_long_s),
        "down": (trip.crowd.wait_down_s, trip.crowd.wait_down_long_s),
    }
    for way, (median_s, long_s) in typed.items():
        if median_s is None:
            guessed.add(f"wait_{way}")
            waits[way] = USUAL_WAIT
            continue
        if median_s == 0.0 and long_s:
            problems.append(
                Problem(
                    what="half the parties cannot wait nothing at all while some wait long",
                    read=f"wait_{way} of 0",
                    allowed="a little more than 0, or no long wait",
                    mend=f'write wait_{way} = "1 min"',
                    key=f"crowd.wait_{way}",
                )
            )
        waits[way] = Wait(median_s, long_s if long_s is not None else median_s * USUAL_LONG_WAIT_FACTOR)
    return waits


def line_legs_of(
    trip: Trip, route: Route, line: Line, chosen: Tether, waits: dict[str, LineWait]
) -> tuple[LineLeg | None, ...]:
    """A LineLeg for every leg on the line, None for the others."""
    of_way = {way: _line_leg(trip, line, chosen, way, waits[way]) for way in WAYS}
    return tuple(of_way[route.points[leg.end].way] if leg.is_line else None for leg in route.legs)


def set_itinerary(
    trip: Trip,
    route: Route,
    pace: PartyTimes,
    line_legs: tuple[LineLeg | None, ...],
    nights: np.ndarray,
    rock: RockClock,
    night: Night | None,
) -> Itinerary:
    """The day as numbers."""
    is_line = np.array([leg.is_line for leg in route.legs])
    stops = {waypoint.name: waypoint.stop_s for waypoint in trip.waypoints}
    return Itinerary(
        walking_s=pace.time_s,
        model_weight=pace.mix.weights,
        line_legs=line_legs,
        stop_s=np.array([stops.get(point.name, 0.0) for point in route.points]),
        off_line=int(np.flatnonzero(is_line)[-1]) + 1,
        size=trip.party.size,
        walker_sigma=np.where(np.isnan(pace.sigma), trip.party.pace_spread, pace.sigma),
        leg_sigma=trip.party.leg_spread,
        tiring_after_s=trip.party.tiring_after_s,
        tiring_per_hour=trip.party.tiring_per_hour if trip.party.factors.tiring else 0.0,
        rest_s_per_hour=trip.party.rest_per_hour_s,
        dark_spans_clock_s=nights,
        dark_factor=trip.party.dark_factor if trip.party.factors.dark else 1.0,
        rock=rock,
        leg_memory=trip.party.leg_memory,
        night=night,
    )


def _line_leg(trip: Trip, line: Line, chosen: Tether, way: str, wait: LineWait) -> LineLeg:
    alone = [passage_of(trip, line, chosen, rock, way) for rock in ROCKS.values()]
    size = trip.party.size
    return LineLeg(
        passage_by_rock_s=tuple(float(party_passage_s(one.climber_s, one.headway_s, size, 1.0)) for one in alone),
        wait=wait,
    )
