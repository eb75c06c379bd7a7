"""From the trip file to ways of attaching: the list, and what the party put together itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from handline import quantity
from handline.day.file_checks import own_tether_problems
from handline.errors import InputError, Problem, TripError
from handline.line.hitches import HITCHES, Hitch
from handline.line.tether_building import Link, build_tether, with_strength
from handline.line.tethers import GRIPPING, NONE, TETHERS, USUAL_ARMS, USUAL_HITCH, USUAL_LINKS, Part, Tether
from handline.trip.line_model import LONGEST_REACH, SHORTEST_REACH, OwnTether, TetherPart
from handline.trip.model import Trip
from handline.trip.problems import written_key


def set_tethers(trip: Trip) -> dict[str, Tether]:
    """All ways of attaching by name: ours, then the file's own in its order, the chosen one with the typed reach.

    An own tether without parts is as usual for its kind but for what is typed.

    Raises
    ------
    TripError
        Names of parts, knots, hitches and backups that nobody knows, and what cannot be put together, all at once.
    """
    own, names = trip.tethers.own, [*TETHERS, *(tether.name for tether in trip.tethers.own)]
    problems = [
        problem.at(key=written_key(place))
        for i, tether in enumerate(own)
        for place, problem in own_tether_problems(_as_typed(tether), ("tethers", "own", i), names)
    ]
    if problems:
        raise TripError([trip.located(problem) for problem in problems])
    built: dict[str, Tether] = {}
    # Those with a backup come last: what runs behind a hitch is there by then.
    for i, tether in sorted(enumerate(own), key=lambda numbered: numbered[1].backup is not None):
        try:
            built[tether.name] = _own(tether, {**TETHERS, **built})
        except InputError as error:
            problems += [problem.at(key=f"tethers.own[{i}]") for problem in error.problems]
    if problems:
        raise TripError([trip.located(problem) for problem in problems])
    known = {**TETHERS, **{tether.name: built[tether.name] for tether in own}}
    name = trip.tethers.chosen
    if trip.tethers.reach_m is not None and known[name].kind != NONE:
        known[name] = replace(known[name], reach_m=trip.tethers.reach_m)
    return known


def _as_typed(own: OwnTether) -> Mapping[str, Any]:
    """An own tether with the names in it, in the shape of the file."""
    parts = [part.model_dump(by_alias=True, exclude_none=True) for part in own.parts]
    return {**own.model_dump(include={"kind", "hitch", "backup"}), "parts": parts}


def _own(own: OwnTether, known: Mapping[str, Tether]) -> Tether:
    backup = None if own.backup is None else known.get(own.backup)
    if own.backup is not None and backup is None:
        raise InputError(
            Problem("this backup has a backup itself", read=own.backup, mend="name a running tether as the backup")
        )
    tether = build_tether(
        own.name,
        own.name,
        own.kind,
        own.arms or USUAL_ARMS[own.kind],
        tuple(_link(part) for part in own.parts) or USUAL_LINKS[own.kind],
        reach_m=own.reach_m,
        stiffness_N=own.stiffness_N,
        hitch=_hitch(own),
        backup=backup,
    )
    shortest_m, longest_m = (quantity.parse(limit, "length") for limit in (SHORTEST_REACH, LONGEST_REACH))
    if not shortest_m <= tether.reach_m <= longest_m:
        raise InputError(
            Problem(
                "the parts of this tether do not make a reach that can be used",
                read=f"{tether.reach_m:.3g} m",
                allowed=f"from {SHORTEST_REACH} to {LONGEST_REACH}",
                mend="correct the length of its parts, or type its reach",
            )
        )
    if own.strength_N is None:
        return tether
    if own.parts:
        return with_strength(tether, own.strength_N)
    return replace(tether, parts=(Part("weakest part as typed", own.strength_N, "typed"),))


def _hitch(own: OwnTether) -> Hitch | None:
    if own.hitch is not None:
        return HITCHES[own.hitch]
    return USUAL_HITCH if own.kind == GRIPPING else None


def _link(part: TetherPart) -> Link:
    return Link(
        part=part.part,
        length_m=part.length_m,
        knot=part.knot,
        diameter_m=part.diameter_m,
        opening_m=part.opening_m,
        strength_N=part.strength_N,
        stiffness_N=part.stiffness_N,
    )
