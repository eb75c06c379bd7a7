"""Snow on the way: the deeper the foot sinks, the slower."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.equal_rate import LEVEL_SPEED_M_S, descent_as_level, equal_rate_factor
from handline.walking.factor import Factor
from handline.walking.grade_models import FloatArray

SNOW_N = 1.30
SNOW_N_PER_CM = 0.082
SNOW_TO_M = 0.35


def snow_n(sink_m: npt.ArrayLike) -> FloatArray:
    """The energy coefficient of snow.

    n = 1.30 + 0.082 depth[cm], and 1 where the foot does not sink

    Parameters
    ----------
    sink_m : array_like, any shape
        How deep a foot sinks [m].

    Returns
    -------
    array, shape of ``sink_m``
        n [1].

    Validity: to 0.35 m. Sources: pandolf_1976.
    """
    sink = np.asarray(sink_m, float)
    return np.where(sink == 0.0, 1.0, SNOW_N + SNOW_N_PER_CM * (100.0 * sink))


def snow_factor(
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    sink_m: npt.ArrayLike,
    *,
    load_share: npt.ArrayLike = 0.0,
    level_speed_m_s: npt.ArrayLike = LEVEL_SPEED_M_S,
) -> Factor:
    """How many times longer the walk takes in snow.

    factor = v / v', where M(v'; n = snow_n) = M(v; n = 1), M of ``lcda_load_2022_W_kg``

    Parameters
    ----------
    speed_m_s : array_like
        v, what the pace model or the recording gives, on the map [m/s].
    grade : array_like
        Rise over run, signed [1]. A descent is slowed as much as level ground.
    sink_m : array_like
        How deep a foot sinks [m]; 0 is no snow.
    load_share : array_like
        Load over body mass [1].
    level_speed_m_s : array_like
        The walker's speed on the level, for descents [m/s].
        All broadcast together.

    Returns
    -------
    Factor
        [1], the broadcast shape, 1 or more. Flags as ``speed_of_equal_rate``; ``beyond_snow_depth`` past 0.35 m, where
        the line is drawn on.

    Raises
    ------
    ValueError
        A depth or a load below 0, or a depth that is missing.

    Validity: to 0.35 m. Steps kicked in hard snow, crevices and slides are not in it.
    Sources: pandolf_1976, lcda_load_2022, our_descent_rule.
    """
    sink = np.asarray(sink_m, float)
    if not bool(np.all(np.isfinite(sink) & (sink >= 0.0))):
        raise ValueError("sink_m must be finite and 0 or more")
    speed, slope = descent_as_level(speed_m_s, grade, level_speed_m_s)
    slower = equal_rate_factor(speed, slope, load_share=(load_share, load_share), terrain_n=(1.0, snow_n(sink)))
    time_factor = np.where((sink == 0.0) & ~np.isnan(slower.time_factor), 1.0, slower.time_factor)
    beyond = bool(np.any(sink > SNOW_TO_M))
    return Factor(time_factor, slower.flags + (("beyond_snow_depth",) if beyond else ()))
