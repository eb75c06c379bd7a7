"""Whether the moon lights the walk: the dark hours in which it stands high enough and is lit enough to see the way."""

from __future__ import annotations

import datetime as dt

import numpy as np

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

    Parameters, Returns and Raises as ``dark_spans``.

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


def in_both(first: FloatArray, second: FloatArray) -> FloatArray:
    """Where spans of the one overlap spans of the other, in order, shape (k, 2)."""
    starts = np.maximum(first[:, None, 0], second[None, :, 0]).ravel()
    ends = np.minimum(first[:, None, 1], second[None, :, 1]).ravel()
    return np.column_stack((starts, ends))[starts < ends]
