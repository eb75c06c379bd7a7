"""The pace in the Plan: what each model says, what makes the party slower, and who is the slowest."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ModelTime:
    """One published pace model's walking time for the whole route, before rests, spread and darkness."""

    key: str
    title: str
    weight: float
    walking_s: float
    outside_m: float
    source: str


@dataclass(frozen=True)
class PaceFactor:
    """One thing that makes the party slower. ``lowest`` and ``highest`` are how many times longer it makes a leg.

    ``added_s`` is what it adds to the whole day in the middle of the days; 0 where it is not ``on``. ``says`` is what
    it stands on; ``trip_key`` is where it is changed or switched off.
    """

    key: str
    title: str
    on: bool
    lowest: float
    highest: float
    added_s: float
    says: str
    source: str
    trip_key: str


@dataclass(frozen=True)
class MemberPace:
    """One member, or some whom no number tells apart.

    ``walking_s`` is the whole day's walking at this pace, factors of the way included, before rests, tiring, spread and
    darkness. ``sigma`` is the spread of its logarithm. ``slowest_share`` is on what share of legs and days the party
    waits for them.
    """

    names: str
    count: int
    body_mass_kg: float
    pack_mass_kg: float
    pace_says: str
    sigma: float
    walking_s: float
    slowest_share: float


@dataclass(frozen=True)
class PacePlan:
    """What the party's pace is made of: ``base_s`` as ``base_says``, then what each factor adds.

    ``day_s`` is the whole day from start to end, stops and waits included: 10th, 50th and 90th percentile.
    """

    base_s: float
    base_says: str
    factors: tuple[PaceFactor, ...]
    members: tuple[MemberPace, ...]
    day_s: tuple[float, float, float]
