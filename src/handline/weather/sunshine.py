"""Sunshine on a plane: what comes through a clear sky, and what clouds leave of it."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

# Beam of the sun through clear air: 1353 x 0.7^(M^0.678) W/m2, M the air mass. [meinel_1976]
_BEAM_W_M2, _CLEAR_SHARE, _AIR_MASS_POWER = 1353.0, 0.7, 0.678
# Air mass by the sun's altitude a in degrees: 1 / (sin a + 0.50572 (a + 6.07995)^-1.6364). [kasten_young_1989]
_BEND, _BEND_DEG, _BEND_POWER = 0.50572, 6.07995, -1.6364
# Sun and sky on level ground: 1098 sin a exp(-0.059 / sin a) W/m2. [haurwitz_1945]
_LEVEL_W_M2, _LEVEL_LOSS = 1098.0, 0.059
# Under this the sines of the formulas are too near 0 to divide by; what shines then is under 1e-100 W/m2.
_LOWEST_DEG = 0.01
# What cloud N leaves of it: 1 - 0.75 N^3.4; of that the beam has a share that falls as 1 - N^2. [kasten_czeplak_1980]
_CLOUD_TAKES, _CLOUD_POWER, _BEAM_POWER = 0.75, 3.4, 2.0


def clear_beam_W_m2(sun_altitude_deg: npt.ArrayLike) -> FloatArray:
    """Clear-sky irradiance square to the sun's beam [W/m2], same shape; 0 with the sun down.

    Equations: M = 1 / (sin a + 0.50572 (a + 6.07995)^-1.6364); B = 1353 x 0.7^(M^0.678). Validity: a to 90 deg, NaN
    outside -90 to 90; at the height of the sea. Sources: meinel_1976, kasten_young_1989.
    """
    altitude = _altitude(sun_altitude_deg)
    up = np.maximum(altitude, 0.0)
    beam = _BEAM_W_M2 * _CLEAR_SHARE ** (air_mass(up) ** _AIR_MASS_POWER)
    return np.where(altitude > 0.0, beam, altitude * 0.0)


def air_mass(altitude_deg: FloatArray) -> FloatArray:
    """The air that light from this height in the sky comes through, as times that from straight above, same shape.

    Equation: M = 1 / (sin a + 0.50572 (a + 6.07995)^-1.6364). Validity: a from 0 to 90 deg. Sources: kasten_young_1989.
    """
    bend: FloatArray = _BEND * (altitude_deg + _BEND_DEG) ** _BEND_POWER
    return 1.0 / (np.sin(np.radians(altitude_deg)) + bend)


def clear_level_W_m2(sun_altitude_deg: npt.ArrayLike) -> FloatArray:
    """Clear-sky irradiance of sun and sky on level ground [W/m2], same shape; 0 with the sun down.

    Equation: G = 1098 sin a exp(-0.059 / sin a). Validity: NaN outside -90 to 90 deg. Sources: haurwitz_1945.
    """
    altitude = _altitude(sun_altitude_deg)
    sine = np.sin(np.radians(np.maximum(altitude, _LOWEST_DEG)))
    return np.where(altitude > 0.0, _LEVEL_W_M2 * sine * np.exp(-_LEVEL_LOSS / sine), altitude * 0.0)


def sun_on_plane_W_m2(
    sun_altitude_deg: npt.ArrayLike,
    incidence_cos: npt.ArrayLike,
    shines_share: npt.ArrayLike,
    slope_deg: float,
    cloud_share: npt.ArrayLike,
) -> FloatArray:
    """Irradiance on a sloping plane by hour.

    Equations, B beam and G level irradiance of the clear sky, N cloud: beam b = B (1 - 0.75 N^3.4)(1 - N^2), sky
    d = G (1 - 0.75 N^3.4) - b sin a, and on the plane b max(cos i, 0) q + d (1 + cos slope) / 2.

    Parameters
    ----------
    sun_altitude_deg, incidence_cos, shines_share : arrays, shape (hours,)
        Altitude of the sun's centre; cosine of the angle i between the sun and the plane's outward normal, below 0 with
        the sun behind it; q, the share of the hour in which nothing on the horizon hides the sun. Best of mid-hour.
    slope_deg : float
        Of the plane, 0 to 90.
    cloud_share : array, shape (members, hours) or (hours,)

    Returns
    -------
    array, shape of ``cloud_share``
        [W/m2]. NaN where an input is NaN or out of its range: altitude -90 to 90, cosine -1 to 1, shares 0 to 1.

    Notes
    -----
    Made for drying, where less is careful: the air is that above the sea, though high air lets more through; nothing
    comes back from ground or snow; the horizon hides none of the sky. The source of the cloud gives the sky a share of
    0.3 even when it is clear; here that share is what the two clear-sky formulas leave. With the sun under about two
    degrees they leave less than nothing; there the beam is cut to what falls on level ground.

    Sources
    -------
    meinel_1976, kasten_young_1989, haurwitz_1945, kasten_czeplak_1980.
    """
    cloud = _within(cloud_share, 0.0, 1.0)
    facing = np.maximum(_within(incidence_cos, -1.0, 1.0), 0.0) * _within(shines_share, 0.0, 1.0)
    through = 1.0 - _CLOUD_TAKES * cloud**_CLOUD_POWER
    up_deg = np.maximum(_altitude(sun_altitude_deg), _LOWEST_DEG)
    up_sine = np.sin(np.radians(up_deg))
    clear_share = np.minimum(clear_beam_W_m2(up_deg) * up_sine / clear_level_W_m2(up_deg), 1.0)
    beam_share = clear_share * (1.0 - cloud**_BEAM_POWER)
    level = clear_level_W_m2(sun_altitude_deg) * through
    return level * (beam_share / up_sine * facing + (1.0 - beam_share) * sky_view_share(slope_deg))


def sky_view_share(slope_deg: npt.ArrayLike) -> FloatArray:
    """Share of the sky's dome that a plane sees, (1 + cos slope) / 2, same shape; NaN outside 0 to 90 deg."""
    return (1.0 + np.cos(np.radians(_within(slope_deg, 0.0, 90.0)))) / 2.0


def _altitude(sun_altitude_deg: npt.ArrayLike) -> FloatArray:
    return _within(sun_altitude_deg, -90.0, 90.0)


def _within(values: npt.ArrayLike, low: float, high: float) -> FloatArray:
    given = np.asarray(values, float)
    return np.where((given >= low) & (given <= high), given, np.nan)
