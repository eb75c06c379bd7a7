"""From flash and thunder to a distance and a wait: the rule of twice thirty, and its words in one place."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

# Of sound in air of 20 deg C; in colder air it is slower, and the storm nearer than this says by a few in a hundred.
SPEED_OF_SOUND_M_S = 343.0
# [lightning_30_30]
NEAR_WITHIN_S = 30.0
WAIT_AFTER_THUNDER_S = 30.0 * 60.0
RULE_SOURCE = "lightning_30_30"
RULE_WORDS = (
    "Count the seconds from the flash to its thunder. Thirty or fewer: the storm is within about 10 km (6 mi), and its "
    "next flash can reach you. Be off the line and the open rock by then.",
    "After the last thunder you hear, wait thirty minutes before you go back. Thunder again: the thirty minutes begin "
    "anew.",
    "The rule warns late: the first flash of a storm has no thunder before it, and wind, water and ridges hide "
    "thunder. On a cable that leads up the whole slab, leave when clouds grow tall.",
)


def flash_distance_m(flash_to_thunder_s: npt.ArrayLike) -> FloatArray:
    """How far off a flash was [m], same shape.

    Equation: 343 t. Validity: t of 0 or more, else NaN; thunder is seldom heard beyond 25 km. Sources: lightning_30_30.
    """
    heard_s = np.asarray(flash_to_thunder_s, float)
    return np.where(heard_s >= 0.0, heard_s * SPEED_OF_SOUND_M_S, np.nan)


def storm_is_near(flash_to_thunder_s: npt.ArrayLike) -> npt.NDArray[np.bool_]:
    """Thunder within thirty seconds of the flash, same shape. A time that is not known counts as near.

    Sources: lightning_30_30.
    """
    return ~(np.asarray(flash_to_thunder_s, float) > NEAR_WITHIN_S)


def wait_ends_clock_s(last_thunder_clock_s: npt.ArrayLike) -> FloatArray:
    """When thirty minutes have passed since the last thunder [s, the same clock]. Sources: lightning_30_30."""
    return np.asarray(last_thunder_clock_s, float) + WAIT_AFTER_THUNDER_S
