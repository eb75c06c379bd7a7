"""Time zones and the clock of a date."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sky.zones import midnight_utc_s, nautical_zone, offset_change_s, utc_offset_s


@pytest.mark.parametrize(
    ("longitude_deg", "zone"),
    [
        (-113.41, "Etc/GMT+8"),
        (-105.0, "Etc/GMT+7"),
        (146.3, "Etc/GMT-10"),
        (112.55, "Etc/GMT-8"),
        (3.0, "Etc/GMT"),
        (-180.0, "Etc/GMT+12"),
    ],
)
def test_zone_of_a_longitude(longitude_deg: float, zone: str) -> None:
    """Fifteen degrees an hour (source: nautical_zones); the sign of the name is the other way round (IANA names)."""
    assert nautical_zone(longitude_deg) == zone


@given(longitude_deg=st.floats(-180.0, 180.0))
@settings(deadline=None)
def test_zone_of_a_longitude_is_within_half_an_hour_of_the_sun(longitude_deg: float) -> None:
    offset_s = utc_offset_s(dt.date(2026, 7, 1), nautical_zone(longitude_deg))
    assert abs(offset_s - longitude_deg * 240.0) <= 1800.0 + 1e-6


@pytest.mark.parametrize("longitude_deg", [180.05, -180.05, math.nan])
def test_not_a_longitude(longitude_deg: float) -> None:
    with pytest.raises(InputError, match="not a longitude"):
        nautical_zone(longitude_deg)


@pytest.mark.parametrize(
    ("date", "zone", "offset_h", "change_h"),
    [
        (dt.date(2026, 1, 15), "America/Denver", -7.0, 0.0),
        (dt.date(2026, 7, 15), "America/Denver", -6.0, 0.0),
        (dt.date(2026, 3, 8), "America/Denver", -6.0, 1.0),  # 02:00 is missing
        (dt.date(2026, 11, 1), "America/Denver", -7.0, -1.0),  # 01:00 comes twice
        (dt.date(2026, 10, 4), "Australia/Lord_Howe", 11.0, 0.5),  # half an hour only
        (dt.date(2026, 1, 15), "Asia/Kathmandu", 5.75, 0.0),
        (dt.date(2026, 1, 15), "Australia/Adelaide", 10.5, 0.0),
        (dt.date(2018, 11, 4), "America/Sao_Paulo", -2.0, 1.0),  # midnight itself is missing
    ],
)
def test_offset_is_that_of_noon(date: dt.date, zone: str, offset_h: float, change_h: float) -> None:
    """Offsets as in the IANA time zone database."""
    assert utc_offset_s(date, zone) == offset_h * 3600.0
    assert offset_change_s(date, zone) == change_h * 3600.0


@given(
    date=st.dates(dt.date(1972, 1, 1), dt.date(2037, 12, 31)),
    zone=st.sampled_from(["America/Denver", "Australia/Hobart", "Asia/Kolkata", "Pacific/Chatham", "Africa/Cairo"]),
)
@settings(deadline=None)
def test_clock_is_the_watch_at_noon(date: dt.date, zone: str) -> None:
    noon = dt.datetime.combine(date, dt.time(12), ZoneInfo(zone))
    assert noon.timestamp() - midnight_utc_s(date, zone) == 43_200.0


@pytest.mark.parametrize("name", ["America/Denvr", "", "../etc/passwd", "America", "Mars/Phobos\0"])
def test_unknown_zone_is_refused(name: str) -> None:
    with pytest.raises(InputError, match="unknown time zone"):
        utc_offset_s(dt.date(2026, 1, 1), name)


def test_near_miss_of_a_zone_is_suggested() -> None:
    with pytest.raises(InputError, match='did you mean "America/Denver"'):
        utc_offset_s(dt.date(2026, 1, 1), "America/Denvr")
