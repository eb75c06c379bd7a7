"""The CrowdReport: everything that is said about waiting and time on the line, by when one arrives.

Screen, page and ``--json`` render it and compute nothing. Clock times are seconds after local midnight and may pass
86,400; pairs are what half of the passes or days stay under, and nine in ten.
"""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.plan import Assumption, Finding, Level
from handline.quantity import Units

Pair = tuple[float, float]
"""What half stay under, and nine in ten."""


@dataclass(frozen=True)
class HourRow:
    """People who join a queue within a part of the day, one way.

    ``on_line_s`` is from stepping onto the line to stepping off it; ``stuck_s`` is what others cost of it;
    ``above`` the most people above in the fall line. ``passes`` is how many passes these are out of.
    """

    from_clock_s: float
    to_clock_s: float
    passes: int
    wait_s: Pair
    on_line_s: Pair
    stuck_s: Pair
    above: Pair


@dataclass(frozen=True)
class PartyWay:
    """What the crowd does to the party, one way.

    ``join_clock_s`` is when its first joins the queue, on one day in ten before the first and after the last value;
    ``on_line_s`` from its first on the line to its last off it, ``alone_s`` half of that with nobody else there.
    """

    way: str
    join_clock_s: tuple[float, float, float]
    wait_s: Pair
    on_line_s: Pair
    alone_s: Pair
    added_s: Pair


@dataclass(frozen=True)
class Window:
    """From when to when one may join the queue at the foot, and what nine in ten wait and are held at most in it."""

    start_clock_s: float
    end_clock_s: float
    delay_s: float


@dataclass(frozen=True)
class HeatCell:
    """So many people a day, an arrival within a part of the day: from joining the queue to the head of the line.

    Both are NaN where too few came.
    """

    people: int
    from_clock_s: float
    to_clock_s: float
    median_s: float
    long_s: float


@dataclass(frozen=True)
class Occupied:
    """Some bays for a while on one day: how many people are in one of these bays, on average."""

    from_m: float
    to_m: float
    from_clock_s: float
    to_clock_s: float
    up: float
    down: float


@dataclass(frozen=True)
class CrowdProvenance:
    """What made these numbers."""

    version: str
    seed: int
    days: int
    heat_days: int
    trip_file: str
    inputs_sha256: str


@dataclass(frozen=True)
class CrowdReport:
    """Waiting and time on the line.

    ``off_per_h`` is people stepping off the line in the busiest half hour, up and down, mean over the days;
    ``capacity_per_h`` the most that can follow each other each way with nobody coming the other way.
    ``present`` has the clock and the nine-in-ten number of people at the foot, on the line and at the head.
    """

    name: str
    date: str
    units: Units
    line_name: str
    length_m: float
    bays: int
    yields: str
    people: int
    people_says: str
    comes_says: str
    come_share: float
    party_size: int
    level: Level
    headline: str
    why: str
    findings: tuple[Finding, ...]
    up: tuple[HourRow, ...]
    down: tuple[HourRow, ...]
    party: tuple[PartyWay, ...]
    windows: tuple[Window, ...]
    most_delay_s: float
    clears_clock_s: tuple[float, float, float]
    late_share: float
    off_per_h: tuple[float, float]
    capacity_per_h: tuple[float, float]
    present: tuple[tuple[float, float, float, float], ...]
    heat: tuple[HeatCell, ...]
    example: tuple[Occupied, ...]
    rules: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    provenance: CrowdProvenance
