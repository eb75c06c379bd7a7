"""When it is dark, and when the moon is up, over several days on one clock."""

from __future__ import annotations

import datetime as dt

from handline.sky.curve import FloatArray, sample
from handline.sky.ephemeris import check_date, open_sky
from handline.sky.events import CIVIL_ALTITUDE_DEG
from handline.sky.zones import DAY_S, HALF_DAY_S, midnight_utc_s


def dark_spans(latitude_deg: float, longitude_deg: float, date: dt.date, timezone: str, days: int = 3) -> FloatArray:
    """When it is darker than civil twilight.

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
        Start and end of each span [s after midnight of ``date``], in order, from noon of the day before to noon after
        the last night, and cut there. Polar night is one long span; where it does not get dark there is none.

    Raises
    ------
    InputError
        A place that is not on Earth, a date out of reach, an unknown time zone.

    Validity: as ``day_light``. Moonlight does not count as light. Sources: usno_rise_set, jpl_de421.
    """
    check_date(date)
    midnight_s = midnight_utc_s(date, timezone)
    with open_sky(latitude_deg, longitude_deg) as sky:
        sun = sample(sky.sun_altitude_deg, midnight_s - HALF_DAY_S, midnight_s + days * DAY_S + HALF_DAY_S)
        return sun.spans_below(CIVIL_ALTITUDE_DEG) - midnight_s


def moon_up_spans(latitude_deg: float, longitude_deg: float, date: dt.date, timezone: str, days: int = 3) -> FloatArray:
    """When some of the moon is above a level horizon; all else as ``dark_spans``. Sources: usno_rise_set, jpl_de421."""
    check_date(date)
    midnight_s = midnight_utc_s(date, timezone)
    with open_sky(latitude_deg, longitude_deg) as sky:
        below = sample(
            lambda time_s: -sky.moon_limb_deg(time_s),
            midnight_s - HALF_DAY_S,
            midnight_s + days * DAY_S + HALF_DAY_S,
        )
        return below.spans_below(0.0) - midnight_s
