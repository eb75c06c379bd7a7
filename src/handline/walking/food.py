"""Food by the energy it has to bring."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.quantity import KCAL_J
from handline.walking.spread import Spread

_G_PER_KG = 1000.0
FOOD_KCAL_G = (3.0, 4.0, 5.0)
"""Energy of what people pack: much bread and fruit, a usual mixture, much nuts and chocolate. [practice_food]"""


@dataclass(frozen=True, eq=False)
class Food:
    """What to pack [kg]."""

    mass_kg: Spread


def food_for(energy_J: Spread, *, replaced_share: npt.ArrayLike = 1.0) -> Food:
    """The food that brings back what is burnt.

    m = share E / density, 4 kcal/g; the least energy with the densest food is low, the most with the lightest high

    Parameters
    ----------
    energy_J : Spread
        What is burnt [J].
    replaced_share : array_like, broadcast with it
        How much of it is eaten on the way [1]; the rest comes from the body and from meals at home.

    Returns
    -------
    Food
        [kg], the broadcast shape.

    Raises
    ------
    ValueError
        An energy below 0, or a share that is missing or below 0.

    Validity: packed food, without its water or wrapping. Sources: practice_food.
    """
    share = np.asarray(replaced_share, float)
    if not bool(np.all(np.isfinite(share) & (share >= 0.0))):
        raise ValueError("replaced_share must be finite and 0 or more")
    if bool(np.any(energy_J.low < 0.0)):
        raise ValueError("energy_J must be 0 or more")
    poor, usual, rich = (kcal_g * KCAL_J * _G_PER_KG for kcal_g in FOOD_KCAL_G)
    return Food(Spread(share * energy_J.low / rich, share * energy_J.centre / usual, share * energy_J.high / poor))
