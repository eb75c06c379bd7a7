"""Ways of attaching to a cable: one registry, so that a trip file, the audit and the docs name the same things."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.line.arrest import ABSORBER_EN_958_2017, Absorber
from handline.line.limits import FIGURE_EIGHT_SHARE, GIRTH_HITCH_SHARE, LIMITS

NONE = "none"
RUNNING = "running"
GRIPPING = "gripping"
ABSORBING = "absorbing"
KINDS = (NONE, RUNNING, GRIPPING, ABSORBING)


@dataclass(frozen=True)
class Tether:
    """One way of attaching.

    ``reach_m`` is from the harness to the cable; ``stiffness_N`` is effective EA; ``part_N`` the strength of the
    weakest part as it is usually tied, ``part_words`` which one that is. ``arms`` is how many connectors run on the
    cable: with two, one is always clipped at a changeover. ``changeover_s`` is the time to pass one stop.
    """

    name: str
    title: str
    kind: str
    arms: int
    reach_m: float
    stiffness_N: float
    part_N: float
    part_words: str
    changeover_s: float
    absorber: Absorber | None = None
    source: str = "drop_tests"


# Bite: how far a gripping hitch travels before it bites; slack: what hangs between it and a harness level with it.
# Common practice, no source.
HITCH_SLACK_M = 0.3
HITCH_BITE_M = 0.1


def _tethers(*tethers: Tether) -> Mapping[str, Tether]:
    return MappingProxyType({tether.name: tether for tether in tethers})


_SLING_N = GIRTH_HITCH_SHARE * LIMITS["sling"].force_N
_SLING_WORDS = "HMPE sling girth-hitched to the harness"

TETHERS = _tethers(
    Tether("none", "Nothing attached", NONE, 0, 0.0, 0.0, 0.0, "nothing", 0.0, source="friction_memory"),
    Tether("one sling", "One running connector on a sling", RUNNING, 1, 0.6, 161e3, _SLING_N, _SLING_WORDS, 6.0),
    Tether("two slings", "Two running connectors on slings", RUNNING, 2, 0.6, 161e3, _SLING_N, _SLING_WORDS, 10.0),
    Tether(
        "rope lanyard",
        "Two running connectors on a dynamic-rope lanyard",
        RUNNING,
        2,
        0.8,
        24.1e3,
        FIGURE_EIGHT_SHARE * LIMITS["lanyard"].force_N,
        "lanyard with a figure-eight loop",
        10.0,
    ),
    Tether(
        "friction hitch",
        "One gripping hitch on a short lanyard",
        GRIPPING,
        1,
        0.8,
        30e3,
        LIMITS["cord_6_mm"].force_N,
        "6 mm cord of the hitch",
        25.0,
        source="hitch_on_cable",
    ),
    Tether(
        "absorbing lanyard",
        "Two running connectors on an energy-absorbing lanyard",
        ABSORBING,
        2,
        0.9,
        80e3,
        LIMITS["arm_elastic"].force_N,
        "elastic arm",
        10.0,
        absorber=ABSORBER_EN_958_2017,
        source="en_958_2017",
    ),
)
