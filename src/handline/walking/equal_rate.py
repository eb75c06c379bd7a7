"""The speed that costs a walker the same as before, when the pack, the ground or the air has changed."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.effort_models import (
    LCDA_FAST,
    LCDA_FAST_POWER,
    LCDA_REST_W_KG,
    LCDA_SLOW,
    LCDA_SLOW_POWER,
    LCDA_STAND_W_KG,
    lcda_grade_J_kg_m,
    lcda_load_multiplier,
    lcda_moving_W_kg,
)
from handline.walking.effort_registry import EFFORT_MODELS
from handline.walking.factor import Factor
from handline.walking.grade_models import FloatArray
from handline.walking.pace import Speed

Pair = tuple[npt.ArrayLike, npt.ArrayLike]

LEVEL_SPEED_M_S = 1.34
"""A usual walk on the level, 3 miles an hour, where nobody says how fast the walker is there."""

_LIMITS = EFFORT_MODELS["lcda_load_2022"].limits

# Steps of the root find are in log speed; the error after a step is about its square. Five steps are usual; a root
# that 40 do not find is a defect.
_MOST_STEPS = 40
_LONGEST_STEP = 2.0
_CLOSE = 1e-6


def speed_of_equal_rate(
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    *,
    load_share: Pair = (0.0, 0.0),
    terrain_n: Pair = (1.0, 1.0),
    rate_share: npt.ArrayLike = 1.0,
) -> Speed:
    """The speed at which the metabolic rate is a share of what it was.

    M(v_after; L_after, n_after) = rate_share M(v_before; L_before, n_before), M of ``lcda_load_2022_W_kg``

    Parameters
    ----------
    speed_m_s : array_like
        v_before, on the map [m/s], above 0.
    grade : array_like
        Rise over run, signed [1].
    load_share, terrain_n : pairs of array_like
        Before and after: load over body mass [1]; energy coefficient of the ground [1].
    rate_share : array_like
        Rate after over rate before [1].
        All broadcast together.

    Returns
    -------
    Speed
        v_after, on the map [m/s]; NaN and ``no_equal_rate`` where even standing costs more, NaN and ``not_ground``
        where speed or grade is missing or the speed is not above 0.

    Raises
    ------
    ValueError
        A load below 0, or a terrain coefficient or rate share that is not above 0.

    Validity: to 1.96 m/s (``beyond_effort_speed``), grade -0.40 to 0.45 (``beyond_effort_grade``: the limit's grade is
    used), loads to 66 % of body mass (``beyond_effort_load``). Past speed and load the equation is carried on.
    Notes: at every grade within the limits the rate rises with speed, so there is one root.
    Sources: lcda_load_2022.
    """
    speed, slope = np.asarray(speed_m_s, float), np.asarray(grade, float)
    load_before, load_after, n_before, n_after, share = (
        np.asarray(part, float) for part in (*load_share, *terrain_n, rate_share)
    )
    _check(load_before, load_after, n_before, n_after, share)
    is_ground = np.isfinite(speed) & (speed > 0.0) & ~np.isnan(slope)
    beyond_grade = (slope < _LIMITS.grade[0]) | (slope > _LIMITS.grade[1])
    used_grade = np.where(np.isnan(slope), 0.0, np.clip(slope, *_LIMITS.grade))
    longer = np.hypot(1.0, used_grade)
    along_m_s = np.where(is_ground, speed, 1.0) * longer
    before_W_kg = LCDA_STAND_W_KG + n_before * lcda_moving_W_kg(along_m_s, used_grade)
    after_W_kg = share * (LCDA_REST_W_KG + before_W_kg * lcda_load_multiplier(load_before)) - LCDA_REST_W_KG
    moving_W_kg = (after_W_kg / lcda_load_multiplier(load_after) - LCDA_STAND_W_KG) / n_after
    possible = is_ground & (moving_W_kg > 0.0)
    found_m_s = _speed_that_costs(np.where(possible, moving_W_kg, 1.0), lcda_grade_J_kg_m(used_grade), along_m_s)
    flags = {
        "not_ground": ~is_ground,
        "no_equal_rate": is_ground & ~possible,
        "beyond_effort_grade": beyond_grade,
        "beyond_effort_speed": is_ground & (along_m_s > _LIMITS.speed_m_s[1]),
        "beyond_effort_load": (load_before > _LIMITS.load_share[1]) | (load_after > _LIMITS.load_share[1]),
    }
    return Speed(
        np.where(possible, found_m_s / longer, np.nan), tuple(flag for flag, where in flags.items() if np.any(where))
    )


def equal_rate_factor(
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    *,
    load_share: Pair = (0.0, 0.0),
    terrain_n: Pair = (1.0, 1.0),
    rate_share: npt.ArrayLike = 1.0,
) -> Factor:
    """How many times longer a walk takes at the speed of ``speed_of_equal_rate``, which has the rest of the story."""
    after = speed_of_equal_rate(speed_m_s, grade, load_share=load_share, terrain_n=terrain_n, rate_share=rate_share)
    return Factor(np.asarray(speed_m_s, float) / after.speed_m_s, after.flags)


def descent_as_level(
    speed_m_s: npt.ArrayLike, grade: npt.ArrayLike, level_speed_m_s: npt.ArrayLike = LEVEL_SPEED_M_S
) -> tuple[FloatArray, FloatArray]:
    """Speed and grade with every descent put in as a walk on the level.

    A descent is held back by footing, not by breath: that its speed is low does not say that the walker has little
    left to give. So it is slowed as much as the same walker's level ground.

    Parameters
    ----------
    speed_m_s, grade : array_like, broadcast together
        [m/s]; rise over run, signed [1].
    level_speed_m_s : array_like, broadcast with them
        The walker's speed on the level [m/s].

    Returns
    -------
    pair of arrays, the broadcast shape
        Speed [m/s] and grade [1], as given where it does not go down.

    Validity: any. Sources: our_descent_rule.
    """
    slope = np.asarray(grade, float)
    down = slope < 0.0
    return np.where(down, level_speed_m_s, speed_m_s), np.where(down, 0.0, slope)


def _speed_that_costs(moving_W_kg: FloatArray, grade_J_kg_m: FloatArray, first_m_s: FloatArray) -> FloatArray:
    """The root of ``lcda_moving_W_kg`` = ``moving_W_kg``: Newton on the logarithms of both, nearly a straight line."""
    wanted, per_speed, first = np.broadcast_arrays(moving_W_kg, grade_J_kg_m, first_m_s)
    log_speed, log_wanted = np.log(first), np.log(wanted)
    for _ in range(_MOST_STEPS):
        slow = LCDA_SLOW * np.exp(LCDA_SLOW_POWER * log_speed)
        fast = LCDA_FAST * np.exp(LCDA_FAST_POWER * log_speed)
        climb = per_speed * np.exp(log_speed)
        cost = slow + fast + climb
        power = (LCDA_SLOW_POWER * slow + LCDA_FAST_POWER * fast + climb) / cost
        step = np.clip((log_wanted - np.log(cost)) / power, -_LONGEST_STEP, _LONGEST_STEP)
        log_speed = log_speed + step
        if float(np.max(np.abs(step), initial=0.0)) < _CLOSE:
            return np.exp(log_speed)
    raise ArithmeticError("no speed of equal metabolic rate was found: this is a defect of the root find")


def _check(
    load_before: FloatArray, load_after: FloatArray, n_before: FloatArray, n_after: FloatArray, share: FloatArray
) -> None:
    if not (bool(np.all(load_before >= 0.0)) and bool(np.all(load_after >= 0.0))):
        raise ValueError("load_share must be 0 or more")
    if not all(bool(np.all(np.isfinite(part) & (part > 0.0))) for part in (n_before, n_after, share)):
        raise ValueError("terrain_n and rate_share must be finite and above 0")
