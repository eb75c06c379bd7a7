"""Times as a forecast writes them: ISO 8601 with an offset, or the local time of a zone."""

from __future__ import annotations

import datetime as dt
import re
from zoneinfo import ZoneInfo

from handline.errors import InputError, Problem

TIME_WORDS = "a date and a time of day such as 2030-07-04T06:00, with -06:00 or Z after it, or nothing for local time"
YEARS = (1970, 2199)

_TIME = re.compile(
    r"(?P<date>\d{4}-\d\d-\d\d)[T ](?P<time>\d\d:\d\d(?::\d\d(?:\.\d{1,6})?)?)\s?(?P<offset>Z|z|[+-]\d\d(?::?\d\d)?)?",
    re.ASCII,
)
_DATE_ONLY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


def forecast_zone(name: str) -> ZoneInfo:
    """The zone of local times. Raises InputError."""
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, LookupError):
        raise InputError(
            Problem("unknown time zone", read=name or "nothing", allowed='an IANA name, such as "America/Denver"')
        ) from None


def read_time(text: str) -> dt.datetime | Problem:
    """The moment in a text, without a zone where the text has no offset; or what is wrong with it."""
    match = _TIME.fullmatch(text.strip())
    if match is None:
        what = "no time of day" if _DATE_ONLY.fullmatch(text.strip()) else "this time cannot be read"
        return Problem(what if text.strip() else "no time", read=text.strip()[:40] or None, allowed=TIME_WORDS)
    offset = (match["offset"] or "").upper()
    try:
        moment = dt.datetime.fromisoformat(f"{match['date']}T{match['time']}{offset}")
    except ValueError as error:
        # Its own words name the part: "hour must be in 0..23", "day is out of range for month".
        return Problem(f"there is no such time: {error}", read=text.strip(), allowed=TIME_WORDS)
    if not YEARS[0] <= moment.year <= YEARS[1]:
        return Problem("this year is not believed", read=text.strip(), allowed=f"{YEARS[0]} to {YEARS[1]}")
    return moment


def seconds(moment: dt.datetime, zone: ZoneInfo) -> float | Problem:
    """A moment in s after 1970-01-01 00:00 UTC; local times that come twice or never are no moment."""
    if moment.tzinfo is not None:
        return moment.timestamp()
    first, second = (moment.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    before, after = first.utcoffset(), second.utcoffset()
    assert before is not None  # a ZoneInfo always knows
    assert after is not None
    if before == after:
        return first.timestamp()
    if before < after:
        what = f"this local time never comes in {zone.key}: watches are put forward over it"
    else:
        what = f"this local time comes twice in {zone.key}, when watches are put back"
    return Problem(
        what,
        read=f"{moment:%Y-%m-%d %H:%M}",
        mend=f"write all times with their offset: {moment:%Y-%m-%dT%H:%M}{_offset(before)} before the change, "
        f"{_offset(after)} after it",
    )


def _offset(offset: dt.timedelta) -> str:
    minutes = round(offset.total_seconds() / 60.0)
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
