"""Time zones, and the one clock of a date.

A clock time is in seconds after 00:00 of the date, counted with the UTC offset in force at 12:00 of that date. So it
runs evenly, past 24:00 and below zero, and it is what a watch shows, but for one thing: where watches are changed, what
lies on the other side of the change from that noon is off by the change. ``offset_change_s`` tells whether a date has
one.
"""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from handline.errors import InputError, Problem, near_miss

DAY_S = 86400.0
HALF_DAY_S = DAY_S / 2.0

_DEGREES_AN_HOUR = 15.0


def time_zone(name: str) -> ZoneInfo:
    """The zone with this IANA name. Raises InputError with the near miss."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        guess = near_miss(name, sorted(available_timezones()))
        mend = f'did you mean "{guess}"?' if guess else "use the largest city of the zone, or leave it out"
        raise InputError(
            Problem(
                what="unknown time zone",
                read=name or "nothing",
                allowed='an IANA name, such as "America/Denver" or "Australia/Hobart"',
                mend=mend,
            )
        ) from None


def utc_offset_s(date: dt.date, timezone: str) -> float:
    """How far the clock of a date is ahead of UTC: the offset in force at 12:00 [s]. Raises InputError."""
    return _offset_s(dt.datetime.combine(date, dt.time(12), time_zone(timezone)))


def offset_change_s(date: dt.date, timezone: str) -> float:
    """By how much the watch is put forward (above 0) or back from 00:00 to 24:00 of a date [s]. Raises InputError."""
    midnight = dt.datetime.combine(date, dt.time(0), time_zone(timezone))
    return _offset_s(midnight + dt.timedelta(days=1)) - _offset_s(midnight)


def midnight_utc_s(date: dt.date, timezone: str) -> float:
    """Where the clock of a date is zero [s after 1970-01-01 00:00 UTC]. Raises InputError."""
    midnight_utc = dt.datetime.combine(date, dt.time(0), dt.UTC)
    return midnight_utc.timestamp() - utc_offset_s(date, timezone)


def nautical_zone(longitude_deg: float) -> str:
    """The zone of a longitude where none is given.

    offset[h] = longitude / 15, to the nearest whole hour

    Parameters
    ----------
    longitude_deg : float
        East is positive [deg].

    Returns
    -------
    str
        An IANA name. Its sign is the other way round: "Etc/GMT+7" is seven hours behind UTC.

    Raises
    ------
    InputError
        Not a longitude from -180 to 180.

    Validity: a guess. Law sets clocks, and often an hour or two away from this; summer time is not in it.
    Sources: nautical_zones.
    """
    if not -180.0 <= longitude_deg <= 180.0:
        raise InputError(
            Problem("not a longitude", read=f"{longitude_deg:g}", allowed="-180 to 180 degrees, east positive")
        )
    hours = round(longitude_deg / _DEGREES_AN_HOUR)
    return f"Etc/GMT{-hours:+d}" if hours else "Etc/GMT"


def _offset_s(moment: dt.datetime) -> float:
    offset = moment.utcoffset()
    assert offset is not None  # a ZoneInfo always knows
    return offset.total_seconds()
