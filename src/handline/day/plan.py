"""The Plan: the one result. The command line, the brief and ``--json`` render it and compute nothing themselves.

Clock times are seconds after local midnight of the trip's date; they may be negative or pass 86,400.
Chances and shares lie from 0 to 1. Everything else is SI with its unit in the name.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from handline.day.plan_permits import Permit, PermitChance, PermitDeadline
from handline.quantity import Units

if TYPE_CHECKING:
    from handline.day.plan_chances import ChancePlan
    from handline.day.plan_contacts import ContactsPlan
    from handline.day.plan_crowd import CrowdPlan
    from handline.day.plan_field import PlanField
    from handline.day.plan_line import LinePlan
    from handline.day.plan_load import LoadPlan
    from handline.day.plan_map import MapPlan
    from handline.day.plan_pace import ModelTime, PacePlan
    from handline.day.plan_weather import SkyPlan, WeatherPlan
    from handline.trip.day_model import Paper

Level = Literal["stop", "heed", "note"]
LEVELS: tuple[Level, ...] = ("stop", "heed", "note")
Way = Literal["up", "down"]

# The quantiles every passing time carries, and so the edges of the fan in the day strip.
PROBABILITIES = (0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95)
# Why a passing has no latest time, where that is worth a mark beside it.
NO_TIME = "no time meets the limits"
NOT_FROM_THIS_START = "not from this start"
# The quantiles of everything that is told as a range.
RANGE = (0.10, 0.50, 0.90)


@dataclass(frozen=True)
class Finding:
    """One thing to act on. ``sentence`` stands alone; ``detail`` gives the numbers; ``source`` is in words."""

    level: Level
    key: str
    sentence: str
    detail: str = ""
    source: str = ""


@dataclass(frozen=True)
class Decision:
    """Go or not, and the three things a leader asks next.

    ``level`` is the gravest finding. ``leave_by_clock_s`` is the latest start that meets the limits, None when no
    start does; after a night out both are of the morning, and ``night_at`` is the camp, to which the party sets out at
    ``set_out_clock_s``. ``turn_back_at`` is the foot of the line on the way up, the last place where turning back is
    easy, and ``top_at`` the turning point; their clocks are the latest passing times, None when there is none.
    """

    level: Level
    headline: str
    why: str
    start_clock_s: float
    leave_by_clock_s: float | None
    turn_back_at: str
    turn_back_clock_s: float | None
    top_at: str
    top_clock_s: float | None
    tether_sentence: str
    night_at: str = ""
    set_out_clock_s: float | None = None


@dataclass(frozen=True)
class Passing:
    """One passing of one place. ``arrive_clock_s`` has one value for each of ``PROBABILITIES``.

    ``latest_clock_s`` is the latest time to arrive here from which the limits are still met with the wanted
    chance; None when no time does, or when ``latest_says`` gives another reason. ``latest_error_s`` is one standard
    error of it, by the simulation alone. At the camp of a night out ``sleeps_until_clock_s`` is when the party leaves
    again, and ``leave_by_clock_s`` when it must at the latest. ``latitude_deg`` and ``longitude_deg`` are None where
    typed legs do not tell them.
    """

    name: str
    kind: str
    way: Way
    distance_m: float
    elevation_m: float
    arrive_clock_s: tuple[float, ...]
    stop_s: float
    latest_clock_s: float | None
    latest_says: str = ""
    latest_error_s: float | None = None
    sleeps_until_clock_s: float | None = None
    leave_by_clock_s: float | None = None
    latitude_deg: float | None = None
    longitude_deg: float | None = None


@dataclass(frozen=True)
class LegTime:
    """One leg between two passings: what the ground asks and what it takes."""

    start: str
    end: str
    way: Way
    length_m: float
    up_m: float
    down_m: float
    is_line: bool
    time_s: tuple[float, float, float]  # 10th, 50th and 90th percentile, waits and rests included
    factors: tuple[tuple[str, float], ...]  # key of a PaceFactor and how many times longer it makes this leg
    slowest: str  # whom the party most often waits for here; empty on the line
    slowest_share: float


@dataclass(frozen=True)
class Chance:
    """The chance of keeping one limit. ``error`` is one standard error of the simulation alone."""

    key: str
    sentence: str
    share: float
    error: float
    wanted: float

    @property
    def kept(self) -> bool:
        return self.share >= self.wanted


@dataclass(frozen=True)
class Light:
    """Light on the day. NaN where there is no such event; ``says`` is a sentence for polar days, else empty."""

    civil_dawn_clock_s: float
    sunrise_clock_s: float
    noon_clock_s: float
    sunset_clock_s: float
    civil_dusk_clock_s: float
    moon_share: float
    moonrise_clock_s: float
    moonset_clock_s: float
    says: str
    dark_spans_clock_s: tuple[tuple[float, float], ...]
    dark_walking_s: tuple[float, float, float]  # 10th, 50th and 90th percentile


@dataclass(frozen=True)
class Storm:
    """The chance that a storm has begun between the start and each clock time, on days with ``chance`` of any."""

    chance: float
    typed: bool
    clock_s: tuple[float, ...]
    begun_share: tuple[float, ...]
    source: str


@dataclass(frozen=True)
class RouteSummary:
    """The way as it was understood. The profile arrays run one way, from the start.

    So do the track's: the same way with fewer points, none of it more than ``track_within_m`` off. They are empty for
    typed legs.
    """

    length_m: float
    up_m: float
    down_m: float
    raw_up_m: float
    dead_band_m: float
    lowest_m: float
    highest_m: float
    latitude_deg: float
    longitude_deg: float
    profile_distance_m: tuple[float, ...]
    profile_elevation_m: tuple[float, ...]
    notes: tuple[str, ...]
    track_latitude_deg: tuple[float, ...] = ()
    track_longitude_deg: tuple[float, ...] = ()
    track_elevation_m: tuple[float, ...] = ()
    track_within_m: float = 0.0


@dataclass(frozen=True)
class Assumption:
    """A number the plan rests on that is not in the file, or is a habit: shown so that it can be changed."""

    what: str
    value: str
    source: str
    key: str = ""


@dataclass(frozen=True)
class Provenance:
    """What made this plan. No clock and no machine: the same inputs give the same bytes.

    ``today`` is the day the deadlines of permits are seen from, YYYY-MM-DD: an input too, None where none was given.
    """

    version: str
    seed: int
    days: int
    trip_file: str
    inputs_sha256: str
    today: str | None = None


@dataclass(frozen=True)
class Plan:
    """Everything computed for one trip file.

    ``paper`` is what it is printed on. ``timezone`` is as a leader reads it, ``zone`` its name in the IANA database.
    ``permits_together`` is the chance of every permit that is needed and not held, None where there is none or one is
    not known. ``field`` is what the brief draws the same days with, on the way. ``map`` is None where the
    way has no coordinates.
    """

    name: str
    date: str
    units: Units
    paper: Paper
    timezone: str
    zone: str
    party_size: int
    wanted_chance: float
    decision: Decision
    findings: tuple[Finding, ...]
    chances: tuple[Chance, ...]
    route: RouteSummary
    legs: tuple[LegTime, ...]
    timetable: tuple[Passing, ...]
    turned: ChancePlan
    light: Light
    sky: SkyPlan
    weather: WeatherPlan
    storm: Storm
    line: LinePlan
    crowd: CrowdPlan
    pace: PacePlan
    load: LoadPlan
    models: tuple[ModelTime, ...]
    permits: tuple[Permit, ...]
    permits_together: PermitChance | None
    contacts: ContactsPlan
    field: PlanField
    map: MapPlan | None
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    provenance: Provenance


__all__ = [
    "LEVELS",
    "NOT_FROM_THIS_START",
    "NO_TIME",
    "PROBABILITIES",
    "RANGE",
    "Assumption",
    "Chance",
    "Decision",
    "Finding",
    "LegTime",
    "Level",
    "Light",
    "Passing",
    "Permit",
    "PermitChance",
    "PermitDeadline",
    "Plan",
    "Provenance",
    "RouteSummary",
    "Storm",
    "Units",
    "Way",
]
