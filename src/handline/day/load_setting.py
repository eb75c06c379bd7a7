"""What everybody carries leg by leg: weight -> pace -> hours -> water and food -> weight, until it stands still."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handline.day.load_effort import Burnt, burn
from handline.day.load_heat import WARM_DAY_C, Heat, heat_of_legs
from handline.day.load_hours import MiddleDay, middle_day
from handline.day.load_subject import Floats, Source, WalkedGround, gear_of, people_of, sources_of, walked_ground
from handline.day.night_setting import Camp
from handline.day.simulation import Itinerary
from handline.day.walking_setting import set_pace
from handline.day.weather_setting import DayWeather
from handline.route.route import Route
from handline.trip.model import Trip
from handline.walking.fixed_point import Settled, settle
from handline.walking.food import food_for
from handline.walking.load_curve import Cache, LoadCurve, load_curve
from handline.walking.mix import MixTimes
from handline.walking.packs import Member, Packs
from handline.walking.spread import Spread
from handline.walking.water_need import water_need
from handline.walking.water_plan import WaterPlan, plan_water

SETTLED_KG = 0.010
"""A change of every load on every leg that is small enough. [our_settling]"""
MOST_STEPS = 25
# Legs are cut into so many parts for the heat of the hour: of a leg of four hours each is ten minutes.
PARTS = 24
# Nobody carries this. A loop that comes to it has not settled, and is not followed any further.
BEYOND_ALL_KG = 200.0


@dataclass(frozen=True, eq=False)
class SettledPacks:
    """What each carries on each leg, worn gear too, (members, legs) [kg]; None where packs are as typed."""

    load_kg: Floats | None
    settled: Settled | None


@dataclass(frozen=True, eq=False)
class LoadSubject:
    """What stays the same from step to step. ``gear`` and ``night_gear`` are None where packs are as typed."""

    trip: Trip
    people: tuple[Member, ...]
    ground: WalkedGround
    is_line: Floats
    sources: tuple[Source, ...]
    distance_m: Floats
    heat: Heat
    gear: Packs | None
    night_gear: Packs | None
    camp: Camp | None

    @property
    def body_mass_kg(self) -> Floats:
        return np.array([member.body_mass_kg for member in self.people])

    @property
    def worn_kg(self) -> Floats:
        return np.zeros(len(self.people)) if self.gear is None else self.gear.worn_kg


@dataclass(frozen=True, eq=False)
class Carried:
    """One way of carrying: the hours it was reckoned for, and what follows from them.

    ``gear_kg`` and ``food_kg`` are what each sets out with; ``too_light`` are the members whose typed pack is less than
    their own water and food. ``wbgt_C`` (legs,) is that of the
    middle of each leg, NaN where it is not known; ``need_L_h`` is by parts of legs, (members, legs, parts).
    """

    day: MiddleDay
    burnt: Burnt
    wbgt_C: Floats
    need_L_h: Spread
    need_L: Spread
    water: WaterPlan
    curve: LoadCurve
    gear_kg: Floats
    food_kg: Floats
    too_light: tuple[int, ...]

    @property
    def pack_kg(self) -> Floats:
        """The pack at every passing, coming and going, (members, 2 passings). Nobody comes to the start."""
        pack_kg = self.curve.mass_kg.copy()
        pack_kg[:, 0] = pack_kg[:, 1]
        return pack_kg


def set_load(trip: Trip, route: Route, weather: DayWeather, camp: Camp | None = None) -> LoadSubject:
    """What packs and water of a trip rest on, for one push or for a night out."""
    return LoadSubject(
        trip=trip,
        people=people_of(trip),
        ground=walked_ground(trip, route),
        is_line=np.array([leg.is_line for leg in route.legs]),
        sources=sources_of(trip, route, None if camp is None else camp.stays),
        distance_m=np.array([point.distance_m for point in route.points]),
        heat=heat_of_legs(route, weather, trip.depart_clock_s),
        gear=gear_of(trip, night=False),
        night_gear=None if camp is None else gear_of(trip, night=True),
        camp=camp,
    )


def carry(subject: LoadSubject, day: MiddleDay, load_kg: Floats) -> Carried:
    """Water, food and packs of a day that is walked under these loads, (members, legs).

    The day's need for water is planned at the typed chance on every leg; food is as much as the typed share of what is
    burnt, eaten as it is burnt.

    Notes
    -----
    Sources: our_water_plan, practice_food, our_load_curve, our_heat_of_a_leg.
    """
    wanted, burnt = subject.trip.load, burn(subject.ground, subject.is_line, day, subject.body_mass_kg, load_kg)
    wbgt_C = subject.heat.at(day.middle_clock_s) if subject.heat.wbgt_C.shape[1] else np.full(day.day.shape, np.nan)
    need_L_h = _need_L_h(subject, day, burnt.work)
    need_L = Spread(*(part.mean(axis=-1) for part in (need_L_h.low, need_L_h.centre, need_L_h.high))).times(
        day.duration_s / 3600.0
    )
    water = plan_water(
        [source.station for source in subject.sources],
        need_L,
        day.duration_s,
        quantile=wanted.sure,
        reserve_L=wanted.reserve_L,
        capacity_L=np.inf if wanted.bottles_L is None else wanted.bottles_L,
        treatment_key=wanted.treatment,
        day=day.day,
    )
    food_kg = food_for(burnt.day_J, replaced_share=wanted.eaten).mass_kg.centre
    eaten_kg = food_kg[:, None] * burnt.energy_J.centre / burnt.day_J.centre[:, None]
    here_kg = np.zeros((len(subject.people), len(subject.sources)))
    if subject.camp is not None:
        here_kg[:, subject.camp.stays] = food_kg * burnt.night_J.centre / burnt.day_J.centre
    gear_kg, too_light = _gear_kg(subject, food_kg, water)
    curve = load_curve(
        water, subject.distance_m,
        gear_kg=gear_kg, food_kg=food_kg, eaten_kg=eaten_kg, eaten_here_kg=here_kg, caches=_caches(subject),
    )  # fmt: skip
    return Carried(day, burnt, wbgt_C, need_L_h, need_L, water, curve, gear_kg, food_kg, too_light)


def _need_L_h(subject: LoadSubject, day: MiddleDay, work: NDArray[np.int_]) -> Spread:
    """The need in each of ``PARTS`` even parts of every leg, in the heat of its own hour, (members, legs, parts)."""
    parts_s = day.part_clock_s(PARTS)
    wbgt_C = np.full(parts_s.shape, np.nan)
    if subject.heat.wbgt_C.shape[1]:
        wbgt_C = np.stack([subject.heat.at(parts_s[:, k]) for k in range(PARTS)], axis=1)
    return water_need(np.where(np.isnan(wbgt_C), WARM_DAY_C, wbgt_C), work[:, :, None]).need_L_h


def _gear_kg(subject: LoadSubject, food_kg: Floats, water: WaterPlan) -> tuple[Floats, tuple[int, ...]]:
    """Gear in the pack on setting out, and whose typed pack does not hold its own food and water."""
    if subject.gear is not None:
        night_kg = 0.0 if subject.night_gear is None else subject.night_gear.gear_kg
        return subject.gear.gear_kg + night_kg, ()
    left_kg = np.array(subject.trip.party.packs_kg) - food_kg - water.start_L
    return np.maximum(left_kg, 0.0), tuple(int(i) for i in np.flatnonzero(left_kg < 0.0))


def _caches(subject: LoadSubject) -> tuple[Cache, ...]:
    if subject.camp is None or subject.night_gear is None:
        return ()
    return (Cache(subject.night_gear.gear_kg, subject.camp.stays, subject.camp.back),)


def loads_of(subject: LoadSubject, carried: Carried) -> Floats:
    """What each carries on each leg in the mean, worn gear too: what pace and effort are reckoned with."""
    worn_kg = subject.worn_kg[:, None]
    if subject.night_gear is not None:
        worn_kg = worn_kg + subject.night_gear.worn_kg[:, None]
    return carried.curve.leg_mean_kg + worn_kg


def settled_packs(
    trip: Trip,
    route: Route,
    weather: DayWeather,
    itinerary: Itinerary,
    camp: Camp | None = None,
    near_kg: Floats | None = None,
    published: MixTimes | None = None,
) -> SettledPacks:
    """The loads that packs, pace, hours and water agree on; none where the file has no gear list: packs as typed.

    Parameters
    ----------
    trip, route, weather
        What is carried where, in which heat.
    itinerary : Itinerary
        The day; its walking times are replaced by those under the loads.
    camp : Camp
        For a night out.
    near_kg : ndarray, shape (members, legs)
        Loads that are near already.
    published : MixTimes
        As for ``set_pace``.

    Notes
    -----
    Where the loop does not settle, the heavier of its last two answers counts, and ``settled`` says so.
    Sources: our_settling.
    """
    if not trip.gear.items:
        return SettledPacks(None, None)
    subject = set_load(trip, route, weather, camp)

    def step(load_kg: Floats) -> Floats:
        loads_kg = loads_of(subject, carry(subject, _day_of(trip, route, itinerary, load_kg, published), load_kg))
        return np.minimum(loads_kg, BEYOND_ALL_KG)

    found = settle(step, _start_kg(subject) if near_kg is None else near_kg, SETTLED_KG, MOST_STEPS)
    if (found.values >= BEYOND_ALL_KG).any():
        found = replace(found, settled=False, words="packs come out heavier than anybody carries: the day is too long")
    load_kg = found.values if found.settled else np.maximum(found.values, step(found.values))
    return SettledPacks(load_kg, found)


def carry_settled(
    trip: Trip, route: Route, weather: DayWeather, itinerary: Itinerary, packs: SettledPacks, camp: Camp | None = None
) -> tuple[LoadSubject, Carried]:
    """Water, food and packs under settled loads, ``itinerary`` being walked under them already.

    With packs as typed the pace stays; what is in them besides water and food follows, and the effort with it.
    """
    subject = set_load(trip, route, weather, camp)
    day = middle_day(itinerary, trip.depart_clock_s)
    if packs.load_kg is not None:
        return subject, carry(subject, day, packs.load_kg)
    found = settle(
        lambda load_kg: loads_of(subject, carry(subject, day, load_kg)), _start_kg(subject), SETTLED_KG, MOST_STEPS
    )
    return subject, carry(subject, day, found.values)


def treating_stops_s(
    trip: Trip, route: Route, weather: DayWeather, itinerary: Itinerary, packs: SettledPacks, camp: Camp | None = None
) -> Floats:
    """How long the party must stand at each passing to treat its water, (passings,) [s]; 0 where none is filled.

    Longer stops make a longer day and that a little more water: not followed round again, it is seconds.
    """
    _, carried = carry_settled(trip, route, weather, itinerary, packs, camp)
    water = carried.water
    standing_s: Floats = water.hands_s / treating_devices(trip) + water.wait_s
    return standing_s


def treating_devices(trip: Trip) -> int:
    """How many can treat water at one time: what the gear list has for it, one where it does not tell."""
    treating = [item for item in trip.gear.items if item.use == "water treatment" and item.who is None]
    return max(1, sum(item.count if item.shared else item.count * trip.party.size for item in treating))


def _day_of(trip: Trip, route: Route, itinerary: Itinerary, load_kg: Floats, published: MixTimes | None) -> MiddleDay:
    walked = replace(itinerary, walking_s=set_pace(trip, route, load_kg, published).time_s)
    return middle_day(walked, trip.depart_clock_s)


def _start_kg(subject: LoadSubject) -> Floats:
    """Where the loop begins: gear alone, or the packs as typed."""
    if subject.gear is None:
        each_kg = np.array(subject.trip.party.packs_kg)
    else:
        each_kg = subject.gear.gear_kg + subject.gear.worn_kg
    return np.repeat(each_kg[:, None], subject.is_line.size, axis=1)
