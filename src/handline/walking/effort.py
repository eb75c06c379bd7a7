"""The one way in: what walking costs the body by any model of the registry, kept to its limits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.walking.effort_registry import EffortModel, Range, Walk, effort_model
from handline.walking.grade_models import FloatArray


@dataclass(frozen=True)
class Effort:
    """What a walk costs, in ``unit``; NaN outside the model's limits, and the flags that say why."""

    value: FloatArray
    unit: str
    flags: tuple[str, ...]
    source: str


def effort(
    model_key: str,
    *,
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    body_mass_kg: npt.ArrayLike,
    load_kg: npt.ArrayLike = 0.0,
    terrain_n: npt.ArrayLike = 1.0,
) -> Effort:
    """What walking costs the body.

    Parameters
    ----------
    model_key : str
        A key of ``EFFORT_MODELS``, which says what of the rest it reads.
    speed_m_s : array_like
        Along the slope [m/s].
    grade : array_like
        Rise over run, signed [1].
    body_mass_kg, load_kg : array_like
        The walker, and what the walker carries [kg].
    terrain_n : array_like
        Energy coefficient of the ground [1], as in ``ENERGY_TERRAIN_N``.
        All broadcast together.

    Returns
    -------
    Effort
        In the model's unit and the broadcast shape; NaN and the flag ``beyond_effort_speed``, ``beyond_effort_grade``
        or ``beyond_effort_load`` outside the model's limits. A model that knows no load is outside them with one, and
        one that knows only hard ground on any other (``beyond_effort_ground``).

    Raises
    ------
    InputError
        There is no such model.
    ValueError
        A body mass or terrain coefficient that is not above 0, or a load below 0.

    Validity: the model's own. Sources: the model's own.
    """
    model = effort_model(model_key)
    walk = Walk(
        *np.broadcast_arrays(
            *(np.asarray(part, float) for part in (speed_m_s, grade, body_mass_kg, load_kg, terrain_n))
        )
    )
    if not (bool(np.all(walk.body_mass_kg > 0.0)) and bool(np.all(walk.terrain_n > 0.0))):
        raise ValueError("body_mass_kg and terrain_n must be above 0")
    if not bool(np.all(walk.load_kg >= 0.0)):
        raise ValueError("load_kg must be 0 or more")
    outside = _outside(model, walk)
    inside = ~np.any(list(outside.values()), axis=0)
    # A model is asked only inside its limits: outside, a power of a negative number would be no number at all.
    value = np.full(inside.shape, np.nan)
    value[inside] = model.effort(Walk(*(getattr(walk, name)[inside] for name in Walk.__dataclass_fields__)))
    flags = tuple(flag for flag, where in outside.items() if bool(np.any(where)))
    return Effort(value, model.unit, flags, model.source)


def _outside(model: EffortModel, walk: Walk) -> dict[str, npt.NDArray[np.bool_]]:
    limits = model.limits
    hard_only: Range = (1.0, 1.0)
    any_ground = "terrain_n" in model.inputs
    return {
        "beyond_effort_speed": _not_within(walk.speed_m_s, limits.speed_m_s),
        "beyond_effort_grade": _not_within(walk.grade, limits.grade),
        "beyond_effort_load": _not_within(walk.load_share, limits.load_share),
        "beyond_effort_ground": ~np.isfinite(walk.terrain_n) if any_ground else _not_within(walk.terrain_n, hard_only),
    }


def _not_within(value: FloatArray, limits: Range) -> npt.NDArray[np.bool_]:
    """Where a value is missing or outside the limits."""
    return ~((value >= limits[0]) & (value <= limits[1]) & np.isfinite(value))
