"""What coming to the line at the best hour asks of the party, for the Plan: when to leave, and what is then dark.

Clock times as in plan.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handline.day.plan_crowd import BestHour


@dataclass(frozen=True)
class HourToCome(BestHour):
    """The best hour, with what it asks of the start.

    ``leave_clock_s`` is when to leave so as to join at its beginning and at its end, from the camp after a night out.
    ``dark_s`` is how much of the way from there to the foot is then in the dark, for the earlier of the two.
    ``dark_on`` are the ways on which the party may tie on in the dark.
    """

    leave_clock_s: tuple[float, float]
    dark_s: float
    dark_on: tuple[Literal["up", "down"], ...]
