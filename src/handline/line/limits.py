"""Limits on the body and on parts, each once, with its source. Nothing here is design authority for equipment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


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
    ForceLimit("comfort", "body", "a force a body bears without harm", 4000.0, "comfort_4_kN"),
    ForceLimit("absorber", "body", "ceiling of an energy absorber", 6000.0, "en_958_2017"),
    ForceLimit("harness_law", "body", "most on a worker in a full-body harness", 8000.0, "cfr_1926_502"),
    ForceLimit("rope_ceiling", "body", "ceiling of a dynamic rope's first drop", 12000.0, "en_892"),
    ForceLimit("sling", "part", "sewn sling, new, straight pull", 22000.0, "en_566"),
    ForceLimit("lanyard", "part", "textile lanyard, new", 22000.0, "en_354"),
    ForceLimit("arm_elastic", "part", "elastic arm of a via-ferrata set, after 50,000 cycles", 12000.0, "en_958_2017"),
    ForceLimit("cord_6_mm", "part", "accessory cord 6 mm, single strand, new", 7200.0, "en_564"),
    ForceLimit("connector_long", "part", "connector, gate closed, along its spine", 20000.0, "en_12275"),
    ForceLimit("connector_across", "part", "connector loaded across, type B", 7000.0, "en_12275"),
    ForceLimit("harness", "part", "sit harness", 15000.0, "en_12277"),
)

# What a girth hitch leaves of an HMPE sling: 0.5 to 0.8; the low end is used.
GIRTH_HITCH_SHARE = 0.5
GIRTH_HITCH_SOURCE = "simon_2020"
# What a figure-eight loop leaves of a rope or lanyard.
FIGURE_EIGHT_SHARE = 0.80
