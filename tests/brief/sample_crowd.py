"""An invented crowd for the sample Plan: half hours from 06:00 to 18:00 that cost most at noon."""

from __future__ import annotations

from handline.day.plan_crowd import BestHour, CrowdPlan, CrowdWay, JoinCost

HOUR_S = 3600.0


def sample_crowd() -> CrowdPlan:
    """A crowd of 160, of whom a party at 10:40 meets many, and earlier few."""
    return CrowdPlan(
        waits_from="crowd",
        says="From simulated days with 160 people on the line (the places of Line permit), your party among them.",
        source="What others on the line cost a party",
        people=160,
        ways=(
            CrowdWay("up", "Foot of the cables", 10.68 * HOUR_S, 1260.0, 2700.0, _hours(1.0)),
            CrowdWay("down", "Head of the cables", 13.1 * HOUR_S, 600.0, 1500.0, _hours(0.5)),
        ),
        best=BestHour(7.0 * HOUR_S, 8.0 * HOUR_S, (0.0, 120.0), (300.0, 840.0), 1500.0, 2.68 * HOUR_S),
    )


def typed_crowd() -> CrowdPlan:
    """Waits as typed, the same at every hour."""
    return CrowdPlan(
        waits_from="typed",
        says="As typed in the trip file: the same at every hour.",
        source="",
        people=None,
        ways=(
            CrowdWay("up", "Foot of the cables", 10.68 * HOUR_S, 300.0, 1200.0, ()),
            CrowdWay("down", "Head of the cables", 13.1 * HOUR_S, 0.0, 0.0, ()),
        ),
        best=None,
    )


def _hours(factor: float) -> tuple[JoinCost, ...]:
    """Half the days cost a minute for each half hour from the nearer end of the day, nine in ten twice as much."""
    rows = []
    for half in range(12, 36):
        minutes = factor * max(0, 12 - abs(half - 24))
        rows.append(JoinCost(half * 1800.0, (half + 1) * 1800.0, 60.0 * minutes, 120.0 * minutes))
    return tuple(rows)
