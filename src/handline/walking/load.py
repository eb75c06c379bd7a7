"""A heavier pack than the pace model's walkers carried: slower, at the same effort."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.equal_rate import LEVEL_SPEED_M_S, descent_as_level, equal_rate_factor
from handline.walking.factor import Factor


def load_factor(
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    *,
    body_mass_kg: npt.ArrayLike,
    pack_mass_kg: npt.ArrayLike,
    carried_kg: npt.ArrayLike,
    level_speed_m_s: npt.ArrayLike = LEVEL_SPEED_M_S,
) -> Factor:
    """How many times longer the walk takes with this pack.

    factor = v / v', where M(v'; pack / body) = M(v; carried / body), M of ``lcda_load_2022_W_kg``

    Parameters
    ----------
    speed_m_s : array_like
        v, what the pace model or the recording gives, on the map [m/s].
    grade : array_like
        Rise over run, signed [1]. A descent is slowed as much as level ground.
    body_mass_kg, pack_mass_kg, carried_kg : array_like
        The member, what the member carries, and what those carried whose pace it is [kg].
    level_speed_m_s : array_like
        The walker's speed on the level, for descents [m/s].
        All broadcast together.

    Returns
    -------
    Factor
        [1], the broadcast shape, 1 or more. Flags as ``speed_of_equal_rate``; ``lighter_pack`` where the pack is
        lighter than what they carried: the factor there is 1, for a light pack is not counted as a gain.

    Raises
    ------
    ValueError
        A body mass that is not above 0, or a pack or load below 0 or missing.

    Validity: as ``speed_of_equal_rate``.
    Notes: the slower the pace, the more of the rate is what standing costs, so the same pack slows a stroll more: this
    errs to the slow side.
    Sources: lcda_load_2022, our_load_rule, our_descent_rule.
    """
    body, pack, carried = (np.asarray(mass, float) for mass in (body_mass_kg, pack_mass_kg, carried_kg))
    if not bool(np.all(np.isfinite(body) & (body > 0.0))):
        raise ValueError("body_mass_kg must be finite and above 0")
    if not bool(np.all(np.isfinite(pack) & (pack >= 0.0))):
        raise ValueError("pack_mass_kg must be finite and 0 or more")
    speed, slope = descent_as_level(speed_m_s, grade, level_speed_m_s)
    slower = equal_rate_factor(speed, slope, load_share=(carried / body, np.maximum(pack, carried) / body))
    lighter = pack < carried
    time_factor = np.where((pack <= carried) & ~np.isnan(slower.time_factor), 1.0, slower.time_factor)
    return Factor(time_factor, slower.flags + (("lighter_pack",) if bool(np.any(lighter)) else ()))
