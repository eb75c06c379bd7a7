"""What walking costs the body: the plain formulas, without their limits.

Speed is along the slope, as on a treadmill. Grade is rise over run and signed: uphill is positive. The limits of each
model stand in ``effort_registry.py``.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray

_MINUTE_S = 60.0

LCDA_K = 1.1
"""Base of the grade term. One copy of the equation has 1.11."""

LCDA_GRADE = 0.34
LCDA_REST_W_KG = 1.3
LCDA_STAND_W_KG = 0.19
LCDA_SLOW = 1.78
LCDA_SLOW_POWER = 0.58
LCDA_FAST = 0.27
LCDA_FAST_POWER = 4.0
LCDA_LOAD = 1.96
LCDA_LOAD_POWER = 1.36


def lcda_grade_J_kg_m(grade: npt.ArrayLike) -> FloatArray:
    """What the slope adds to the cost of a metre walked.

    Mg / S = 0.34 G (1 - 1.05^(1 - k^(G + 32))), k = 1.1, G in per cent

    Parameters
    ----------
    grade : array_like, any shape
        Rise over run [1].

    Returns
    -------
    array, shape of ``grade``
        Times the speed it is a rate [W/kg]; per metre [J/(kg m)]. Below zero on gentle descents.

    Validity: grade -0.40 to 0.45. Sources: lcda_2019.
    """
    percent = 100.0 * np.asarray(grade, float)
    share: FloatArray = 1.0 - 1.05 ** (1.0 - LCDA_K ** (percent + 32.0))
    return LCDA_GRADE * percent * share


def lcda_2019_W_kg(speed_m_s: npt.ArrayLike, grade: npt.ArrayLike) -> FloatArray:
    """Metabolic rate of walking without a load.

    M[W/kg] = 1.44 + 1.94 S^0.43 + 0.24 S^4 + Mg, with Mg of ``lcda_grade_J_kg_m`` times S

    Parameters
    ----------
    speed_m_s : array_like
        S, along the slope [m/s].
    grade : array_like, broadcast with ``speed_m_s``
        Rise over run [1].

    Returns
    -------
    array, the broadcast shape
        [W per kg of body mass].

    Validity: to 1.96 m/s; grade -0.40 to 0.45.
    Notes: accounts differ on k in the grade term, 1.1 or 1.11; 1.1 is used.
    Sources: lcda_2019.
    """
    speed = np.asarray(speed_m_s, float)
    return 1.44 + 1.94 * speed**0.43 + 0.24 * speed**4 + lcda_grade_J_kg_m(grade) * speed


def lcda_moving_W_kg(speed_m_s: npt.ArrayLike, grade: npt.ArrayLike) -> FloatArray:
    """What moving costs on hard ground without a load: the part of ``lcda_load_2022_W_kg`` that the terrain multiplies.

    1.78 S^0.58 + 0.27 S^4 + Mg

    Parameters, Returns and Validity as ``lcda_2019_W_kg``. Sources: lcda_load_2022.
    """
    speed = np.asarray(speed_m_s, float)
    level_W_kg: FloatArray = LCDA_SLOW * speed**LCDA_SLOW_POWER + LCDA_FAST * speed**LCDA_FAST_POWER
    return level_W_kg + lcda_grade_J_kg_m(grade) * speed


def lcda_load_multiplier(load_share: npt.ArrayLike) -> FloatArray:
    """How many times what standing and moving cost goes up with a load.

    1 + 1.96 (L / W)^1.36

    Parameters
    ----------
    load_share : array_like, any shape
        L / W, load over body mass [1].

    Returns
    -------
    array, shape of ``load_share``
        [1].

    Validity: to 0.66. Sources: lcda_load_2022.
    """
    multiplier: FloatArray = 1.0 + LCDA_LOAD * np.asarray(load_share, float) ** LCDA_LOAD_POWER
    return multiplier


def lcda_load_2022_W_kg(
    speed_m_s: npt.ArrayLike, grade: npt.ArrayLike, *, load_share: npt.ArrayLike, terrain_n: npt.ArrayLike
) -> FloatArray:
    """Metabolic rate of walking with a pack.

    M[W/kg] = rest + (0.19 + n (1.78 S^0.58 + 0.27 S^4 + Mg)) (1 + 1.96 (L / W)^1.36), rest = 1.3 W/kg

    Parameters
    ----------
    speed_m_s : array_like
        S, along the slope [m/s].
    grade, load_share, terrain_n : array_like, broadcast with ``speed_m_s``
        Rise over run; load over body mass; energy coefficient of the ground [1].

    Returns
    -------
    array, the broadcast shape
        [W per kg of body mass].

    Validity: as ``lcda_2019_W_kg``, loads to 66 % of body mass.
    Notes: rest is a setting of the equation; 1.3 W/kg is the value its check was worked with.
    Sources: lcda_load_2022.
    """
    moving_W_kg = np.asarray(terrain_n, float) * lcda_moving_W_kg(speed_m_s, grade)
    rate_W_kg: FloatArray = LCDA_REST_W_KG + (LCDA_STAND_W_KG + moving_W_kg) * lcda_load_multiplier(load_share)
    return rate_W_kg


def pandolf_1977_W(
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    *,
    body_mass_kg: npt.ArrayLike,
    load_kg: npt.ArrayLike,
    terrain_n: npt.ArrayLike,
) -> FloatArray:
    """Metabolic rate of walking with a load, on the level and up.

    M[W] = 1.5 W + 2 (W + L) (L / W)^2 + n (W + L) (1.5 V^2 + 0.35 V G), G in per cent

    Parameters
    ----------
    speed_m_s : array_like
        V, along the slope [m/s].
    grade, body_mass_kg, load_kg, terrain_n : array_like, broadcast with ``speed_m_s``
        Rise over run [1]; W and L [kg]; n, energy coefficient of the ground [1].

    Returns
    -------
    array, the broadcast shape
        [W].

    Validity: level and up only; down it goes below what standing costs. Sources: pandolf_1977.
    """
    speed, percent = np.asarray(speed_m_s, float), 100.0 * np.asarray(grade, float)
    body, load = np.asarray(body_mass_kg, float), np.asarray(load_kg, float)
    moving = np.asarray(terrain_n, float) * (1.5 * speed**2 + 0.35 * speed * percent)
    rate_W: FloatArray = 1.5 * body + (body + load) * (2.0 * (load / body) ** 2 + moving)
    return rate_W


def santee_downhill_W(
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    *,
    body_mass_kg: npt.ArrayLike,
    load_kg: npt.ArrayLike,
    terrain_n: npt.ArrayLike,
) -> FloatArray:
    """Metabolic rate of walking down with a load: Pandolf on the level, less what the descent gives back.

    M[W] = Pandolf(G = 0) - n (g (W + L) V / 3.5 - (W + L) (g + 6)^2 / W + 25 - V^2), g = abs(G) in per cent

    Parameters and Returns as ``pandolf_1977_W``.

    Validity: grade -0.12 to 0. The least is near -0.08; past -0.14 it is of no use.
    Notes: at grade 0 it does not meet Pandolf; it is about 5 % above.
    Sources: santee_2003.
    """
    speed, g = np.asarray(speed_m_s, float), np.abs(100.0 * np.asarray(grade, float))
    body, load = np.asarray(body_mass_kg, float), np.asarray(load_kg, float)
    level_W = pandolf_1977_W(speed, 0.0, body_mass_kg=body, load_kg=load, terrain_n=terrain_n)
    back_W = g * (body + load) * speed / 3.5 - (body + load) * (g + 6.0) ** 2 / body + 25.0 - speed**2
    rate_W: FloatArray = level_W - np.asarray(terrain_n, float) * back_W
    return rate_W


def minetti_2002_J_kg_m(grade: npt.ArrayLike) -> FloatArray:
    """What a metre of walking costs above rest, at the thriftiest speed.

    Cw = 280.5 i^5 - 58.7 i^4 - 76.8 i^3 + 51.9 i^2 + 19.6 i + 2.5

    Parameters
    ----------
    grade : array_like, any shape
        i, rise over run [1].

    Returns
    -------
    array, shape of ``grade``
        [J per kg of body mass and m along the slope].

    Validity: grade -0.45 to 0.45.
    Notes: the polynomial overstates level walking by 52 %: 2.5 against 1.64 measured.
    Sources: minetti_2002.
    """
    return np.polynomial.polynomial.polyval(np.asarray(grade, float), [2.5, 19.6, 51.9, -76.8, -58.7, 280.5])


def acsm_walk_ml_kg_min(speed_m_s: npt.ArrayLike, grade: npt.ArrayLike) -> FloatArray:
    """Oxygen taken up in walking.

    VO2[ml/(kg min)] = 3.5 + 0.1 S + 1.8 S G, S in m/min, G as a fraction

    Parameters
    ----------
    speed_m_s : array_like
        Along the slope [m/s].
    grade : array_like, broadcast with ``speed_m_s``
        Rise over run [1].

    Returns
    -------
    array, the broadcast shape
        [ml per kg of body mass and minute].

    Validity: 50 to 100 m/min, level and up. Sources: acsm_walk.
    """
    speed_m_min = _MINUTE_S * np.asarray(speed_m_s, float)
    uptake: FloatArray = 3.5 + speed_m_min * (0.1 + 1.8 * np.asarray(grade, float))
    return uptake
