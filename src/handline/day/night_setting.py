"""A night out on the way to the line: where the party sleeps, and when it leaves again."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.simulation import Night
from handline.errors import Problem
from handline.route.route import Route
from handline.trip.model import Trip


@dataclass(frozen=True)
class Camp:
    """A night out: the passing at which the party stays, and the one at which it picks up what it left, if any."""

    stays: int
    back: int | None


def camp_of(trip: Trip, route: Route) -> tuple[Camp | None, str]:
    """The camp of a night out: as typed, else the first waypoint of that kind. None, and why, where there is none."""
    points = route.points
    name = trip.night.camp or next((waypoint.name for waypoint in trip.waypoints if waypoint.kind == "camp"), None)
    if name is None:
        return None, 'No waypoint is a camp: give one kind = "camp", or name it as night.camp.'
    foot = next(leg.start for leg in route.legs if leg.is_line)
    stays = next((i for i, point in enumerate(points) if point.name == name and 0 < i <= foot), None)
    if stays is None:
        return None, f"{name} is not on the way to the line, so no night out there is shown."
    return Camp(stays, next((i for i in range(foot + 1, len(points)) if points[i].name == name), None)), ""


def camp_slept_at(trip: Trip, route: Route, problems: list[Problem]) -> Camp | None:
    """The camp of a trip that sleeps out; None for one push. Adds to ``problems`` where there is none to sleep at."""
    if not trip.night.out:
        return None
    camp, says = camp_of(trip, route)
    if camp is None:
        problems.append(
            Problem(
                f"the party sleeps out, and there is no camp: {says}",
                mend='name a waypoint on the way to the line as camp in [night], or give one kind = "camp"',
                key="night.camp" if trip.night.camp else "night.out",
            )
        )
    return camp


def in_one_push(trip: Trip) -> Trip:
    """The same trip with no night out."""
    return trip.model_copy(update={"night": trip.night.model_copy(update={"out": False})})


def night_at(trip: Trip, camp: Camp) -> Night:
    """The night as numbers on the clock of the date."""
    return Night(camp.stays, trip.night.start_clock_s)
