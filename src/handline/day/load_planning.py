"""Packs, water and food for the Plan: one push, and where the way has a camp a night out beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from handline.day.load_setting import Carried, LoadSubject, SettledPacks, carry_settled, settled_packs, treating_devices
from handline.day.load_subject import DROP_L, Floats
from handline.day.load_words import notes, person_words, settling_of
from handline.day.night_setting import camp_of, night_at
from handline.day.plan_load import DryStretch, GearShown, HourNeed, LegEffort, LoadPlan, MemberLoad, Triple, WaterStop
from handline.day.subjects import Setting
from handline.day.walking_setting import set_pace
from handline.walking.drinking import loss_of_body, overdrinking
from handline.walking.packs import MARKS, Packs
from handline.walking.spread import Spread
from handline.walking.treatment import treatment
from handline.walking.water_plan import WaterPlan


def plan_load(setting: Setting) -> LoadPlan:
    """The trip as it is planned: the loads are those the pace was made with."""
    subject, carried = carry_settled(
        setting.trip, setting.route, setting.weather, setting.itinerary, setting.packs, setting.camp
    )
    return _plan(setting, subject, carried, setting.packs)


def plan_night(setting: Setting) -> tuple[LoadPlan | None, str]:
    """A night out in place of one push, or why there is none to show.

    On the day before to the camp with all of it; night gear stays there until the way back. Food is for both days and
    the night.
    """
    trip, route = setting.trip, setting.route
    camp, says = camp_of(trip, route)
    if camp is None:
        return None, says
    if not any(item.night for item in trip.gear.items):
        return None, (
            "No piece of gear is for the night: type [[gear.items]] with night = true. Its weight is not invented here."
        )
    trip = trip.model_copy(update={"night": trip.night.model_copy(update={"out": True})})
    sleeping = replace(setting.itinerary, night=night_at(trip, camp))
    packs = settled_packs(trip, route, setting.weather, sleeping, camp)
    if packs.load_kg is None:
        raise TypeError("a night out needs a gear list")
    itinerary = replace(sleeping, walking_s=set_pace(trip, route, packs.load_kg).time_s)
    subject, carried = carry_settled(trip, route, setting.weather, itinerary, packs, camp)
    return _plan(replace(setting, trip=trip), subject, carried, packs), ""


def _plan(setting: Setting, subject: LoadSubject, carried: Carried, packs: SettledPacks) -> LoadPlan:
    trip, water = setting.trip, carried.water
    needy = int(np.argmax(water.drunk_L.sum(axis=1) + water.missed_L.sum(axis=1)))
    stretches = tuple(DryStretch(one.words, one.duration_s, float(one.wanted_L.max())) for one in water.stretches)
    ways = [treatment(key) for key in _treatments(trip.load.treatment, water)]
    walked = ~subject.is_line.astype(bool)
    camp = subject.camp
    return LoadPlan(
        key="push" if camp is None else "night",
        title="One push" if camp is None else f"A night out at {setting.route.points[camp.stays].name}",
        packs_from="as typed: the trip file has no gear list"
        if subject.gear is None
        else f"from the gear list, shared gear handed out {_SPLIT_WORDS[trip.gear.split]}",
        members=tuple(_members(setting, subject, carried)),
        gear=tuple(_gear_shown(setting, subject)),
        water=tuple(_stop(setting, subject, carried, needy, i) for i in range(len(water.stations))),
        longest=max(stretches, key=lambda stretch: stretch.duration_s),
        stretches=stretches,
        legs=tuple(_legs(setting, carried)),
        passings=tuple(station.name for station in water.stations),
        distance_m=_floats(carried.curve.distance_m),
        walking_s=float(carried.day.moving_s[walked].sum()),
        day_s=carried.day.each_day_s,
        reserve_L=trip.load.reserve_L,
        sure=trip.load.sure,
        treatment="; ".join(way.words for way in ways),
        treatment_leaves_in="; ".join(dict.fromkeys(way.leaves_in for way in ways)),
        overdrinking=overdrinking(trip.about.units),
        settling=settling_of(packs.settled),
        notes=tuple(notes(setting, subject, carried)),
        carried=trip.gear.carried,
    )


_SPLIT_WORDS = {"even": "evenly", "by body mass": "by body mass"}


def _treatments(usual: str, water: WaterPlan) -> tuple[str, ...]:
    """The ways of treating that are used, or the usual one where none is."""
    used = [
        station.treatment or usual
        for station, treated_L in zip(water.stations, water.treat_L.sum(axis=0), strict=True)
        if treated_L > DROP_L
    ]
    return tuple(dict.fromkeys(used)) or (usual,)


# --- members -------------------------------------------------------------------------------------------------------


def _members(setting: Setting, subject: LoadSubject, carried: Carried) -> Iterator[MemberLoad]:
    """Everybody, those together whom no number tells apart."""
    light_kg = np.array(setting.trip.party.light_masses_kg)
    groups: dict[bytes, list[int]] = {}
    for i in range(len(subject.people)):
        told = np.concatenate([carried.pack_kg[i], carried.need_L.centre[i], [subject.body_mass_kg[i], light_kg[i]]])
        groups.setdefault(told.tobytes(), []).append(i)
    for group in groups.values():
        yield _member(setting, subject, carried, group, float(light_kg[group[0]]))


def _member(setting: Setting, subject: LoadSubject, carried: Carried, group: list[int], light_kg: float) -> MemberLoad:
    i, water = group[0], carried.water
    pack_kg = carried.pack_kg[i]
    foot = next(leg.start for leg in setting.route.legs if leg.is_line)
    heaviest = int(np.argmax(pack_kg))
    drunk_L, missed_L = float(water.drunk_L[i].sum()), float(water.missed_L[i].sum())
    share = float(pack_kg[heaviest]) / light_kg
    return MemberLoad(
        names=person_words([subject.people[k].name for k in group], setting.trip.party),
        count=len(group),
        body_mass_kg=light_kg,
        gear_kg=float(carried.gear_kg[i]),
        worn_kg=float(_worn_kg(subject)[i]),
        food_kg=float(carried.food_kg[i]),
        water_kg=float(water.start_L[i]),
        start_kg=float(pack_kg[1]),
        line_kg=float(pack_kg[2 * foot + 1]),
        most_kg=float(pack_kg[heaviest]),
        most_at=water.stations[heaviest // 2].name,
        share=share,
        pack_kg=_floats(pack_kg),
        need_L=_of(carried.need_L.along_last(), i),
        drunk_L=drunk_L,
        missed_L=missed_L,
        loss_share=float(loss_of_body(missed_L, light_kg).share),
        energy_J=_of(carried.burnt.day_J, i),
        need_by_hour=_need_by_hour(carried, i),
        legs=tuple(_leg(setting, carried, i, j) for j in range(len(setting.route.legs))),
        flags=_flags(carried, i, share, missed_L, light_kg, float(_worn_kg(subject)[i])),
    )


def _worn_kg(subject: LoadSubject) -> Floats:
    night_kg = 0.0 if subject.night_gear is None else subject.night_gear.worn_kg
    worn: Floats = subject.worn_kg + night_kg
    return worn


def _flags(carried: Carried, i: int, share: float, missed_L: float, body_kg: float, worn_kg: float) -> tuple[str, ...]:
    """Keys of ``CARRIED_FLAGS`` for one member."""
    raised = {
        "pack_over_first_mark": MARKS[0] < share <= MARKS[1],
        "pack_over_second_mark": share > MARKS[1],
        "load_over_body_mass": share * body_kg + worn_kg > body_kg,
        "loss_over_limit": bool(loss_of_body(missed_L, body_kg).over),
    }
    of_water = [found.flag for found in carried.water.findings if found.walker == i]
    flags = [flag for flag, up in raised.items() if up]
    return tuple(dict.fromkeys([*flags, *of_water, *carried.curve.flags]))


def _gear_shown(setting: Setting, subject: LoadSubject) -> Iterator[GearShown]:
    everybody = tuple(member.name for member in subject.people)
    for item in setting.trip.gear.items:
        packs = subject.night_gear if item.night else subject.gear
        if packs is None:
            continue
        yield GearShown(
            name=item.name,
            mass_kg=item.mass_kg,
            count=item.count,
            shared=item.shared,
            worn=item.worn,
            night=item.night,
            carriers=_carriers(packs, item.name) if item.shared else everybody if item.who is None else (item.who,),
        )


def _carriers(packs: Packs, name: str) -> tuple[str, ...]:
    found = []
    for member, pieces in zip(packs.members, packs.pieces, strict=True):
        if times := pieces.count(name):
            found.append(member.name if times == 1 else f"{member.name} ({times})")
    return tuple(found)


# --- water and effort ----------------------------------------------------------------------------------------------


def _stop(setting: Setting, subject: LoadSubject, carried: Carried, needy: int, i: int) -> WaterStop:
    water, point = carried.water, setting.route.points[i]
    return WaterStop(
        name=point.name,
        way="up" if point.way == "up" else "down",
        source=water.stations[i].is_reliable,
        dry_says=subject.sources[i].dry_says,
        arrive_L=float(water.arrive_L[needy, i]),
        refill_L=float(water.refill_L[needy, i]),
        leave_L=float(water.leave_L[needy, i]),
        treat_L=float(water.treat_L[:, i].sum()),
        treat_hands_s=float(water.hands_s[i]) / treating_devices(setting.trip),
        treat_wait_s=float(water.wait_s[i]),
    )


def _legs(setting: Setting, carried: Carried) -> Iterator[LegEffort]:
    """Each leg for whoever works hardest on it."""
    for j in range(len(setting.route.legs)):
        rate_W = carried.burnt.rate_W.centre[:, j]
        yield _leg(setting, carried, 0 if np.isnan(rate_W).all() else int(np.nanargmax(rate_W)), j)


def _leg(setting: Setting, carried: Carried, member: int, j: int) -> LegEffort:
    leg, points = setting.route.legs[j], setting.route.points
    return LegEffort(
        start=points[leg.start].name,
        end=points[leg.end].name,
        rate_W=_of(carried.burnt.rate_W, member, j),
        energy_J=_of(carried.burnt.energy_J, member, j),
        need_L_h=_mean(carried.need_L_h, member, j),
        wbgt_C=float(carried.wbgt_C[j]),
        time_s=float(carried.day.duration_s[j]),
    )


def _mean(parts: Spread, member: int, j: int) -> Triple:
    """The mean over the parts of a leg."""
    low, middle, high = (float(values[member, j].mean()) for values in (parts.low, parts.centre, parts.high))
    return low, middle, high


def _need_by_hour(carried: Carried, member: int) -> tuple[HourNeed, ...]:
    """What a member loses in each hour of the clock, from the first step to the last."""
    day, parts = carried.day, carried.need_L_h
    hour = np.floor(day.part_clock_s(parts.centre.shape[-1]) / 3600.0).astype(int)
    lasts_h = np.repeat(day.duration_s[:, None] / 3600.0 / parts.centre.shape[-1], parts.centre.shape[-1], axis=1)
    first = int(hour.min())
    by_hour = [
        np.bincount((hour - first).ravel(), weights=(values[member] * lasts_h).ravel())
        for values in (parts.low, parts.centre, parts.high)
    ]
    return tuple(
        HourNeed(3600.0 * (first + i), (float(low), float(middle), float(high)))
        for i, (low, middle, high) in enumerate(zip(*by_hour, strict=True))
        if high > 0.0
    )


def _of(spread: Spread, *place: int) -> Triple:
    return float(spread.low[place]), float(spread.centre[place]), float(spread.high[place])


def _floats(values: Sequence[float] | Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
