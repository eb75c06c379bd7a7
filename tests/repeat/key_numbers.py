"""The key numbers of a plan, each with how far it may be off under another version of numpy or numba.

What nothing random is in may differ in the last digits: a millionth. What comes of simulated days may differ by four
standard errors of the simulation, for a version of numpy may draw other days from the same seed (NEP 19).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from handline.day.file_checks import subject_problems
from handline.day.plan import PROBABILITIES, Passing, Plan
from handline.day.planning import make_plan
from handline.trip.reading import read_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
TRIPS = ("tamsin-dome", "petrel-slab")
TABLE = "plan_fingerprint"

_EXACT = 1e-6
_ERRORS = 4.0
_LATEST_STEP_S = 60.0  # latest times are searched to the minute
_MIDDLE, _LOW, _HIGH = (PROBABILITIES.index(share) for share in (0.50, 0.10, 0.90))
# A normal's tenth to ninetieth percentile in standard deviations, and a median's error over a mean's.
_BAND_SIGMAS, _MEDIAN_ERROR = 2.5631, math.sqrt(math.pi / 2.0)


@dataclass(frozen=True)
class KeyNumber:
    """One number of a plan, and by how much another run may differ."""

    name: str
    value: float
    unit: str
    tolerance: float


def plan_of(name: str) -> Plan:
    """The plan of an example trip."""
    return make_plan(read_trip(EXAMPLES / name / "trip.toml", subject_problems))


def key_numbers(plan: Plan) -> Iterator[KeyNumber]:
    """Chances, clock times, forces, packs and light of a plan."""
    for chance in plan.chances:
        yield KeyNumber(f"chance {chance.key}", chance.share, "-", _ERRORS * chance.error)
    for row in plan.timetable:
        if row.kind in ("line_foot", "line_head", "summit") and row.way == "up":
            yield from _passing(plan, row)
    yield from _passing(plan, plan.timetable[-1])
    yield _triple(plan, "passage up", plan.line.passage_up_s)
    yield _exact("light from", plan.light.civil_dawn_clock_s, "s")
    yield _exact("way", plan.route.length_m, "m")
    yield _exact("climb", plan.route.up_m, "m")
    yield _exact("storm", plan.storm.chance, "-")
    yield _exact("steepest pull", max(bay.pull_N[0] for bay in plan.line.bays), "N")
    # Packs are settled against hours, to this much.
    yield KeyNumber("heaviest pack", max(member.most_kg for member in plan.load.members), "kg", 0.01)
    for tether in plan.line.tethers:
        first = tether.outcomes[0]
        if tether.chosen or tether.name in ("one sling", "rope lanyard"):
            yield _exact(f"{tether.name}, worst force", first.force_N[1], "N")
            yield _exact(f"{tether.name}, longest slide", first.slide_m[1], "m")


def _passing(plan: Plan, row: Passing) -> Iterator[KeyNumber]:
    where = f"{row.name}, {row.way}"
    arrive_s = row.arrive_clock_s
    sigma_s = (arrive_s[_HIGH] - arrive_s[_LOW]) / _BAND_SIGMAS
    yield KeyNumber(f"{where}: half by", arrive_s[_MIDDLE], "s", _median(plan, sigma_s))
    if row.latest_clock_s is not None:
        error_s = row.latest_error_s or 0.0
        yield KeyNumber(f"{where}: latest", row.latest_clock_s, "s", _LATEST_STEP_S + _ERRORS * error_s)


def _triple(plan: Plan, name: str, values: tuple[float, float, float]) -> KeyNumber:
    low, middle, high = values
    return KeyNumber(name, middle, "s", _median(plan, (high - low) / _BAND_SIGMAS))


def _median(plan: Plan, sigma: float) -> float:
    return _ERRORS * _MEDIAN_ERROR * sigma / math.sqrt(plan.provenance.days)


def _exact(name: str, value: float, unit: str) -> KeyNumber:
    return KeyNumber(name, value, unit, _EXACT * max(abs(value), 1.0))
