"""The packs that fall with a body on the line, from the gear list alone: no sky, no weather, nothing drawn.

The plan and ``handline line`` must count the same body, and the second may not wait for a whole day to be computed. So
the pack at the foot of the line is reckoned from above: the way back to water all in the dark, on the most slippery
rock, and as much water for it as anybody may drink. The packs of the plan itself, which stand on its weather and
hours, come out lighter.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from handline.day.itinerary_setting import line_legs_of, set_itinerary, set_waits
from handline.day.load_effort import burn
from handline.day.load_hours import MiddleDay, middle_day
from handline.day.load_subject import Floats, gear_of, people_of, sources_of, walked_ground
from handline.day.simulation import ONE_ROCK, LineLeg
from handline.day.walking_setting import set_pace
from handline.line.geometry import Line
from handline.line.tethers import Tether
from handline.route.route import Route
from handline.trip.model import Trip
from handline.walking.drinking import KG_PER_L, MOST_L_DAY, MOST_L_H
from handline.walking.food import food_for

# A dark span that no clock of a day leaves.
_ALL_DARK_S = np.array([[-1e7, 1e7]])
# The first pass begins from more than anybody carries, so that every pass comes down to the answer from above.
_PASSES = 2


def with_line_packs(trip: Trip, route: Route, line: Line, chosen: Tether) -> Trip:
    """The trip with the packs of its gear list at the foot of the line, worn gear in them; as it is without a list.

    Pack = gear + all the food of the day + water to the next sure source, at most what the bottles hold: 1.5 quarts for
    each hour, no more than 12, and the reserve.

    Notes
    -----
    Whoever the file does not list counts with the heaviest pack. Sources: our_line_packs, tb_med_507.
    """
    gear = gear_of(trip, night=False)
    if gear is None:
        return trip
    gear_kg = gear.gear_kg + gear.worn_kg
    holds_L = np.inf if trip.load.bottles_L is None else trip.load.bottles_L
    water_kg = KG_PER_L * min(MOST_L_DAY + trip.load.reserve_L, holds_L)
    food_kg = np.zeros(gear_kg.shape)
    packed = _with_packs(trip, gear_kg + water_kg)
    line_legs = _slowest(line_legs_of(packed, route, line, chosen, set_waits(trip, [], set())))
    for _ in range(_PASSES):
        load_kg = np.repeat((gear_kg + food_kg + water_kg)[:, None], len(route.legs), axis=1)
        day = _longest_day(trip, route, line_legs, load_kg)
        food_kg = _food_kg(trip, route, day, load_kg)
        water_kg = KG_PER_L * _water_at_foot_L(trip, route, day)
    return _with_packs(trip, gear_kg + food_kg + water_kg)


def _slowest(line_legs: tuple[LineLeg | None, ...]) -> tuple[LineLeg | None, ...]:
    return tuple(
        None if leg is None else replace(leg, passage_by_rock_s=(max(leg.passage_by_rock_s),)) for leg in line_legs
    )


def _longest_day(trip: Trip, route: Route, line_legs: tuple[LineLeg | None, ...], load_kg: Floats) -> MiddleDay:
    pace = set_pace(trip, route, load_kg)
    return middle_day(set_itinerary(trip, route, pace, line_legs, _ALL_DARK_S, ONE_ROCK), trip.about.start_clock_s)


def _food_kg(trip: Trip, route: Route, day: MiddleDay, load_kg: Floats) -> Floats:
    bodies_kg = np.array([member.body_mass_kg for member in people_of(trip)])
    is_line = np.array([leg.is_line for leg in route.legs])
    burnt = burn(walked_ground(trip, route), is_line, day, bodies_kg, load_kg)
    return food_for(burnt.day_J, replaced_share=trip.load.eaten).mass_kg.centre


def _water_at_foot_L(trip: Trip, route: Route, day: MiddleDay) -> float:
    """What each has in the bottles when going up the line, at most [L]."""
    foot = next(leg.start for leg in route.legs if leg.is_line)
    sources = sources_of(trip, route)
    next_water = next((i for i in range(foot + 1, len(sources)) if sources[i].station.is_reliable), len(sources) - 1)
    hours = float(day.duration_s[foot:next_water].sum()) / 3600.0
    holds_L = np.inf if trip.load.bottles_L is None else trip.load.bottles_L
    return float(min(min(MOST_L_H * hours, MOST_L_DAY) + trip.load.reserve_L, holds_L))


def _with_packs(trip: Trip, pack_kg: Floats) -> Trip:
    """As if these packs had been typed."""
    party = trip.party
    updates: dict[str, Any] = {"pack_mass_kg": float(pack_kg.max())}
    if party.members:
        updates["members"] = tuple(
            member.model_copy(update={"pack_mass_kg": float(kg)})
            for member, kg in zip(party.members, pack_kg, strict=True)
        )
    return trip.model_copy(update={"party": party.model_copy(update=updates)})
