"""Ways of attaching to a cable: one registry, so that a trip file, the audit and the docs name the same things."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.line.arrest import ABSORBER_EN_958_2017, Absorber
from handline.line.limits import FIGURE_EIGHT_SHARE, GIRTH_HITCH_SHARE, GIRTH_HITCH_SOURCE, LIMITS

NONE = "none"
RUNNING = "running"
GRIPPING = "gripping"
ABSORBING = "absorbing"
KINDS = (NONE, RUNNING, GRIPPING, ABSORBING)


@dataclass(frozen=True)
class Part:
    """One part of a tether as it is really tied, what it holds, and by which source."""

    words: str
    force_N: float
    source: str


@dataclass(frozen=True)
class Tether:
    """One way of attaching.

    ``reach_m`` is from the harness to the cable; ``stiffness_N`` is effective EA, with its source. ``arms`` is how many
    connectors run on the cable: with two, one is always clipped at a changeover. ``changeover_s`` is the time to pass
    one stop. ``parts`` are all that must hold.
    """

    name: str
    title: str
    kind: str
    arms: int
    reach_m: float
    stiffness_N: float
    parts: tuple[Part, ...]
    changeover_s: float
    source: str
    absorber: Absorber | None = None

    @property
    def weakest(self) -> Part:
        """The part that goes first."""
        return min(self.parts, key=lambda part: part.force_N, default=Part("nothing", 0.0, "typed"))


# Bite: how far a gripping hitch travels before it bites; slack: what hangs between it and a harness level with it.
# Common practice, no source.
HITCH_SLACK_M = 0.3
HITCH_BITE_M = 0.1

# Effective EA, each at the stiff and so careful end of what is known.
HMPE_N = 161e3
DYNAMIC_ROPE_N = 30.4e3
PA_N = 80e3

_HARNESS = Part("harness", LIMITS["harness"].force_N, LIMITS["harness"].source)
# A connector that comes down on a stop may be pulled across it; only class K is made for that.
_CONNECTOR = Part(
    "connector pulled across the stop", LIMITS["connector_across"].force_N, LIMITS["connector_across"].source
)
_SLING = Part(
    "HMPE sling girth-hitched to the harness", GIRTH_HITCH_SHARE * LIMITS["sling"].force_N, GIRTH_HITCH_SOURCE
)
_ROPE = Part(
    "lanyard with a figure-eight loop", FIGURE_EIGHT_SHARE * LIMITS["lanyard"].force_N, LIMITS["lanyard"].source
)
# The loop of a hitch is counted as one strand: how the load is shared is not known.
_CORD = Part("6 mm cord of the hitch", LIMITS["cord_6_mm"].force_N, LIMITS["cord_6_mm"].source)
_ARM = Part("elastic arm", LIMITS["arm_elastic"].force_N, LIMITS["arm_elastic"].source)


def _tethers(*tethers: Tether) -> Mapping[str, Tether]:
    return MappingProxyType({tether.name: tether for tether in tethers})


TETHERS = _tethers(
    Tether("none", "Nothing attached", NONE, 0, 0.0, 0.0, (), 0.0, "friction_memory"),
    Tether(
        "one sling", "One running connector on a sling", RUNNING, 1, 0.6, HMPE_N,
        (_SLING, _CONNECTOR, _HARNESS), 6.0, "hmpe_drop_test",
    ),
    Tether(
        "two slings", "Two running connectors on slings", RUNNING, 2, 0.6, HMPE_N,
        (_SLING, _CONNECTOR, _HARNESS), 10.0, "hmpe_drop_test",
    ),
    Tether(
        "rope lanyard", "Two running connectors on a dynamic-rope lanyard", RUNNING, 2, 0.8, DYNAMIC_ROPE_N,
        (_ROPE, _CONNECTOR, _HARNESS), 10.0, "dynamic_rope_stiffness",
    ),
    Tether(
        "friction hitch", "One gripping hitch on a short lanyard", GRIPPING, 1, 0.8, PA_N,
        (_CORD, _HARNESS), 25.0, "pa_stiffness",
    ),
    Tether(
        "absorbing lanyard", "Two running connectors on an energy-absorbing lanyard", ABSORBING, 2, 0.9, PA_N,
        (_ARM, _HARNESS), 10.0, "pa_stiffness", absorber=ABSORBER_EN_958_2017,
    ),
)  # fmt: skip
