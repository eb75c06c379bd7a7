"""Every model of what walking costs the body, by key, with its unit, what it reads, its limits and its source."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.errors import InputError, unknown_choice
from handline.walking import effort_models
from handline.walking.grade_models import FloatArray

Range = tuple[float, float]

ANY: Range = (-math.inf, math.inf)
"""Where a source states no limit."""

NO_LOAD: Range = (0.0, 0.0)


@dataclass(frozen=True)
class Walk:
    """How somebody walks: arrays of one shape. Speed is along the slope; ``terrain_n`` the energy coefficient."""

    speed_m_s: FloatArray
    grade: FloatArray
    body_mass_kg: FloatArray
    load_kg: FloatArray
    terrain_n: FloatArray

    @property
    def load_share(self) -> FloatArray:
        """Load over body mass [1]."""
        return self.load_kg / self.body_mass_kg


@dataclass(frozen=True)
class EffortLimits:
    """Lowest and highest of each input a model was made for, both included; infinite where none is stated."""

    speed_m_s: Range
    grade: Range
    load_share: Range


@dataclass(frozen=True)
class EffortModel:
    """One published model. ``effort`` gives it in ``unit``; ``inputs`` are the fields of ``Walk`` it reads."""

    key: str
    title: str
    unit: str
    inputs: tuple[str, ...]
    limits: EffortLimits
    source: str
    effort: Callable[[Walk], FloatArray]


_W_KG = "W per kg of body mass"
_LCDA_SPEED: Range = (0.0, 1.96)
_LCDA_GRADE: Range = (-0.40, 0.45)
_LOADED = ("speed_m_s", "grade", "body_mass_kg", "load_kg", "terrain_n")


def _pandolf(walk: Walk) -> FloatArray:
    return effort_models.pandolf_1977_W(
        walk.speed_m_s, walk.grade, body_mass_kg=walk.body_mass_kg, load_kg=walk.load_kg, terrain_n=walk.terrain_n
    )


def _santee(walk: Walk) -> FloatArray:
    return effort_models.santee_downhill_W(
        walk.speed_m_s, walk.grade, body_mass_kg=walk.body_mass_kg, load_kg=walk.load_kg, terrain_n=walk.terrain_n
    )


_MODELS = (
    EffortModel(
        key="lcda_2019",
        title="Looney 2019, graded walking",
        unit=_W_KG,
        inputs=("speed_m_s", "grade"),
        limits=EffortLimits(_LCDA_SPEED, _LCDA_GRADE, NO_LOAD),
        source="lcda_2019",
        effort=lambda walk: effort_models.lcda_2019_W_kg(walk.speed_m_s, walk.grade),
    ),
    EffortModel(
        key="lcda_load_2022",
        title="Looney 2022, with a pack",
        unit=_W_KG,
        inputs=_LOADED,
        limits=EffortLimits(_LCDA_SPEED, _LCDA_GRADE, (0.0, 0.66)),
        source="lcda_load_2022",
        effort=lambda walk: effort_models.lcda_load_2022_W_kg(
            walk.speed_m_s, walk.grade, load_share=walk.load_share, terrain_n=walk.terrain_n
        ),
    ),
    EffortModel(
        key="pandolf_1977",
        title="Pandolf 1977, level and up",
        unit="W",
        inputs=_LOADED,
        limits=EffortLimits((0.0, math.inf), (0.0, math.inf), (0.0, math.inf)),
        source="pandolf_1977",
        effort=_pandolf,
    ),
    EffortModel(
        key="santee_downhill",
        title="Pandolf 1977 with Santee's correction, down",
        unit="W",
        inputs=_LOADED,
        limits=EffortLimits((0.0, math.inf), (-0.12, 0.0), (0.0, math.inf)),
        source="santee_2003",
        effort=_santee,
    ),
    EffortModel(
        key="minetti_2002",
        title="Minetti 2002, cost of a metre above rest",
        unit="J per kg of body mass and m",
        inputs=("grade",),
        limits=EffortLimits(ANY, (-0.45, 0.45), NO_LOAD),
        source="minetti_2002",
        effort=lambda walk: effort_models.minetti_2002_J_kg_m(walk.grade),
    ),
    EffortModel(
        key="acsm_walk",
        title="ACSM, oxygen uptake of walking",
        unit="ml of oxygen per kg of body mass and minute",
        inputs=("speed_m_s", "grade"),
        limits=EffortLimits((50.0 / 60.0, 100.0 / 60.0), (0.0, math.inf), NO_LOAD),
        source="acsm_walk",
        effort=lambda walk: effort_models.acsm_walk_ml_kg_min(walk.speed_m_s, walk.grade),
    ),
)

EFFORT_MODELS: Mapping[str, EffortModel] = MappingProxyType({model.key: model for model in _MODELS})

ENERGY_TERRAIN_N: Mapping[str, float] = MappingProxyType(
    {
        "hard path": 1.0,
        "dirt or grass": 1.1,
        "light brush": 1.2,
        "heavy brush": 1.5,
        "bog": 1.8,
        "loose sand": 2.1,
    }
)
"""Energy coefficient n of the ground [1]: what it multiplies is effort, never time. Sources: soule_goldman_1972."""


def effort_model(key: str) -> EffortModel:
    """The model with this key. Raises InputError that lists the choices and the near miss."""
    try:
        return EFFORT_MODELS[key]
    except KeyError:
        raise InputError(unknown_choice("effort model", key, tuple(EFFORT_MODELS))) from None
