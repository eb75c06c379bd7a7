"""Who carries, over which ground and past which water: what of packs and water does not change from step to step."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from handline.season.rules import parse_period
from handline.trip.model import Trip
from handline.walking.effort_registry import ENERGY_TERRAIN_N
from handline.walking.pace import walking_time
from handline.walking.packs import GearItem, Member, Packs, pack
from handline.walking.snow import snow_n
from handline.walking.water_plan import Station

if TYPE_CHECKING:
    from handline.route.route import Route
    from handline.route.unrolling import Leg

Floats = NDArray[np.float64]

GROUND_N = {
    "good path": ENERGY_TERRAIN_N["hard path"],
    "meadow": ENERGY_TERRAIN_N["dirt or grass"],
    "open ground": ENERGY_TERRAIN_N["light brush"],
    "stony trail": ENERGY_TERRAIN_N["light brush"],
    "bog": ENERGY_TERRAIN_N["bog"],
    "bare rock": ENERGY_TERRAIN_N["hard path"],
    "stream": ENERGY_TERRAIN_N["bog"],
}
"""Kind of ground -> energy coefficient of the ground nearest to it that was measured [1]. [our_ground_effort]"""


SHARES_BY = "tobler_1993"
"""The pace model that says how the time of a leg is shared out among its pieces. [our_middle_day]"""
DROP_L = 1e-6
"""Less than a drop is no water: litres added up in another order differ in their last digits."""
_PARTS = ("run_m", "rise_m")


@dataclass(frozen=True, eq=False)
class WalkedGround:
    """The legs as pieces of ground, all of shape (legs, most pieces); short legs are filled up with nothing.

    ``length_m`` along the slope, 0 on the line; ``share`` of the leg's walking time that each piece takes.
    """

    length_m: Floats
    grade: Floats
    share: Floats
    terrain_n: Floats

    def speed_m_s(self, light_s: Floats) -> Floats:
        """The speed on each piece, from the walking time of each leg (legs,)."""
        time_s = self.share * light_s[:, None]
        return np.divide(self.length_m, time_s, out=np.ones_like(time_s), where=(time_s > 0.0) & (self.length_m > 0.0))

    @property
    def mean_grade(self) -> Floats:
        """Of each leg, its pieces weighed by their length, (legs,); NaN where nothing is walked."""
        length_m = self.length_m.sum(axis=1)
        rise_m = (self.length_m * self.grade).sum(axis=1)
        return np.divide(rise_m, length_m, out=np.full_like(length_m, np.nan), where=length_m > 0.0)


@dataclass(frozen=True, eq=False)
class Source:
    """Water on the way at one passing: the station, and why it is not counted on, else empty."""

    station: Station
    dry_says: str


def people_of(trip: Trip) -> tuple[Member, ...]:
    """Everybody with a name of their own, as heavy as for a slip: the heavier needs and burns more."""
    party = trip.party
    names = [member.name for member in party.members] or [f"person {i}" for i in range(1, party.size + 1)]
    return tuple(Member(name, body_kg) for name, body_kg in zip(names, party.masses_kg, strict=True))


def gear_of(trip: Trip, *, night: bool) -> Packs | None:
    """The gear of the day, or that of the night alone, shared out; None where the file has no list with weights."""
    if not trip.gear.items:
        return None
    items = [
        GearItem(item.name, item.mass_kg, item.count, item.shared, item.worn, item.who)
        for item in trip.gear.items
        if item.night == night
    ]
    return pack(people_of(trip), items, split=trip.gear.split)


def sources_of(trip: Trip, route: Route, camp: int | None = None) -> tuple[Source, ...]:
    """The passings as stations of the water plan; up to ``camp``, the passing of a night out, it is the day before."""
    waypoints = {waypoint.name: waypoint for waypoint in trip.waypoints}
    found = []
    for i, point in enumerate(route.points):
        waypoint = waypoints.get(point.name)
        is_water = waypoint is not None and waypoint.kind == "water"
        date = trip.about.date - dt.timedelta(days=int(camp is not None and i <= camp))
        dry = [] if waypoint is None or not is_water else [text for text in waypoint.dry if _is_dry(text, date)]
        station = Station(
            name=point.name,
            is_water=is_water,
            may_be_dry=bool(dry),
            used_here_L=trip.night.water_L if i == camp else 0.0,
            treatment=None if waypoint is None else waypoint.treatment,
        )
        found.append(Source(station, f"it may be dry from {'; '.join(dry)}" if dry else ""))
    return tuple(found)


def _is_dry(text: str, date: dt.date) -> bool:
    return parse_period(text).contains(date)


def walked_ground(trip: Trip, route: Route) -> WalkedGround:
    """The ground of a route with the energy it takes; within a leg time is shared out as one pace model does it."""
    sizes = [leg.run_m.size for leg in route.legs]
    most, ends = max(sizes), np.cumsum(sizes)
    every_run_m, every_rise_m = (np.concatenate([getattr(leg, part) for leg in route.legs]) for part in _PARTS)
    every_s = walking_time(SHARES_BY, every_run_m, every_rise_m).segment_s
    if every_s is None:
        raise TypeError(f"{SHARES_BY} must know segments")
    length_m, grade, share = (np.zeros((len(route.legs), most)) for _ in range(3))
    terrain_n = np.ones_like(length_m)
    for i, leg in enumerate(route.legs):
        if leg.is_line or leg.run_m.size == 0:
            continue
        here = slice(0, leg.run_m.size)
        segment_s = every_s[ends[i] - sizes[i] : ends[i]]
        walked = segment_s > 0.0
        length_m[i, here] = np.where(walked, np.hypot(leg.run_m, leg.rise_m), 0.0)
        grade[i, here] = np.divide(leg.rise_m, leg.run_m, out=np.zeros_like(leg.run_m), where=leg.run_m > 0.0)
        share[i, here] = segment_s / segment_s.sum() if segment_s.sum() > 0.0 else 0.0
        terrain_n[i, here] = _terrain_n(trip, route, leg)
    return WalkedGround(length_m, grade, share, terrain_n)


def _terrain_n(trip: Trip, route: Route, leg: Leg) -> Floats:
    """Snow and ground: the harder of the two, as with pace."""
    at_m = {place.name: place.at_m for place in reversed(route.places)}
    along_m = route.points[leg.start].distance_m + np.cumsum(leg.run_m) - leg.run_m / 2.0
    if trip.route.out_and_back:
        along_m = np.minimum(along_m, route.length_m - along_m)
    found = np.ones(leg.run_m.shape)
    for part in trip.route.ground:
        low_m, high_m = sorted((at_m[part.start], at_m[part.end]))
        there = (along_m >= low_m) & (along_m <= high_m)
        deep_n = 1.0 if part.snow_m is None else float(snow_n(part.snow_m))
        found[there] = max(GROUND_N[part.surface], deep_n)
    return found
