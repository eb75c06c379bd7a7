"""Packs, water and food of the Plan: what each carries, where it is refilled, and what the day burns.

Masses in kg, water in L, energy in J. Triples are low, centre and high as in ``walking.spread``: the centre is the best
guess, low and high one standard deviation away.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Triple = tuple[float, float, float]


@dataclass(frozen=True)
class GearShown:
    """One line of the gear list and who carries how many of it. ``worn`` is on the body, not in the pack."""

    name: str
    mass_kg: float
    count: int
    shared: bool
    worn: bool
    night: bool
    carriers: tuple[str, ...]


@dataclass(frozen=True)
class LegEffort:
    """What one leg asks of one member: metabolic rate, energy, water an hour, and heat as WBGT if known."""

    start: str
    end: str
    rate_W: Triple
    energy_J: Triple
    need_L_h: Triple
    wbgt_C: float
    time_s: float


@dataclass(frozen=True)
class HourNeed:
    """What one member loses in an hour of the clock, in the heat of that hour; less in an hour only partly walked."""

    clock_s: float
    need_L: Triple


@dataclass(frozen=True)
class MemberLoad:
    """One member, or some whom no number tells apart (then ``count`` of them).

    ``start_kg`` is the pack on setting out and ``line_kg`` at the foot of the line going up; ``most_kg`` the heaviest
    it is, at ``most_at``. ``share`` is the heaviest pack over body mass. ``pack_kg`` has the pack on coming to and on
    going from every passing, two values each, as ``LoadPlan.distance_m``. ``loss_share`` is the water lost and not
    drunk over body mass, at the planned quantile.
    """

    names: str
    count: int
    body_mass_kg: float
    gear_kg: float
    worn_kg: float
    food_kg: float
    water_kg: float
    start_kg: float
    line_kg: float
    most_kg: float
    most_at: str
    share: float
    pack_kg: tuple[float, ...]
    need_L: Triple
    drunk_L: float
    missed_L: float
    loss_share: float
    energy_J: Triple
    need_by_hour: tuple[HourNeed, ...]
    legs: tuple[LegEffort, ...]
    flags: tuple[str, ...]


@dataclass(frozen=True)
class WaterStop:
    """One passing in the water plan; litres are per person, of the member who needs most, and ``treat_L`` the party's.

    ``source`` says whether there is water to count on here; ``dry_says`` why a source is not counted on.
    """

    name: str
    way: Literal["up", "down"]
    source: bool
    dry_says: str
    arrive_L: float
    refill_L: float
    leave_L: float
    treat_L: float
    treat_hands_s: float
    treat_wait_s: float


@dataclass(frozen=True)
class DryStretch:
    """The way between one sure water and the next: its time and what it takes per person, reserve included."""

    words: str
    duration_s: float
    wanted_L: float


@dataclass(frozen=True)
class Settling:
    """How weight, pace, hours and water came to agree: ``words`` says so or says that they did not."""

    settled: bool
    steps: int
    residual_kg: float
    ratio: float
    words: str


@dataclass(frozen=True)
class LoadPlan:
    """One way of carrying: one push, or a night out.

    ``key`` is "push" or "night". ``packs_from`` says whether packs come from the gear list or as typed. ``distance_m``
    has every passing twice. ``legs`` are those of whoever works hardest on each. ``walking_s`` and ``day_s`` are the
    party's middle with these packs, per day of walking. ``carried`` are pieces every member has, by name without their
    weights.
    """

    key: Literal["push", "night"]
    title: str
    packs_from: str
    members: tuple[MemberLoad, ...]
    gear: tuple[GearShown, ...]
    water: tuple[WaterStop, ...]
    longest: DryStretch
    stretches: tuple[DryStretch, ...]
    legs: tuple[LegEffort, ...]
    passings: tuple[str, ...]
    distance_m: tuple[float, ...]
    walking_s: float
    day_s: tuple[float, ...]
    reserve_L: float
    sure: float
    treatment: str
    treatment_leaves_in: str
    overdrinking: str
    settling: Settling
    notes: tuple[str, ...]
    carried: tuple[str, ...] = ()
