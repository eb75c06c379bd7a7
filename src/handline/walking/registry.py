"""Every pace model by key, with its limits, its source and what it is for.

Only models of walking stand here: the percentiles of ``campbell_2019`` in which people run are left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import ClassVar, Literal

from handline.errors import InputError, unknown_choice
from handline.walking import grade_models, leg_models
from handline.walking.grade_models import CAMPBELL_2019, SULLIVAN_2020, FloatArray
from handline.walking.leg_models import Ground

Form = Literal["grade", "leg"]

_TAN_30 = math.tan(math.radians(30.0))
_CREW_PACK_KG = 20.0


@dataclass(frozen=True)
class GradeLimits:
    """The signed grades a model was made for, both included, and the key of the source that says so."""

    lowest: float
    highest: float
    source: str


@dataclass(frozen=True)
class PaceModel:
    """One published model of walking time.

    ``source`` is a key of sources.toml; ``use`` says who and where it is for; ``form`` is ``grade`` for speed by grade
    and ``leg`` for a rule by distance and climb. ``carried_kg`` is what its walkers carried [kg], 0 where the source
    does not say, so that a pack never counts too little; ``carried_source`` is the key of who says so.
    """

    key: str
    title: str
    source: str
    use: str
    form: ClassVar[Form]
    carried_kg: float = field(default=0.0, kw_only=True)
    carried_source: str = field(default="our_load_rule", kw_only=True)


@dataclass(frozen=True)
class GradeModel(PaceModel):
    """A model of speed by grade: ``speed_m_s`` takes grades and is meant within ``limits``."""

    form: ClassVar[Form] = "grade"
    speed_m_s: Callable[[FloatArray], FloatArray]
    limits: GradeLimits


@dataclass(frozen=True)
class LegModel(PaceModel):
    """A rule by distance and climb. ``adds_up``: the sum over segments is the time of the leg."""

    form: ClassVar[Form] = "leg"
    time_s: Callable[[Ground], FloatArray]
    adds_up: bool


def _limits(steepest: float, source: str) -> GradeLimits:
    return GradeLimits(-steepest, steepest, source)


_TOBLER_LIMITS = _limits(0.6, "tobler_1993")
_SULLIVAN_LIMITS = _limits(_TAN_30, "sullivan_2020")
_OUR_LIMITS = _limits(0.6, "our_grade_limits")
_CAMPBELL_LIMITS = _limits(_TAN_30, "our_grade_limits")


def _sullivan(level: str) -> GradeModel:
    return GradeModel(
        key=f"sullivan_2020_{level}",
        title=f"Sullivan 2020, {level} rate",
        source="sullivan_2020",
        use="loaded crews on trails",
        speed_m_s=SULLIVAN_2020[level].speed_m_s,
        limits=_SULLIVAN_LIMITS,
        carried_kg=_CREW_PACK_KG,
        carried_source="sullivan_2020_pack",
    )


def _campbell(percentile: int) -> GradeModel:
    return GradeModel(
        key=f"campbell_2019_p{percentile}",
        title=f"Campbell 2019, percentile {percentile}",
        source="campbell_2019",
        use="the slow end of people who record their walks and runs",
        speed_m_s=CAMPBELL_2019[percentile].speed_m_s,
        limits=_CAMPBELL_LIMITS,
    )


_MODELS: tuple[GradeModel | LegModel, ...] = (
    LegModel(
        key="naismith_1892",
        title="Naismith 1892",
        source="naismith_1892",
        use="fit walkers on easy ground, no stops",
        time_s=leg_models.naismith_1892_s,
        adds_up=True,
    ),
    LegModel(
        key="langmuir_1984",
        title="Langmuir 1984",
        source="langmuir_1984",
        use="walkers on paths, descents counted",
        time_s=leg_models.langmuir_1984_s,
        adds_up=True,
    ),
    GradeModel(
        key="tobler_1993",
        title="Tobler 1993, on a path",
        source="tobler_1993",
        use="walkers on paths",
        speed_m_s=grade_models.tobler_1993_m_s,
        limits=_TOBLER_LIMITS,
    ),
    GradeModel(
        key="tobler_1993_off_path",
        title="Tobler 1993, off the path",
        source="tobler_1993",
        use="walkers off the path",
        speed_m_s=grade_models.tobler_1993_off_path_m_s,
        limits=_TOBLER_LIMITS,
    ),
    LegModel(
        key="din_33466",
        title="DIN 33466",
        source="din_33466",
        use="signposted trails, slow walkers, no stops",
        time_s=leg_models.din_33466_s,
        adds_up=False,
    ),
    LegModel(
        key="sac_rule",
        title="DIN 33466 with alpine-club rates",
        source="sac_rule",
        use="mountain trails, no stops",
        time_s=leg_models.sac_rule_s,
        adds_up=False,
    ),
    GradeModel(
        key="rees_2004",
        title="Rees 2004",
        source="rees_2004",
        use="mountain routes; down is as slow as up",
        speed_m_s=grade_models.rees_2004_m_s,
        limits=_OUR_LIMITS,
    ),
    GradeModel(
        key="marquez_2017",
        title="Marquez-Perez 2017",
        source="marquez_2017",
        use="walkers on trails",
        speed_m_s=grade_models.marquez_2017_m_s,
        limits=_OUR_LIMITS,
    ),
    GradeModel(
        key="irmischer_2018",
        title="Irmischer and Clarke 2018, on a path",
        source="irmischer_2018",
        use="cadets who find their way by map, on paths; men's speed (women's is 0.95 of it)",
        speed_m_s=grade_models.irmischer_2018_m_s,
        limits=_OUR_LIMITS,
    ),
    GradeModel(
        key="irmischer_2018_off_path",
        title="Irmischer and Clarke 2018, off the path",
        source="irmischer_2018",
        use="cadets who find their way by map, off the path; men's speed (women's is 0.95 of it)",
        speed_m_s=grade_models.irmischer_2018_off_path_m_s,
        limits=_OUR_LIMITS,
    ),
    *(_sullivan(level) for level in SULLIVAN_2020),
    *(_campbell(percentile) for percentile in CAMPBELL_2019),
)

PACE_MODELS: Mapping[str, GradeModel | LegModel] = MappingProxyType({model.key: model for model in _MODELS})


def pace_model(key: str) -> GradeModel | LegModel:
    """The model with this key. Raises InputError that lists the choices and the near miss."""
    try:
        return PACE_MODELS[key]
    except KeyError:
        raise InputError(unknown_choice("pace model", key, tuple(PACE_MODELS))) from None
