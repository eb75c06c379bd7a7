"""Unrolling: from places on a line to the points and legs of the day, out and, if wanted, back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from handline.route.elevation import counted_climb_m
from handline.route.place import LINE_KINDS, Place
from handline.route.track import Array

UP = "up"
DOWN = "down"


@dataclass(frozen=True)
class Point:
    """One passing of a place. ``way`` is "up" as far as the turning point (or the highest point), then "down".

    ``distance_m`` is measured along the whole itinerary, out and back.
    """

    name: str
    kind: str
    way: str
    distance_m: float
    elevation_m: float
    latitude_deg: float
    longitude_deg: float


@dataclass(frozen=True, eq=False)
class Leg:
    """The way from one point to the next: its parts (length on the map and rise of each) and their sums.

    ``start`` and ``end`` are indices into the route's points. ``up_m`` and ``down_m`` are counted with the route's dead
    band and add up to the route's. Two places at one spot are joined by a leg without parts. ``is_line`` marks the leg
    between the foot and the head of the fixed line, either way.
    """

    start: int
    end: int
    run_m: Array
    rise_m: Array
    length_m: float
    up_m: float
    down_m: float
    is_line: bool


@dataclass(frozen=True, eq=False)
class Itinerary:
    """The day as one line of nodes, and at which nodes it passes which place.

    ``height_m`` may be measured from anywhere: only its differences count. ``top_node`` is the last node of the way up.
    """

    distance_m: Array
    height_m: Array
    passings: tuple[tuple[int, Place], ...]
    top_node: int


def walked_once(distance_m: Array, height_m: Array, passings: Sequence[tuple[int, Place]]) -> Itinerary:
    """The line walked once, from end to end. The way up ends at its highest node."""
    return Itinerary(distance_m, height_m, tuple(passings), int(np.argmax(height_m)))


def walked_back(distance_m: Array, height_m: Array, passings: Sequence[tuple[int, Place]]) -> Itinerary:
    """The line walked to its end and back: every place but the last occurs twice."""
    last = distance_m.size - 1
    length = distance_m[-1]
    back = [(2 * last - node, place) for node, place in reversed(passings[:-1])]
    return Itinerary(
        distance_m=np.concatenate((distance_m, length + (length - distance_m[-2::-1]))),
        height_m=np.concatenate((height_m, height_m[-2::-1])),
        passings=(*passings, *back),
        top_node=last,
    )


def points_of(itinerary: Itinerary) -> tuple[Point, ...]:
    """One point for each passing."""
    return tuple(
        Point(
            name=place.name,
            kind=place.kind,
            way=UP if node <= itinerary.top_node else DOWN,
            distance_m=float(itinerary.distance_m[node]),
            elevation_m=place.elevation_m,
            latitude_deg=place.latitude_deg,
            longitude_deg=place.longitude_deg,
        )
        for node, place in itinerary.passings
    )


def legs_of(itinerary: Itinerary, dead_band_m: float) -> tuple[Leg, ...]:
    """The legs between the points. Climb is counted over the whole day and shared out, so that legs add up to it."""
    run, rise = np.diff(itinerary.distance_m), np.diff(itinerary.height_m)
    up, down = counted_climb_m(itinerary.height_m, dead_band_m)
    on_line = _on_line([place.kind for _, place in itinerary.passings])
    nodes = [node for node, _ in itinerary.passings]
    return tuple(
        Leg(
            start=i,
            end=i + 1,
            run_m=run[first:last],
            rise_m=rise[first:last],
            length_m=float(itinerary.distance_m[last] - itinerary.distance_m[first]),
            up_m=float(up[last] - up[first]),
            down_m=float(down[last] - down[first]),
            is_line=on_line[i],
        )
        for i, (first, last) in enumerate(pairwise(nodes))
    )


def _on_line(kinds: Sequence[str]) -> list[bool]:
    """Which legs lie on the fixed line: the last end of the line passed and the next one are not the same end."""
    on_line = []
    for i in range(len(kinds) - 1):
        behind = [kind for kind in kinds[: i + 1] if kind in LINE_KINDS][-1:]
        ahead = [kind for kind in kinds[i + 1 :] if kind in LINE_KINDS][:1]
        on_line.append(bool(behind and ahead) and behind != ahead)
    return on_line
