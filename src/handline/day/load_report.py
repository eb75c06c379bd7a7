"""The load report: the one result of ``handline load``; its page, screen and JSON render it."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.plan import Assumption, Finding, Level
from handline.day.plan_load import LoadPlan
from handline.quantity import Units


@dataclass(frozen=True)
class LoadProvenance:
    """What made this report. No clock and no machine: the same inputs give the same bytes."""

    version: str
    seed: int
    trip_file: str
    inputs_sha256: str


@dataclass(frozen=True)
class LoadReport:
    """What they carry, drink and burn: one push, and a night out beside it where the way has a camp.

    ``night_says`` is empty, or why no night out is shown. ``level`` is the gravest finding's.
    """

    name: str
    date: str
    units: Units
    level: Level
    headline: str
    findings: tuple[Finding, ...]
    push: LoadPlan
    night: LoadPlan | None
    night_says: str
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    provenance: LoadProvenance
