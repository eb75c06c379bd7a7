"""Plans that the tests of the written files share: an example on its track, and typed legs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

from handline.day.plan import Plan
from handline.day.planning import make_plan
from handline.trip.reading import read_trip
from tests.day.permit_trips import CAMP, LINE, WALK_UP, permit_trip
from tests.day.trips import night_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
TAMSIN = EXAMPLES / "tamsin-dome" / "trip.toml"
PETREL = EXAMPLES / "petrel-slab" / "trip.toml"


@cache
def tamsin() -> Plan:
    """The example with everything: track, gear list, forecast, permit."""
    trip = read_trip(TAMSIN)
    return make_plan(trip.model_copy(update={"about": trip.about.model_copy(update={"days": 1000})}))


@cache
def petrel() -> Plan:
    """The other example: metric, south of the equator, a usual month in place of a forecast, no permit."""
    trip = read_trip(PETREL)
    return make_plan(trip.model_copy(update={"about": trip.about.model_copy(update={"days": 1000})}))


@cache
def typed() -> Plan:
    """Typed legs, with permits and the day they are seen from."""
    return make_plan(permit_trip(LINE + WALK_UP + CAMP), today=date(2027, 3, 20))


@cache
def typed_night() -> Plan:
    return make_plan(night_trip(weather='storm_chance = "20 %"', limits='home_by = "15:00"'))


def placed(plan: Plan) -> Plan:
    """The same plan as if its places had coordinates: a straight way north."""
    names = list(dict.fromkeys(row.name for row in plan.timetable))
    latitude = {name: 46.5 + 0.01 * number for number, name in enumerate(names)}
    timetable = tuple(replace(row, latitude_deg=latitude[row.name], longitude_deg=-113.5) for row in plan.timetable)
    return replace(
        plan,
        timetable=timetable,
        route=replace(
            plan.route,
            track_latitude_deg=tuple(latitude.values()),
            track_longitude_deg=(-113.5,) * len(names),
            track_elevation_m=tuple(1200.0 + 100.0 * number for number in range(len(names))),
            track_within_m=5.0,
        ),
    )
