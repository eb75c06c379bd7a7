"""Line reports the tests share: the example's line, whole and asked otherwise. Computed, not made up."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from handline.day.file_checks import subject_problems
from handline.day.line_report import LineReport
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.trip.model import Trip
from handline.trip.reading import read_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
TAMSIN = EXAMPLES / "tamsin-dome" / "trip.toml"


@lru_cache(maxsize=1)
def tamsin_trip() -> Trip:
    return read_trip(TAMSIN, subject_problems)


@lru_cache(maxsize=8)
def tamsin_line(what_if: WhatIf | None = None) -> LineReport:
    return line_report(tamsin_trip(), what_if)
