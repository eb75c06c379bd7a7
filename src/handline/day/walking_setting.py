"""From [party] and [[route.ground]] of a trip file to walkers on ground: how long each takes on each leg."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from handline.day.ground_parts import between_m
from handline.route.route import Route
from handline.trip.model import Trip
from handline.trip.pace_model import Pace
from handline.trip.party_model import Party
from handline.walking.mix import DEFAULT_MIX, MixTimes
from handline.walking.party_pace import LegGround, PartyTimes, party_times
from handline.walking.surface import surface
from handline.walking.walker import OwnPace, Walker

Floats = NDArray[np.float64]

ANYONE = "anyone"
"""The name of members whom the file does not list."""
THE_PARTY = "the party"
THE_OTHERS = "the others"
TOGETHER = (THE_PARTY, THE_OTHERS)
"""The names of those who share a pace that was recorded together: all, or all but those with a pace of their own."""

_CLIMB_UNIT_M = 100.0


def set_pace(trip: Trip, route: Route, load_kg: Floats | None = None, published: MixTimes | None = None) -> PartyTimes:
    """The walking times of a trip's party on a route; ``load_kg`` as for ``walkers``.

    ``published`` are the times of the models alone, ``PartyTimes.mix``, where they are known for this trip and route.
    """
    party, model = trip.party, trip.route.pace_model
    switched = party.factors
    on = {key for key in ("load", "altitude", "ground", "snow", "group") if getattr(switched, key)}
    return party_times(
        leg_grounds(trip, route),
        walkers(party, load_kg),
        DEFAULT_MIX if model is None else {model: 1.0},
        on=frozenset(on | {"fitness"}),
        size=party.size,
        group_per_person=party.group_per_person,
        published=published,
    )


def walkers(party: Party, load_kg: Floats | None = None) -> tuple[Walker, ...]:
    """Who sets the pace of a party: everybody, in the order of the file.

    A pace recorded by the whole party is that of its slowest already: it counts once, as one walker, for all who have
    no pace and no fitness of their own; on each leg with the load of whoever carries most for their body.
    ``load_kg`` (members, legs) is what each carries leg by leg; left out, packs are as typed.
    """
    packs_kg = party.packs_kg if load_kg is None else tuple(float(row.max()) for row in load_kg)
    members = party.members or (None,) * party.size
    everybody = [
        Walker(
            name=ANYONE if member is None else member.name,
            body_mass_kg=body_kg,
            pack_mass_kg=pack_kg,
            fitness=None if member is None else member.fitness,
            pace=None if member is None else _own(member.pace, party),
            pack_by_leg_kg=None if load_kg is None else tuple(load_kg[i].tolist()),
        )
        for i, (member, body_kg, pack_kg) in enumerate(zip(members, party.light_masses_kg, packs_kg, strict=True))
    ]
    together = _own(party.pace, party)
    if together is None:
        return tuple(everybody)
    known = [walker for walker in everybody if walker.pace is not None or walker.fitness is not None]
    rest = [walker for walker in everybody if walker not in known]
    if not rest:
        return tuple(known)
    most_loaded = _most_loaded(rest)
    return (replace(most_loaded, name=_together_name(rest, known), pace=together), *known)


def _most_loaded(rest: list[Walker]) -> Walker:
    """Who carries most for their body; leg by leg the most of anybody, where loads change on the way."""
    most = max(rest, key=lambda walker: walker.pack_mass_kg / walker.body_mass_kg)
    by_leg = [walker.pack_by_leg_kg for walker in rest if walker.pack_by_leg_kg is not None]
    if not by_leg:
        return most
    share = np.array(by_leg) / np.array([walker.body_mass_kg for walker in rest])[:, None]
    return replace(most, pack_by_leg_kg=tuple((most.body_mass_kg * share.max(axis=0)).tolist()))


def _together_name(rest: list[Walker], known: list[Walker]) -> str:
    """One who is listed is named; several go by a name in common."""
    if len(rest) == 1 and rest[0].name != ANYONE:
        return rest[0].name
    return THE_OTHERS if known else THE_PARTY


def _own(pace: Pace | None, party: Party) -> OwnPace | None:
    if pace is None:
        return None
    return OwnPace(
        model=pace.model,
        time_factor=pace.time_factor,
        climb_s_m=pace.climb_s / _CLIMB_UNIT_M,
        sigma=party.pace_spread if pace.spread is None else pace.spread,
        carried_kg=pace.pack_mass_kg,
        recorded_elevation_m=pace.elevation_m,
    )


def leg_grounds(trip: Trip, route: Route) -> tuple[LegGround, ...]:
    """The legs of a route as ground to walk on. Legs of the fixed line are not walked, and have no segments."""
    parts = [(*between_m(route, part.start, part.end), part) for part in trip.route.ground]
    grounds = []
    for leg in route.legs:
        keep = slice(0, 0) if leg.is_line else slice(None)
        run_m, rise_m = leg.run_m[keep], leg.rise_m[keep]
        middle_m = np.cumsum(run_m) - run_m / 2.0
        at_m = _one_way_m(route, trip.route.out_and_back, route.points[leg.start].distance_m + middle_m)
        factor, snow_m = np.ones(run_m.shape), np.full(run_m.shape, np.nan)
        for low_m, high_m, part in parts:
            there = (at_m >= low_m) & (at_m <= high_m)
            factor[there] = surface(part.surface).time_factor
            snow_m[there] = np.nan if part.snow_m is None else part.snow_m
        grounds.append(
            LegGround(
                run_m=run_m,
                rise_m=rise_m,
                elevation_m=route.points[leg.start].elevation_m + np.cumsum(rise_m) - rise_m / 2.0,
                surface_factor=factor,
                snow_m=snow_m,
                up_m=0.0 if leg.is_line else leg.up_m,
            )
        )
    return tuple(grounds)


def _one_way_m(route: Route, out_and_back: bool, along_m: np.ndarray) -> np.ndarray:
    """From the distance along the whole day to the distance along the way there [m]."""
    return np.minimum(along_m, route.length_m - along_m) if out_and_back else along_m
