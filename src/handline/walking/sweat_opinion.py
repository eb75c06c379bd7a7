"""A second opinion on sweat, where somebody has worked out the heat balance of the skin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray
from handline.walking.sweat import gonzalez_2009_curved_g_m2_h, gonzalez_2009_g_m2_h

WARM_C = (15.0, 46.0)
COOL_BELOW_C = 20.0
_G_PER_L = 1000.0


@dataclass(frozen=True, eq=False)
class SweatOpinion:
    """Least and most of the forms made for the air temperature [L/h]; NaN and ``beyond_sweat_form`` without any."""

    low_L_h: FloatArray
    high_L_h: FloatArray
    flags: tuple[str, ...]


def gonzalez_2012_g_m2_h(required_W_m2: npt.ArrayLike, most_W_m2: npt.ArrayLike) -> FloatArray:
    """Sweat by the linear form for cool air.

    PW[g/m2/h] = 350 + 1.527 Ereq - 0.87 Emax

    Parameters and Returns as ``gonzalez_2009_g_m2_h``.

    Validity: below 20 C. Notes: its first term is more than twice that of 2009, so where both hold they disagree by
    203 g/m2/h. Sources: gonzalez_2012.
    """
    return 350.0 + 1.527 * np.asarray(required_W_m2, float) - 0.87 * np.asarray(most_W_m2, float)


def sweat_opinion(
    required_W_m2: npt.ArrayLike, most_W_m2: npt.ArrayLike, *, air_C: npt.ArrayLike, skin_m2: npt.ArrayLike
) -> SweatOpinion:
    """Sweat of a person by every form that was made for the air temperature.

    Parameters
    ----------
    required_W_m2, most_W_m2 : array_like
        Ereq, evaporation that the heat balance requires, and Emax, the most the air takes up, above 0 [W/m2].
    air_C, skin_m2 : array_like
        Air temperature [C]; skin of the person [m2]. All broadcast together.

    Returns
    -------
    SweatOpinion
        [L/h], the broadcast shape; a form that gives less than nothing is not used.

    Raises
    ------
    ValueError
        A skin or an Emax that is not above 0.

    Validity: 2 to 8 h of work; the forms of 2009 from 15 to 46 C, that of 2012 below 20 C.
    Notes: only held against ``water_need``, never used in its place: how Ereq and Emax are to be found was not seen.
    Sources: gonzalez_2009, gonzalez_2012.
    """
    required, most, air, skin = np.broadcast_arrays(
        *(np.asarray(part, float) for part in (required_W_m2, most_W_m2, air_C, skin_m2))
    )
    if not (bool(np.all(skin > 0.0)) and bool(np.all(most > 0.0))):
        raise ValueError("skin_m2 and most_W_m2 must be above 0")
    warm, cool = (air >= WARM_C[0]) & (air <= WARM_C[1]), air < COOL_BELOW_C
    forms = np.stack(
        [
            np.where(warm, gonzalez_2009_g_m2_h(required, most), np.nan),
            np.where(warm, gonzalez_2009_curved_g_m2_h(required, most), np.nan),
            np.where(cool, gonzalez_2012_g_m2_h(required, most), np.nan),
        ]
    ) * (skin / _G_PER_L)
    used = forms >= 0.0
    any_used = used.any(axis=0)
    low = np.where(any_used, np.min(forms, axis=0, where=used, initial=np.inf), np.nan)
    high = np.where(any_used, np.max(forms, axis=0, where=used, initial=-np.inf), np.nan)
    return SweatOpinion(low, high, () if bool(np.all(any_used)) else ("beyond_sweat_form",))
