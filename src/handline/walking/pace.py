"""The one way in: the walking time of a leg by any model of the registry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray
from handline.walking.leg_models import ground_of
from handline.walking.registry import GradeModel, LegModel, pace_model

FLAGS: Mapping[str, str] = MappingProxyType(
    {
        "beyond_grade_limit": "steeper than the pace model was made for",
        "not_ground": "a segment has a negative or missing length, height or speed",
        "beyond_effort_grade": "steeper than the effort model was made for; the steepest grade it knows is used",
        "beyond_effort_speed": "faster than the effort model was made for",
        "beyond_effort_load": "a pack heavier for the body than the effort model was made for",
        "beyond_effort_ground": "soft ground, of which the effort model knows nothing",
        "beyond_altitude": "higher than 3000 m, where the loss of breath was not measured; the line is drawn on",
        "beyond_snow_depth": "snow deeper than was measured; the line is drawn on",
        "height_unknown": "a height is missing, so thin air is not counted there",
        "no_equal_rate": "even standing still costs more than the effort there is; no speed can be given",
        "lighter_pack": "a pack lighter than the people carried whose pace it is; not counted as a gain",
        "lower_than_recorded": "lower than the pace is from; thicker air is not counted as a gain",
    }
)
"""Every flag of this room, in words."""


@dataclass(frozen=True)
class Speed:
    """Speed by grade [m/s], NaN outside the model's limits, and the flags that say why."""

    speed_m_s: FloatArray
    flags: tuple[str, ...]


@dataclass(frozen=True)
class WalkingTime:
    """The walking time of one leg, without stops.

    ``segment_s`` has the time of each segment; it is None for rules that only know totals. ``outside_m`` is how much
    of the leg, along the slope, is steeper than the model was made for. ``source`` is a key of sources.toml.
    """

    time_s: float
    segment_s: FloatArray | None
    outside_m: float
    flags: tuple[str, ...]
    source: str


def speed_on_grade(model: GradeModel, grade: npt.ArrayLike) -> Speed:
    """The plain formula of a model, kept to its limits.

    Parameters
    ----------
    model : GradeModel
        From ``PACE_MODELS``.
    grade : array_like, any shape
        Rise over run, signed [1].

    Returns
    -------
    Speed
        In the shape of ``grade``; NaN and the flag ``beyond_grade_limit`` outside the model's limits.

    Sources: the model's own.
    """
    grades = np.asarray(grade, float)
    inside = (grades >= model.limits.lowest) & (grades <= model.limits.highest)
    speed_m_s = np.where(inside, model.speed_m_s(grades), np.nan)
    return Speed(speed_m_s, () if bool(np.all(inside)) else ("beyond_grade_limit",))


def walking_time(model_key: str, run_m: npt.ArrayLike, rise_m: npt.ArrayLike) -> WalkingTime:
    """The walking time of a leg given as segments.

    Parameters
    ----------
    model_key : str
        A key of ``PACE_MODELS``.
    run_m, rise_m : array_like, one shape
        Horizontal length and signed height gained of each segment [m].

    Returns
    -------
    WalkingTime
        [s] and [m]. NaN and the flag ``not_ground`` if a length is negative or anything is not finite.

    Raises
    ------
    InputError
        There is no such model.

    Validity: the model's own; beyond its steepest grade it keeps the rate of height it has there, so that
    t = abs(rise) / (v(limit) abs(limit)). What is walked so is counted in ``outside_m`` and flagged.
    Sources: the model's own; our_beyond_grade.
    """
    model = pace_model(model_key)
    run, rise = np.broadcast_arrays(np.asarray(run_m, float), np.asarray(rise_m, float))
    is_ground = np.isfinite(run) & np.isfinite(rise) & (run >= 0.0)
    if not bool(np.all(is_ground)):
        return WalkingTime(float("nan"), None, float("nan"), ("not_ground",), model.source)
    return _by_rule(model, run, rise) if isinstance(model, LegModel) else _by_grade(model, run, rise)


def _by_rule(model: LegModel, run_m: FloatArray, rise_m: FloatArray) -> WalkingTime:
    segments = ground_of(run_m, rise_m)
    if not model.adds_up:
        return WalkingTime(float(model.time_s(segments.total())), None, 0.0, (), model.source)
    segment_s = model.time_s(segments)
    return WalkingTime(float(np.sum(segment_s)), segment_s, 0.0, (), model.source)


def _by_grade(model: GradeModel, run_m: FloatArray, rise_m: FloatArray) -> WalkingTime:
    # Compared as products, so that a step without any run needs no division.
    too_low, too_high = rise_m < model.limits.lowest * run_m, rise_m > model.limits.highest * run_m
    outside = too_low | too_high
    limit = np.where(too_low, model.limits.lowest, model.limits.highest)
    grade = np.divide(rise_m, run_m, out=np.zeros_like(run_m), where=~outside & (run_m > 0.0))
    inside_s = run_m / model.speed_m_s(grade)
    beyond_s = np.abs(rise_m) / (model.speed_m_s(limit) * np.abs(limit))
    segment_s = np.where(outside, beyond_s, inside_s)
    outside_m = float(np.sum(np.hypot(run_m, rise_m), where=outside))
    flags = ("beyond_grade_limit",) if bool(np.any(outside)) else ()
    return WalkingTime(float(np.sum(segment_s)), segment_s, outside_m, flags, model.source)
