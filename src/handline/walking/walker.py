"""Who walks: one person's body, pack, fitness and, where it was recorded, own pace."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.errors import InputError, unknown_choice

# Fitness -> the rate of the crews in Sullivan 2020 that stands for it; "moderate" is what the others are held against.
FITNESS: Mapping[str, str] = MappingProxyType(
    {"low": "sullivan_2020_low", "moderate": "sullivan_2020_moderate", "high": "sullivan_2020_high"}
)
USUAL_FITNESS = "moderate"
# A credit for climbing may not make a leg shorter than this share of what the scaled model says; the rest is the most
# that it may take.
LEAST_SHARE = 0.5
MOST_CREDIT_SHARE = 1.0 - LEAST_SHARE


@dataclass(frozen=True)
class OwnPace:
    """A pace learned from recordings: T = time_factor T_model + climb_s_m climb.

    ``model`` is a key of PACE_MODELS, or None for the middle of the mix. ``carried_kg`` and ``recorded_elevation_m``
    say under which load and how high it was recorded. ``sigma`` is the spread of the logarithm of a day's walking time.
    """

    model: str | None
    time_factor: float
    climb_s_m: float
    sigma: float
    carried_kg: float
    recorded_elevation_m: float


@dataclass(frozen=True)
class Walker:
    """One person. ``fitness`` is a key of FITNESS, or None where it is not known; it does not count with ``pace``.

    ``pack_by_leg_kg`` has the load leg by leg where it changes on the way; then it counts in place of ``pack_mass_kg``.
    """

    name: str
    body_mass_kg: float
    pack_mass_kg: float
    fitness: str | None = None
    pace: OwnPace | None = None
    pack_by_leg_kg: tuple[float, ...] | None = None

    def __post_init__(self) -> None:
        if self.fitness is not None and self.fitness not in FITNESS:
            raise InputError(unknown_choice("fitness", self.fitness, tuple(FITNESS)))
