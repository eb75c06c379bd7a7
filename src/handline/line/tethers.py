"""Ways of attaching to a cable: one registry, so that a trip file, the audit and the docs name the same things."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from handline.line.hitches import HITCH_BITE_M, HITCH_SLACK_M, HITCHES
from handline.line.parts import DYNAMIC_ROPE_N, HMPE_N, PA_N
from handline.line.tether import ABSORBING, GRIPPING, KINDS, NONE, RUNNING, Part, Tether
from handline.line.tether_building import Link, build_tether

__all__ = [
    "ABSORBING",
    "DYNAMIC_ROPE_N",
    "GRIPPING",
    "HITCH_BITE_M",
    "HITCH_SLACK_M",
    "HMPE_N",
    "KINDS",
    "NONE",
    "PA_N",
    "RUNNING",
    "TETHERS",
    "USUAL_ARMS",
    "USUAL_HITCH",
    "USUAL_LINKS",
    "Part",
    "Tether",
]

# A connector that comes down on a stop may be pulled across it: class B is what most people clip with.
_SLING = (Link("HMPE sling"), Link("connector B"))
_ROPE = (Link("dynamic-rope lanyard"), Link("connector B"))
_CHAIN = (Link("sewn chain"), Link("connector B"))
# 6 mm cord, whose loop lies round the cable and adds no reach.
_HITCH = (Link("PA cord"), Link("connector B"), Link("PA sling", length_m=0.8))
# The connectors of a set are of class K, made for a fixed cable.
_SET = (Link("elastic arm"), Link("connector K"), Link("absorber EN 958:2017"))

# What is meant by a tether of which only the kind is known, and how many of it are on the cable.
USUAL_LINKS: Mapping[str, tuple[Link, ...]] = MappingProxyType({RUNNING: _SLING, GRIPPING: _HITCH, ABSORBING: _SET})
USUAL_ARMS: Mapping[str, int] = MappingProxyType({RUNNING: 1, GRIPPING: 1, ABSORBING: 2})
USUAL_HITCH = HITCHES["prusik"]

_ONE_SLING = build_tether("one sling", "One running connector on a sling", RUNNING, 1, _SLING)


def _tethers(*tethers: Tether) -> Mapping[str, Tether]:
    return MappingProxyType({tether.name: tether for tether in tethers})


TETHERS = _tethers(
    Tether("none", "Nothing attached", NONE, 0, 0.0, 0.0, (), 0.0, "friction_memory"),
    _ONE_SLING,
    build_tether("two slings", "Two running connectors on slings", RUNNING, 2, _SLING),
    build_tether("rope lanyard", "Two running connectors on a dynamic-rope lanyard", RUNNING, 2, _ROPE),
    build_tether("sewn chain", "Two running connectors on chains of sewn loops", RUNNING, 2, _CHAIN),
    build_tether(
        "friction hitch", "One gripping hitch on a short lanyard", GRIPPING, 1, _HITCH, hitch=USUAL_HITCH
    ),
    build_tether(
        "two friction hitches", "Two gripping hitches on short lanyards", GRIPPING, 2, _HITCH, hitch=USUAL_HITCH
    ),
    build_tether(
        "hitch with backup", "One gripping hitch with a running connector behind it", GRIPPING, 1, _HITCH,
        hitch=USUAL_HITCH, backup=_ONE_SLING,
    ),
    build_tether(
        "autoblock hitch", "An autoblock on a short lanyard, a brake and no stop", GRIPPING, 1, _HITCH,
        hitch=HITCHES["autoblock"],
    ),
    build_tether("absorbing lanyard", "Two running connectors on an energy-absorbing lanyard", ABSORBING, 2, _SET),
)  # fmt: skip
