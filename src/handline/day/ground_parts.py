"""The parts of the way that the file says the ground of: where they lie, and what is wrong with them."""

from __future__ import annotations

from handline.errors import Problem
from handline.route.route import Route
from handline.trip.model import Trip


def ground_problems(trip: Trip, route: Route) -> list[Problem]:
    """Parts of the ground that begin and end at one spot of the way."""
    return [
        Problem(
            "this part of the ground has no length",
            read=f"{part.start} to {part.end}",
            allowed="two places apart on the way",
            key=f"route.ground[{i}].to",
        )
        for i, part in enumerate(trip.route.ground)
        if len(set(between_m(route, part.start, part.end))) == 1
    ]


def between_m(route: Route, start: str, end: str) -> tuple[float, float]:
    """Where two places lie along the way, the nearer first [m]."""
    at_m = {place.name: place.at_m for place in reversed(route.places)}
    low_m, high_m = sorted((at_m[start], at_m[end]))
    return low_m, high_m
