"""A recording laid along the way of the plan: for each recorded point, how far along the day it is.

On an out-and-back every spot occurs twice, so nearness alone does not tell where a party is. The points are matched all
at once and in order: of all ways to walk the plan forward, the one that fits the recording best. It may begin late, end
early, and leap once in a while: where the party turned back before the top, or the recorder was off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.route.geodesy import plane_m, unwrapped
from handline.route.route import Route

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

# Common practice, no source: how recordings of people on foot lie beside a recorded way.
APART_M = 8.0  # points nearer to the last one kept tell nothing new
USUAL_OFF_M = 30.0  # how far a recording usually lies off the way, both recordings' errors together
NEAR_M = 100.0  # farther off than this the party was not on the way
WANDER = 2.0  # the way may be so many times as long as what was recorded between two points
# What a leap costs, in points that lie wholly off the way: about 60 m walked where the plan has no way.
LEAP_POINTS = 8.0
# Between two points the way may go on so much farther than the recording before it counts as a leap.
LEAP_M = 150.0
# A party that moved less than this while it leapt has turned round.
TURN_M = 120.0


@dataclass(frozen=True, eq=False)
class Way:
    """The way of the whole day, out and back, in even steps: distance along it and place on a plane [m]."""

    distance_m: Floats
    east_m: Floats
    north_m: Floats
    centre_deg: tuple[float, float]

    def plane_of(self, latitude_deg: Floats, longitude_deg: Floats) -> tuple[Floats, Floats]:
        """Other places on the plane of the way [m]."""
        return plane_m(latitude_deg, longitude_deg, *self.centre_deg)


@dataclass(frozen=True, eq=False)
class Course:
    """A recording along the way: points that are near it, in the order of time.

    ``distance_m`` never falls. ``leaps`` are the indices of points before which the party left the plan's way: it
    turned back, or the recorder was off.
    """

    time_s: Floats
    distance_m: Floats
    east_m: Floats
    north_m: Floats
    leaps: Whole
    nearest_m: float

    def turned_round(self, i: int) -> bool:
        """Whether the party was still about where it was when it left the plan's way before point i."""
        moved_m = np.hypot(self.east_m[i] - self.east_m[i - 1], self.north_m[i] - self.north_m[i - 1])
        return i in self.leaps and bool(moved_m <= TURN_M)


def whole_way(route: Route, out_and_back: bool) -> Way:
    """The way of a route with positions, walked as its points are."""
    profile = route.profile
    latitude, longitude, along = profile.latitude_deg, unwrapped(profile.longitude_deg), profile.distance_m
    if out_and_back:
        along = np.concatenate((along, 2.0 * along[-1] - along[-2::-1]))
        latitude, longitude = (np.concatenate((values, values[-2::-1])) for values in (latitude, longitude))
    centre = (float(np.mean(latitude)), float(np.mean(longitude)))
    east, north = plane_m(latitude, longitude, *centre)
    return Way(along, east, north, centre)


def match_way(way: Way, time_s: Floats, latitude_deg: Floats, longitude_deg: Floats) -> Course:
    """Lay a recording along the way.

    ::

        cost = sum min(d_i^2, NEAR^2) / (2 USUAL_OFF^2) + leaps * cost of a leap

    is made least over all walks that go forward along the way, by dynamic programming over its even steps. Between two
    points a walk goes on by at most twice what was recorded, or leaps.

    Parameters
    ----------
    way : Way
    time_s, latitude_deg, longitude_deg : (n,) arrays [s], [deg]
        Times rising. Points without a position left out.

    Returns
    -------
    Course
        Of the points at least 8 m apart that lie within 100 m of where they were matched; without points where none
        does.
    """
    east, north = way.plane_of(latitude_deg, longitude_deg)
    kept = _apart(east, north)
    time_s, east, north = time_s[kept], east[kept], north[kept]
    steps = _best_steps(way, east, north)
    distance, off = _beside(way, steps, east, north)
    nearest_m = _nearest_m(way, east, north)
    near = off <= NEAR_M
    time_s, east, north, distance = time_s[near], east[near], north[near], distance[near]
    distance = np.maximum.accumulate(distance) if distance.size else distance
    moved_m = np.hypot(np.diff(east), np.diff(north))
    leaps = np.flatnonzero(np.diff(distance) > WANDER * moved_m + LEAP_M) + 1
    return Course(time_s, distance, east, north, leaps, nearest_m)


def _apart(east_m: Floats, north_m: Floats) -> Whole:
    """Indices of points at least APART_M from the last one kept; the first and the last are among them."""
    kept, here_east, here_north = [0], float(east_m[0]), float(north_m[0])
    for i, (x, y) in enumerate(zip(east_m.tolist(), north_m.tolist(), strict=True)):
        if (x - here_east) ** 2 + (y - here_north) ** 2 >= APART_M**2:
            kept.append(i)
            here_east, here_north = x, y
    if kept[-1] != east_m.size - 1:
        kept.append(east_m.size - 1)
    return np.array(kept, dtype=np.int64)


def _best_steps(way: Way, east_m: Floats, north_m: Floats) -> Whole:
    """The step of the way that each point is matched with: never falling, at the least cost."""
    count, size = east_m.size, way.distance_m.size
    spacing_m = float(way.distance_m[1] - way.distance_m[0])
    moved_m = np.concatenate(([0.0], np.hypot(np.diff(east_m), np.diff(north_m))))
    reach = np.ceil(WANDER * moved_m / spacing_m).astype(np.int64)
    leap_cost = LEAP_POINTS * _cost(np.array(NEAR_M**2))
    came_from = np.zeros((count, size), dtype=np.int32)
    here = np.arange(size)
    best = _cost(_squared_m2(way, float(east_m[0]), float(north_m[0])))
    for i in range(1, count):
        lowest = np.minimum.accumulate(best)
        lowest_at = np.maximum.accumulate(np.where(best <= lowest, here, 0))
        cost, origin = best.copy(), here.copy()
        for forward in range(1, min(int(reach[i]), size - 1) + 1):
            shifted = best[:-forward]
            better = shifted < cost[forward:]
            cost[forward:][better] = shifted[better]
            origin[forward:][better] = here[:-forward][better]
        leapt = lowest + leap_cost < cost
        cost[leapt], origin[leapt] = lowest[leapt] + leap_cost, lowest_at[leapt]
        best = cost + _cost(_squared_m2(way, float(east_m[i]), float(north_m[i])))
        came_from[i] = origin
    steps = np.zeros(count, dtype=np.int64)
    steps[-1] = int(np.argmin(best))
    for i in range(count - 1, 0, -1):
        steps[i - 1] = came_from[i, steps[i]]
    return steps


def _cost(squared_m2: Floats) -> Floats:
    cost: Floats = np.minimum(squared_m2, NEAR_M**2) / (2.0 * USUAL_OFF_M**2)
    return cost


def _squared_m2(way: Way, east_m: float, north_m: float) -> Floats:
    squared: Floats = (way.east_m - east_m) ** 2 + (way.north_m - north_m) ** 2
    return squared


def _beside(way: Way, steps: Whole, east_m: Floats, north_m: Floats) -> tuple[Floats, Floats]:
    """Distance along the way nearest to each point, on the two steps round where it was matched, and how far off."""
    distance, off = np.zeros(steps.size), np.full(steps.size, np.inf)
    for first in (steps - 1, steps):
        start = np.clip(first, 0, way.distance_m.size - 2)
        span_east, span_north = (np.diff(values)[start] for values in (way.east_m, way.north_m))
        from_east, from_north = east_m - way.east_m[start], north_m - way.north_m[start]
        squared = span_east**2 + span_north**2
        toward = from_east * span_east + from_north * span_north
        share = np.clip(np.divide(toward, squared, out=np.zeros_like(toward), where=squared > 0), 0.0, 1.0)
        apart = np.hypot(from_east - share * span_east, from_north - share * span_north)
        nearer = apart < off
        along = way.distance_m[start] + share * np.diff(way.distance_m)[start]
        distance[nearer], off[nearer] = along[nearer], apart[nearer]
    return distance, off


def _nearest_m(way: Way, east_m: Floats, north_m: Floats) -> float:
    """How near the recording comes to the way anywhere, to a step of it [m]."""
    some = slice(None, None, max(1, east_m.size // 400))
    squared = (east_m[some, None] - way.east_m) ** 2 + (north_m[some, None] - way.north_m) ** 2
    return float(np.sqrt(squared.min()))
