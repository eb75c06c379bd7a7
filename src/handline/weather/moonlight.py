"""How bright the moon is on the ground."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.weather.sunshine import FloatArray, air_mass


def moonlight_lx(altitude_deg: npt.ArrayLike, lit_share: npt.ArrayLike) -> FloatArray:
    """Light of the moon on level ground under a clear sky.

    m = -12.73 + 0.026 |a| + 4e-9 a^4; E = 10.764 x 10^(-0.4 (m + 16.57 + 0.172 X)) sin(h)
    X = 1 / (sin(h) + 0.50572 (h + 6.07995)^-1.6364), lit share = (1 + cos(a)) / 2

    a is the phase angle and h the altitude, in degrees; X the air in the way.

    Parameters
    ----------
    altitude_deg : array_like
        Of the moon's centre [deg].
    lit_share : array_like
        0 to 1 [1].

    Returns
    -------
    array, of the shape that the arguments broadcast to
        [lx]: zero with the moon under the horizon, NaN where the share is not from 0 to 1. A full moon overhead gives
        about a quarter; stars alone some thousandth.

    Validity: within a third or so, in clear air; less sure below 5 degrees and near new moon.
    Sources: krisciunas_schaefer_1991, kasten_young_1989.
    """
    altitude, share = np.broadcast_arrays(np.asarray(altitude_deg, float), np.asarray(lit_share, float))
    phase_deg = np.degrees(np.arccos(2.0 * np.where((share >= 0.0) & (share <= 1.0), share, np.nan) - 1.0))
    up_deg = np.maximum(altitude, 0.0)
    upward = np.sin(np.radians(up_deg))
    magnitude = -12.73 + 0.026 * phase_deg + 4e-9 * phase_deg**4
    return np.asarray(10.764 * 10.0 ** (-0.4 * (magnitude + 16.57 + 0.172 * air_mass(up_deg))) * upward)
