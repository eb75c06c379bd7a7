"""Limits on the body and on parts, each once, with its source. Nothing here is design authority for equipment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

# EN 564 sets the least strength of accessory cord from 4 to 8 mm by its diameter: 0.2 d^2 kN, d in mm. [en_564]
CORD_N_MM2 = 200.0
CORD_MM = (4.0, 8.0)


def cord_minimum_N(diameter_m: ArrayLike) -> NDArray[np.float64]:
    """Least strength of a new accessory cord, one strand: F = 0.2 d^2 kN with d in mm.

    Parameters are diameters [m]. Returns the same shape [N]; NaN outside 4 to 8 mm, where the standard says nothing
    and no strength is known. Sources: en_564.
    """
    diameter_mm = np.asarray(diameter_m, float) * 1000.0
    # The same diameter typed in another unit may differ in the last digits.
    covered = (diameter_mm >= CORD_MM[0] - 1e-9) & (diameter_mm <= CORD_MM[1] + 1e-9)
    return np.where(covered, CORD_N_MM2 * diameter_mm**2, np.nan)


@dataclass(frozen=True)
class ForceLimit:
    """A force and what it limits. ``of`` is "body" or "part"."""

    key: str
    of: str
    what: str
    force_N: float
    source: str


def _limits(*limits: ForceLimit) -> Mapping[str, ForceLimit]:
    return MappingProxyType({limit.key: limit for limit in limits})


LIMITS = _limits(
    ForceLimit("comfort", "body", "a comfort limit on a body, from memory", 4000.0, "comfort_4_kN"),
    ForceLimit("absorber", "body", "ceiling of an energy absorber", 6000.0, "en_958_2017"),
    ForceLimit("harness_law", "body", "most on a worker in a full-body harness", 8000.0, "cfr_1926_502"),
    ForceLimit("rope_ceiling", "body", "ceiling of a dynamic rope's first drop", 12000.0, "en_892"),
    ForceLimit("sling", "part", "sewn sling, new, straight pull", 22000.0, "en_566"),
    ForceLimit("lanyard", "part", "textile lanyard, new", 22000.0, "en_354"),
    ForceLimit("arm_elastic", "part", "elastic arm of a via-ferrata set, after 50,000 cycles", 12000.0, "en_958_2017"),
    ForceLimit("cord_6_mm", "part", "accessory cord 6 mm, single strand, new", float(cord_minimum_N(0.006)), "en_564"),
    ForceLimit("connector_long", "part", "connector, gate closed, along its spine", 20000.0, "en_12275"),
    ForceLimit("connector_across", "part", "connector loaded across, type B", 7000.0, "en_12275"),
    ForceLimit("harness", "part", "sit harness", 15000.0, "en_12277"),
)
