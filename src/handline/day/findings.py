"""What to act on: every rule looks at the computed day, and what they say is put in order."""

from __future__ import annotations

from collections.abc import Sequence

from handline.day import (
    day_findings,
    footing_findings,
    gear_check,
    line_findings,
    load_findings,
    open_findings,
    permit_findings,
    route_findings,
    weather_findings,
)
from handline.day.computed import Computed
from handline.day.plan import LEVELS, Finding

RULES = (
    *day_findings.RULES,
    *weather_findings.RULES,
    *line_findings.RULES,
    *footing_findings.RULES,
    *load_findings.RULES,
    *gear_check.RULES,
    *route_findings.RULES,
    *permit_findings.RULES,
    *open_findings.RULES,
)


def findings(computed: Computed, more: Sequence[Finding] = ()) -> tuple[Finding, ...]:
    """Every finding and ``more`` of them, the gravest first, in the order of the rules within a level."""
    found = [*(finding for rule in RULES for finding in rule(computed)), *more]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))
