"""The QuotaReport: people a day against waiting. Screen, page and ``--json`` render it and compute nothing."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.crowd_report import CrowdProvenance
from handline.day.plan import Assumption, Finding, Level
from handline.quantity import Units

Band = tuple[float, float, float]
"""A number with the low and the high end of its 95 % band around it: low, number, high."""


@dataclass(frozen=True)
class QuotaPoint:
    """So many people a day.

    ``over`` is the chance that one of them waits over the limit, at the foot and at the head together; ``on_line_s``
    the 95th percentile of the time on the line, up and down together; ``wait_s`` the mean wait; ``late_share`` the
    share of days on which the last is off the line after midnight.
    """

    people: int
    over: Band
    on_line_s: Band
    wait_s: float
    late_share: float


@dataclass(frozen=True)
class QuotaCurve:
    """One way of coming to the line or of passing on it, for every number of people.

    ``knee`` is where the chance begins to rise steeply, None where it does not; ``knee_range`` the least and the most
    it is in parts of the days. ``within`` is the most people for whom the high end of the chance stays within what is
    accepted, None where no number does.
    """

    key: str
    words: str
    points: tuple[QuotaPoint, ...]
    knee: int | None
    knee_range: tuple[int, int] | None
    within: int | None


@dataclass(frozen=True)
class QuotaReport:
    """People a day against waiting; the first of ``curves`` is as the file has it."""

    name: str
    units: Units
    line_name: str
    length_m: float
    bays: int
    limit_s: float
    accepted: float
    people_now: int
    people_says: str
    comes_says: str
    come_share: float
    level: Level
    headline: str
    why: str
    findings: tuple[Finding, ...]
    curves: tuple[QuotaCurve, ...]
    capacity_per_h: tuple[float, float]
    rules: tuple[str, ...]
    methods: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    provenance: CrowdProvenance
