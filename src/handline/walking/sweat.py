"""How much walkers sweat and what a table tells them to drink."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.quantity import QUART_L
from handline.walking.grade_models import FloatArray

MOST_QT_H, MOST_QT_DAY = 1.5, 12.0
"""Never drink more than this [US quarts an hour, and a day]. [tb_med_507]"""

# WBGT from which a row holds [F] -> quarts an hour for easy, moderate and hard work.
TB_MED_507: Mapping[float, tuple[float, float, float]] = MappingProxyType(
    {
        78.0: (0.5, 0.75, 0.75),
        82.0: (0.5, 0.75, 1.0),
        85.0: (0.75, 0.75, 1.0),
        88.0: (0.75, 0.75, 1.0),
        90.0: (1.0, 1.0, 1.0),
    }
)
WORK = ("easy", "moderate", "hard")


def gonzalez_2009_g_m2_h(required_W_m2: npt.ArrayLike, most_W_m2: npt.ArrayLike) -> FloatArray:
    """Sweat by the linear form.

    PW[g/m2/h] = 147 + 1.527 Ereq - 0.87 Emax

    Parameters
    ----------
    required_W_m2, most_W_m2 : array_like
        Ereq, evaporation that the heat balance requires, and Emax, the most the air takes up [W/m2].

    Returns
    -------
    array, the broadcast shape
        Sweat of a square metre of skin [g/m2/h].

    Validity: 15 to 46 C, 2 to 8 h of work. Sources: gonzalez_2009.
    """
    return 147.0 + 1.527 * np.asarray(required_W_m2, float) - 0.87 * np.asarray(most_W_m2, float)


def gonzalez_2009_curved_g_m2_h(required_W_m2: npt.ArrayLike, most_W_m2: npt.ArrayLike) -> FloatArray:
    """Sweat by the curved form.

    OSEC[g/m2/h] = 147 exp(0.0012 OSE), OSE = 27.9 Ereq Emax^-0.455

    Parameters, Returns and Validity as ``gonzalez_2009_g_m2_h``. Sources: gonzalez_2009.
    """
    straight = 27.9 * np.asarray(required_W_m2, float) * np.asarray(most_W_m2, float) ** -0.455
    curved: FloatArray = 147.0 * np.exp(0.0012 * straight)
    return curved


def drink_L_h(wbgt_F: float, work: str) -> float:
    """What the table tells acclimatised people to drink [L/h]; NaN below its first row, 78 F.

    Raises KeyError for a work class that is not in ``WORK``. Personal need and sun differ by a quarter quart an hour
    each. Never drink more than is lost. Sources: tb_med_507.
    """
    column = {name: index for index, name in enumerate(WORK)}[work]
    rows = [from_F for from_F in TB_MED_507 if wbgt_F >= from_F]
    return TB_MED_507[max(rows)][column] * QUART_L if rows else float("nan")
