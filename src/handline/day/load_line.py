"""The packs that fall with a body on the line, from a gear list: worn gear, food and water in them."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline.route.route import Route
from handline.trip.model import Trip

Floats = NDArray[np.float64]


def line_packs_kg(route: Route, load_kg: Floats) -> Floats:
    """What each carries when the line begins [kg], from the mean loads by leg; shape (members,).

    The mean of the leg up to its foot, where there is one: a little more than at the foot itself, and more than after
    it. Sources: our_line_packs.
    """
    first = next(i for i, leg in enumerate(route.legs) if leg.is_line)
    carried: Floats = load_kg[:, max(first - 1, 0) : first + 1].max(axis=1)
    return carried


def with_packs(trip: Trip, pack_kg: Floats) -> Trip:
    """The trip as if these packs had been typed; whoever the file does not list counts with the heaviest."""
    party = trip.party
    updates: dict[str, Any] = {"pack_mass_kg": float(np.max(pack_kg))}
    if party.members:
        updates["members"] = tuple(
            member.model_copy(update={"pack_mass_kg": float(kg)})
            for member, kg in zip(party.members, pack_kg, strict=True)
        )
    return trip.model_copy(update={"party": party.model_copy(update=updates)})
