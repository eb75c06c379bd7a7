"""What this very plan needs of gear, against what the trip file has: each missing piece with its reason.

Nothing is asked for that the plan gives no reason for.
"""

from __future__ import annotations

from collections.abc import Iterator

from handline.day.computed import LoadComputed, LoadRule
from handline.day.felt import COLD_UP_TO_C
from handline.day.gear_line import missing_gear
from handline.day.load_subject import DROP_L
from handline.day.plan import Finding
from handline.quantity import (
    show_distance,
    show_duration,
    show_share,
    show_temperature,
    show_water,
)
from handline.weather.index_registry import INDICES

DARK_ASKS_FOR_LIGHT = 0.02
"""A chance of more than this that some of the walking falls in the dark asks for lights. [practice_light]"""
LAYERS_BELOW_C = COLD_UP_TO_C
"""Where it feels colder than this on one day in ten, warm layers are asked for. [practice_gear]"""
HELP_FAR_S = 3600.0
"""Farther than this from the end of the way, first aid is asked for. [practice_gear]"""
_BY_HEAT = {"boiling": ("water treatment", "stove")}
"""Treatments that need other gear than a device: any one of these."""


def in_the_dark(share: float) -> str:
    """How often part of the way is walked in the dark, in words."""
    days = "every simulated day" if share == 1.0 else f"{show_share(share)} of simulated days"
    return f"on {days} part of the way is walked in the dark"


def _light(c: LoadComputed) -> Iterator[Finding]:
    if "light" not in c.setting.trip.gear.has and c.dark_share > DARK_ASKS_FOR_LIGHT:
        yield missing_gear(
            c,
            "light",
            f"{in_the_dark(c.dark_share)}; bring one each",
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
        yield missing_gear(
            c, "layers", "nothing says how cold the day is, so count on wind and cold at the top", "note"
        )
        return
    coldest_C, there = min(known, key=lambda one: one[0])
    if coldest_C < LAYERS_BELOW_C:
        yield missing_gear(
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
            yield missing_gear(c, "water treatment", f"{show_water(treat_L, units)} are to be treated by {way}")
            break
    if "bottles" not in trip.gear.has:
        longest = c.load.longest
        yield missing_gear(
            c, "bottles", f"each leaves with up to {show_water(longest.wanted_L, units)} for {longest.words}", "note"
        )


def _map_and_first_aid(c: LoadComputed) -> Iterator[Finding]:
    has, route, units = c.setting.trip.gear.has, c.setting.route, c.setting.trip.about.units
    if "map" not in has:
        yield missing_gear(c, "map", f"the way is {show_distance(route.length_m, units)} long", "note")
    top = max((i for i, point in enumerate(route.points) if point.way == "up"), default=0)
    back_s = sum(leg.time_s for leg in c.load.legs[top:])
    if "first aid" not in has and back_s > HELP_FAR_S:
        yield missing_gear(
            c, "first aid", f"from {route.points[top].name} it is {show_duration(back_s)} to {route.points[-1].name}"
        )


RULES: tuple[LoadRule, ...] = (_light, _layers, _water_gear, _map_and_first_aid)
