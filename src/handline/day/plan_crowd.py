"""What others on the line cost the party, for the Plan: by the half hour in which it joins the queue.

Clock times as in plan.py. A cost is the wait before the line and what others add to the time on it, together [s].
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

WaitsFrom = Literal["typed", "crowd", "guessed"]


@dataclass(frozen=True)
class JoinCost:
    """What others cost who joins the queue in this while: half of such days no more than ``half_s``, nine in ten no
    more than ``long_s``.
    """

    from_clock_s: float
    to_clock_s: float
    half_s: float
    long_s: float


@dataclass(frozen=True)
class CrowdWay:
    """One way over the line: the queue at ``place``, which the party joins at ``join_clock_s`` on its middle day.

    ``half_s`` and ``long_s`` are what others cost it then. ``hours`` are half hours in the order of the clock; none
    where the cost is the same at every hour.
    """

    way: Literal["up", "down"]
    place: str
    join_clock_s: float
    half_s: float
    long_s: float
    hours: tuple[JoinCost, ...]


@dataclass(frozen=True)
class BestHour:
    """The hour of joining at the foot that costs least on both ways together, in the light and in time.

    ``up_s`` and ``down_s`` are what half the days and nine in ten stay under then; ``down_s`` is None where the party
    does not come down the line. ``saves_s`` is the mean it saves against the plan, ``earlier_s`` how much sooner the
    party has to come; below 0 where later.
    """

    from_clock_s: float
    to_clock_s: float
    up_s: tuple[float, float]
    down_s: tuple[float, float] | None
    saves_s: float
    earlier_s: float


@dataclass(frozen=True)
class CrowdPlan:
    """When the line is full and what that costs.

    ``waits_from`` is what the costs stand on and ``says`` the same in a sentence, with its ``source``. ``people`` may
    be on the line in a day; None where nothing says so, or it does not count. ``best`` is None where every hour is
    alike, or none is both in the light and in time.
    """

    waits_from: WaitsFrom
    says: str
    source: str
    people: int | None
    ways: tuple[CrowdWay, ...]
    best: BestHour | None
