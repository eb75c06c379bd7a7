"""Whether the moon lights the walk: the dark hours in which it stands high enough and is lit enough to see the way."""

from __future__ import annotations

import datetime as dt

import numpy as np
import numpy.typing as npt

from handline.sky.curve import FloatArray, sample
from handline.sky.ephemeris import check_date, open_sky
from handline.sky.events import CIVIL_ALTITUDE_DEG
from handline.sky.sky_table import tabulate
from handline.sky.zones import DAY_S, HALF_DAY_S, midnight_utc_s

MOONLIT_ALTITUDE_DEG = 10.0
"""The moon lights a path from this height over a level horizon. Sources: practice_moonlight."""
MOONLIT_SHARE = 0.6
"""And from this share of its disc lit: some two nights past the half. Sources: practice_moonlight."""


def moonlit_spans(latitude_deg: float, longitude_deg: float, date: dt.date, timezone: str, days: int = 3) -> FloatArray:
    """When it is darker than civil twilight and the moon is high and lit enough to walk by on open ground.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        North and east are positive [deg].
    date : datetime.date
        The local date whose midnight is zero on the clock.
    timezone : str
        IANA name.
    days : int
        How many nights after the one before ``date``.

    Returns
    -------
    array, shape (k, 2)
        Start and end of each span [s after midnight of ``date``], in order; from and to as ``dark_spans``.

    Raises
    ------
    InputError
        A place that is not on Earth, a date out of reach, an unknown time zone.

    Validity: a clear sky. Clouds, trees and mountains before the moon are not in it.
    Sources: practice_moonlight, usno_rise_set, jpl_de421.
    """
    check_date(date)
    midnight_s = midnight_utc_s(date, timezone)
    start_s, end_s = midnight_s - HALF_DAY_S, midnight_s + days * DAY_S + HALF_DAY_S
    with open_sky(latitude_deg, longitude_deg) as sky:
        table = tabulate(sky, latitude_deg, start_s, end_s)
        dark = sample(table.sun_altitude_deg, start_s, end_s).spans_below(CIVIL_ALTITUDE_DEG)
        low = sample(lambda time_s: -table.moon_altaz_deg(time_s)[0], start_s, end_s)
        dull = sample(lambda time_s: -sky.moon_lit_shares(time_s), start_s, end_s)
        high, bright = low.spans_below(-MOONLIT_ALTITUDE_DEG), dull.spans_below(-MOONLIT_SHARE)
    return in_both(in_both(dark, high), bright) - midnight_s


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
    air = 1.0 / (upward + 0.50572 * (up_deg + 6.07995) ** -1.6364)
    magnitude = -12.73 + 0.026 * phase_deg + 4e-9 * phase_deg**4
    return np.asarray(10.764 * 10.0 ** (-0.4 * (magnitude + 16.57 + 0.172 * air)) * upward)


def in_both(first: FloatArray, second: FloatArray) -> FloatArray:
    """Where spans of the one overlap spans of the other, in order, shape (k, 2)."""
    starts = np.maximum(first[:, None, 0], second[None, :, 0]).ravel()
    ends = np.minimum(first[:, None, 1], second[None, :, 1]).ravel()
    return np.column_stack((starts, ends))[starts < ends]
