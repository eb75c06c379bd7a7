"""What this very plan needs of gear, against what the trip file has: each missing piece with its reason.

Nothing is asked for that the plan gives no reason for.
"""

from __future__ import annotations

from collections.abc import Iterator

from handline.day.computed import LineComputed, LoadComputed, LoadRule
from handline.day.felt import COLD_UP_TO_C
from handline.day.line_passage import gloves_of
from handline.day.load_subject import DROP_L
from handline.day.plan import Finding, Level
from handline.line.friction import ROCKS
from handline.line.geometry import UP
from handline.line.grip import LEATHER
from handline.line.tethers import NONE
from handline.quantity import (
    show_angle,
    show_distance,
    show_duration,
    show_length,
    show_pull,
    show_share,
    show_temperature,
    show_water,
)
from handline.sources import source
from handline.weather.index_registry import INDICES

DARK_ASKS_FOR_LIGHT = 0.02
"""A chance of more than this that some of the walking falls in the dark asks for lights. [practice_light]"""
LAYERS_BELOW_C = COLD_UP_TO_C
"""Where it feels colder than this on one day in ten, warm layers are asked for. [practice_gear]"""
HELP_FAR_S = 3600.0
"""Farther than this from the end of the way, first aid is asked for. [practice_gear]"""
_BY_HEAT = {"boiling": ("water treatment", "stove")}
"""Treatments that need other gear than a device: any one of these."""


def _missing(c: LineComputed, use: str, why: str, level: Level = "heed", source_key: str = "practice_gear") -> Finding:
    return Finding(
        level, f"gear_{use.replace(' ', '_')}", f"{use.capitalize()} not in the gear list: {why}.",
        "Type it in gear.carried, or as a [[gear.items]] with its use.", source(source_key).words,
    )  # fmt: skip


def gear_of_line(c: LineComputed) -> Iterator[Finding]:
    """Gloves, harness, tether, helmet and shoes."""
    has, trip, units = c.setting.trip.gear.has, c.setting.trip, c.setting.trip.about.units
    length = show_length(c.setting.line.length_m, units)
    rock = list(ROCKS).index(c.setting.rock.name)
    pull_N = max(bay.pull_N[rock] for bay in c.bays)
    steepest = show_angle(max(c.setting.line.section_angle_rad))
    if "gloves" not in has:
        holds = f", and they hold {show_pull(pull_N, units)}" if pull_N > 0.0 else ""
        usual = gloves_of(trip, UP).name
        kind = "" if usual != LEATHER else ", leather both ways"
        yield _missing(c, "gloves", f"the cable cuts bare hands on {length} up and down{holds}{kind}", "heed",
                       "practice_gloves")  # fmt: skip
    if c.setting.chosen.kind != NONE:
        title = c.setting.chosen.title[:1].lower() + c.setting.chosen.title[1:]
        if "harness" not in has:
            yield _missing(c, "harness", f"you tie on ({title}), and a tether without a harness does not hold a body")
        if "tether" not in has:
            yield _missing(c, "tether", f"you tie on with this: {title}", "note")
    if "helmet" not in has:
        yield _missing(c, "helmet", f"{_above(c)}, and a slip on {steepest} of rock turns a body over")
    if "grippy shoes" not in has and pull_N > 0.0:
        yield _missing(
            c,
            "grippy shoes",
            f"on {steepest} of {c.setting.rock.name} rock soles of friction {c.setting.rock.mu_foot:g} do not hold by "
            f"themselves, and smoother ones leave more than {show_pull(pull_N, units)} to the hands",
        )


def _above(c: LineComputed) -> str:
    """Who may let something fall."""
    trip = c.setting.trip
    places = [permit.places_per_day for permit in trip.permits if permit.places_per_day is not None]
    people = trip.crowd.people_per_day or (places[0] if places else None)
    if people is not None:
        return f"up to {people} people a day are on the line, and what those above let fall comes down on you"
    if trip.party.size > 1:
        return "one of you climbs above the other, and stones they loosen come down"
    return "stones come down a slab that people climb"


def _light(c: LoadComputed) -> Iterator[Finding]:
    if "light" not in c.setting.trip.gear.has and c.dark_share > DARK_ASKS_FOR_LIGHT:
        yield _missing(
            c,
            "light",
            f"in {show_share(c.dark_share)} of simulated days part of the way is walked in the dark; bring one each",
            "heed",
            "practice_light",
        )


def _layers(c: LoadComputed) -> Iterator[Finding]:
    if "layers" in c.setting.trip.gear.has:
        return
    units, title = c.setting.trip.about.units, INDICES["wind_chill"].title
    felt = [
        (there.felt.value_C if there.felt is not None and there.felt.index == title else there.temperature_C[0], there)
        for there in c.weather.there
    ]
    known = [(value_C, there) for value_C, there in felt if value_C == value_C]
    if not known:
        yield _missing(c, "layers", "nothing says how cold the day is, so count on wind and cold at the top", "note")
        return
    coldest_C, there = min(known, key=lambda one: one[0])
    if coldest_C < LAYERS_BELOW_C:
        yield _missing(
            c, "layers", f"at {there.name} it feels like {show_temperature(coldest_C, units)} on one day in ten"
        )


def _water_gear(c: LoadComputed) -> Iterator[Finding]:
    trip, units = c.setting.trip, c.setting.trip.about.units
    waypoints = {one.name: one for one in trip.waypoints}
    for way in dict.fromkeys(
        (waypoints[stop.name].treatment or trip.load.treatment) for stop in c.load.water[1:] if stop.treat_L > DROP_L
    ):
        needs = _BY_HEAT.get(way, ("water treatment",))
        if way != "none" and not trip.gear.has.intersection(needs):
            treat_L = sum(
                stop.treat_L
                for stop in c.load.water[1:]
                if stop.treat_L > DROP_L and (waypoints[stop.name].treatment or trip.load.treatment) == way
            )
            yield _missing(c, "water treatment", f"{show_water(treat_L, units)} are to be treated by {way}")
            break
    if "bottles" not in trip.gear.has:
        longest = c.load.longest
        yield _missing(
            c, "bottles", f"each leaves with up to {show_water(longest.wanted_L, units)} for {longest.words}", "note"
        )


def _map_and_first_aid(c: LoadComputed) -> Iterator[Finding]:
    has, route, units = c.setting.trip.gear.has, c.setting.route, c.setting.trip.about.units
    if "map" not in has:
        yield _missing(c, "map", f"the way is {show_distance(route.length_m, units)} long", "note")
    top = max((i for i, point in enumerate(route.points) if point.way == "up"), default=0)
    back_s = sum(leg.time_s for leg in c.load.legs[top:])
    if "first aid" not in has and back_s > HELP_FAR_S:
        yield _missing(
            c, "first aid", f"from {route.points[top].name} it is {show_duration(back_s)} to {route.points[-1].name}"
        )


RULES: tuple[LoadRule, ...] = (_light, _layers, _water_gear, _map_and_first_aid)
