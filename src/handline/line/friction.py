"""How rock holds a foot and a sliding body, by the state it is in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Rock:
    """One state of the rock.

    ``mu_foot`` holds a standing sole (used for the pull of the hands), ``mu_slide`` brakes a sliding clothed body.
    Both are the low, careful end of the range in ``mu_foot_range`` and ``mu_slide_range``. ``gear_gets_wet`` where
    slings and absorbers do too.
    """

    name: str
    mu_foot: float
    mu_slide: float
    mu_foot_range: tuple[float, float]
    mu_slide_range: tuple[float, float]
    gear_gets_wet: bool
    source: str


def _rocks(*rocks: Rock) -> Mapping[str, Rock]:
    return MappingProxyType({rock.name: rock for rock in rocks})


# Damp is our step between dry and wet; a wet or iced body slides with less than a dry one, and no range was found for
# it, so wet takes two thirds of the dry low end and iced the low end of ice.
ROCKS = _rocks(
    Rock("dry", 0.70, 0.45, (0.7, 1.0), (0.45, 0.7), False, "friction_memory"),
    Rock("damp", 0.55, 0.40, (0.55, 0.85), (0.40, 0.6), True, "friction_ours"),
    Rock("wet", 0.40, 0.30, (0.4, 0.7), (0.30, 0.5), True, "friction_ours"),
    Rock("iced", 0.05, 0.05, (0.05, 0.2), (0.05, 0.2), True, "friction_ours"),
)
