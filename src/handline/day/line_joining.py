"""When the party joins the queue before the line on its middle day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handline.day.load_hours import middle_day
from handline.day.simulation import LineLeg
from handline.day.subjects import Setting


@dataclass(frozen=True)
class Joins:
    """One way over the line, and the clock time of joining its queue [s]; ``passing`` is that at which it stands."""

    way: str
    leg: LineLeg
    clock_s: float
    passing: int


def joins_line(setting: Setting) -> Iterator[Joins]:
    """Every leg on the line in the order of the day."""
    arrive_s = middle_day(setting.itinerary, setting.trip.depart_clock_s).arrive_clock_s
    for j, (leg, line_leg) in enumerate(zip(setting.route.legs, setting.itinerary.line_legs, strict=True)):
        if line_leg is not None:
            ready_s = float(setting.itinerary.ready_clock_s(j, arrive_s[j]))
            yield Joins(setting.route.points[leg.end].way, line_leg, ready_s, leg.start)
