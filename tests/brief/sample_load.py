"""Invented packs, water and food for the tests of the pages: three members, two sure sources, one that may be dry.

Plausible numbers of no real place, made up here, computed by nobody; only the packs add up from gear, food and water.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from handline.day.load_report import LoadProvenance, LoadReport
from handline.day.plan import Assumption, Finding
from handline.day.plan_load import DryStretch, GearShown, LegEffort, LoadPlan, MemberLoad, Settling, WaterStop

HOUR_S = 3600.0
NAN = float("nan")
LANDING, BRIDGE, TRICKLE, CAMP = "Larch Landing", "Quill River bridge", "Upper trickle", "Aldermere Camp"
STEP, FOOT, HEAD, SUMMIT = "Lower Step", "Foot of the cables", "Head of the cables", "Tamsin summit"
UP_M = {LANDING: 0.0, BRIDGE: 3420.0, TRICKLE: 5800.0, CAMP: 6130.0, STEP: 9760.0, FOOT: 10605.0, HEAD: 10680.0,
        SUMMIT: 11120.0}  # fmt: skip
PASSINGS = (*UP_M, *tuple(UP_M)[-2::-1])
TURN = tuple(UP_M).index(SUMMIT)
OVERDRINKING = "Never drink more than you lose: too much water makes people ill and has killed."
# What each drinks on a leg [L], of the member who needs most.
DRUNK_L = (0.7, 0.35, 0.1, 0.9, 0.35, 0.1, 0.15, 0.1, 0.1, 0.15, 0.45, 0.05, 0.2, 0.4)
RESERVE_L = 0.5


def distances_m() -> tuple[float, ...]:
    """Along the way, there and back, every passing twice."""
    turn_m = UP_M[SUMMIT]
    once = [UP_M[name] if i <= TURN else 2.0 * turn_m - UP_M[name] for i, name in enumerate(PASSINGS)]
    return tuple(value for value in once for _ in range(2))


def sample_water(filled: tuple[int, ...]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """In the bottles on coming and on going; ``filled`` are the passings that have sure water, the start first."""
    arrive, leave = [0.0], []
    for i in range(len(PASSINGS)):
        if i in filled:
            after = next((one for one in filled if one > i), len(PASSINGS) - 1)
            leave.append(sum(DRUNK_L[i:after]) + RESERVE_L)
        else:
            leave.append(arrive[i])
        if i < len(DRUNK_L):
            arrive.append(leave[i] - DRUNK_L[i])
    return tuple(arrive), tuple(leave)


def sample_stops(filled: tuple[int, ...], party: int) -> tuple[WaterStop, ...]:
    arrive, leave = sample_water(filled)
    stops = []
    for i, name in enumerate(PASSINGS):
        refill_L = leave[i] - arrive[i]
        treat_L = party * refill_L if i and i in filled else 0.0
        dry = "it may be dry from July on" if name == TRICKLE else ""
        way = "up" if i <= TURN else "down"
        stops.append(WaterStop(name, way, i in filled and i > 0, dry, arrive[i], refill_L, leave[i], treat_L,
                               120.0 * treat_L, 0.0))  # fmt: skip
    return tuple(stops)


def sample_member(names: str, count: int, body_kg: float, gear_kg: float, food_kg: float, thirst: float,
                  filled: tuple[int, ...], night_kg: float) -> MemberLoad:  # fmt: skip
    """A member whose pack adds up: gear, food that goes evenly, water; ``night_kg`` waits at the camp on the day up."""
    arrive, leave = sample_water(filled)
    places, down_camp = len(PASSINGS), len(PASSINGS) - 1 - PASSINGS.index(CAMP)
    pack: list[float] = []
    for i, (coming_L, going_L) in enumerate(zip(arrive, leave, strict=True)):
        food = food_kg * (1.0 - i / (places - 1))
        coming = night_kg if i <= PASSINGS.index(CAMP) or i > down_camp else 0.0
        going = night_kg if i < PASSINGS.index(CAMP) or i >= down_camp else 0.0
        water = leave[0] if i == 0 else coming_L
        pack += [gear_kg + food + thirst * water + coming, gear_kg + food + thirst * going_L + going]
    most_kg = max(pack)
    drunk_L = thirst * sum(DRUNK_L)
    burnt_J = 160e3 * body_kg
    return MemberLoad(
        names=names,
        count=count,
        body_mass_kg=body_kg,
        gear_kg=gear_kg + night_kg,
        worn_kg=1.4,
        food_kg=food_kg,
        water_kg=thirst * leave[0],
        start_kg=pack[0],
        line_kg=pack[2 * PASSINGS.index(FOOT)],
        most_kg=most_kg,
        most_at=PASSINGS[pack.index(most_kg) // 2],
        share=most_kg / body_kg,
        pack_kg=tuple(pack),
        need_L=(0.8 * drunk_L, drunk_L, 1.2 * drunk_L),
        drunk_L=drunk_L,
        missed_L=0.4 if thirst > 0.9 else 0.0,
        loss_share=0.4 / body_kg if thirst > 0.9 else 0.0,
        energy_J=(0.9 * burnt_J, burnt_J, 1.12 * burnt_J),
        need_by_hour=(),
        legs=sample_legs(),
        flags=("capped",) if thirst > 0.9 else (),
    )


def sample_gear(night: bool) -> tuple[GearShown, ...]:
    every = ("Ada", "Bo", "Cyr")
    day = (
        GearShown("shell", 0.45, 1, False, False, False, every),
        GearShown("harness and lanyard", 0.9, 1, False, True, False, every),
        GearShown("first aid", 0.6, 1, True, False, False, ("Bo",)),
        GearShown("pair of spare gloves", 0.11, 2, True, False, False, ("Ada", "Cyr")),
    )
    tent = GearShown("tent", 2.4, 1, True, False, True, ("Ada",))
    return (*day, tent, GearShown("sleeping bag", 0.9, 1, False, False, True, every)) if night else day


def sample_legs() -> tuple[LegEffort, ...]:
    km, legs = distances_m()[::2], []
    for i, (start, end) in enumerate(pairwise(PASSINGS)):
        time_s = (km[i + 1] - km[i]) * (1.5 if i < TURN else 1.0)
        rate = 520.0 if i < TURN else 340.0
        wbgt_C = NAN if i == 0 else 16.0 + 0.5 * i
        burnt = (0.9 * rate * time_s, rate * time_s, 1.12 * rate * time_s)
        legs.append(LegEffort(start, end, (0.9 * rate, rate, 1.12 * rate), burnt, (0.4, 0.5, 0.62), wbgt_C, time_s))
    return tuple(legs)


def sample_stretches(filled: tuple[int, ...]) -> tuple[DryStretch, ...]:
    found = []
    for first, last in pairwise((*filled, len(PASSINGS) - 1)):
        time_s = sum(leg.time_s for leg in sample_legs()[first:last])
        found.append(DryStretch(f"{PASSINGS[first]} to {PASSINGS[last]}", time_s, sum(DRUNK_L[first:last]) + RESERVE_L))
    return tuple(found)


def sample_way(night: bool) -> LoadPlan:
    """One push, or a night out with water also at the camp."""
    bridge, camp = PASSINGS.index(BRIDGE), PASSINGS.index(CAMP)
    last = len(PASSINGS) - 1
    filled = (0, bridge, camp, last - camp, last - bridge) if night else (0, bridge, last - bridge)
    extra = (5.2, 2.8, 3.4) if night else (0.0, 0.0, 0.0)
    people = (("Ada", 1, 82.0, 5.6, 1.3, 1.0), ("Bo", 1, 74.0, 4.9, 1.1, 0.85), ("Cyr", 1, 58.0, 4.4, 0.9, 0.8))
    stretches = sample_stretches(filled)
    return LoadPlan(
        key="night" if night else "push",
        title="A night out at Aldermere Camp" if night else "One push",
        packs_from="from the gear list, shared gear handed out evenly",
        members=tuple(sample_member(*one, filled, kg) for one, kg in zip(people, extra, strict=True)),
        gear=sample_gear(night),
        water=sample_stops(filled, 3),
        longest=max(stretches, key=lambda stretch: stretch.duration_s),
        stretches=stretches,
        legs=sample_legs(),
        passings=PASSINGS,
        distance_m=distances_m(),
        walking_s=(11.4 if night else 10.9) * HOUR_S,
        day_s=(4.6 * HOUR_S, 9.1 * HOUR_S) if night else (13.2 * HOUR_S,),
        reserve_L=RESERVE_L,
        sure=0.9,
        treatment="a pressed or pumped filter",
        treatment_leaves_in="viruses and poisons; frost ruins it",
        overdrinking=OVERDRINKING,
        settling=Settling(True, 5, 0.004, 0.12, "Packs, pace, hours and water agree after 5 rounds, to within 4 g."),
        notes=("Of one leg the heat is not known: the usual half litre an hour is taken there.",),
    )


def sample_load_report() -> LoadReport:
    """Both ways side by side."""
    return LoadReport(
        name="Tamsin Dome in one push",
        date="2027-07-17",
        units="us",
        level="heed",
        headline="The longest way without water takes 5 h 21 min: leave Quill River bridge with 3.7 qt each.",
        findings=(
            Finding("heed", "capped", "Ada may sweat more than anybody should drink.", "0.4 L are missed.", "TB MED"),
            Finding("note", "dry_source", "Upper trickle may be dry and is not counted on."),
        ),
        push=sample_way(night=False),
        night=sample_way(night=True),
        night_says="",
        assumptions=(Assumption("How much is eaten on the way", "70 %", "common practice, no source", "load.eaten"),),
        cautions=(
            "Thirst, heat and illness differ: watch each other, and turn round early.",
            "The directions on the treatment come before this page.",
            "The land manager's rules come first.",
        ),
        provenance=LoadProvenance("0.1.0", 1, "trip.toml", "9f2c" * 16),
    )  # fmt: skip


def push_alone() -> LoadReport:
    """No camp on the way, and packs as typed: six whom no number tells apart."""
    report = sample_load_report()
    alike = replace(report.push.members[0], names="each of the 6", count=6)
    push = replace(report.push, members=(alike,), gear=(), packs_from="as typed: the trip file has no gear list")
    return replace(report, units="si", push=push, night=None, night_says="No waypoint is a camp.")
