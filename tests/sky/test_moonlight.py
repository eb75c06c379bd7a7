"""Dark hours that the moon lights."""

from __future__ import annotations

import datetime as dt

import ephem
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sky.curve import FloatArray
from handline.sky.moonlight import MOONLIT_ALTITUDE_DEG, MOONLIT_SHARE, in_both, moonlit_spans
from handline.sky.zones import midnight_utc_s

PLACE, ZONE = (46.62, -113.41), "America/Denver"


def within(clock_s: FloatArray, spans_s: FloatArray) -> FloatArray:
    return np.any((clock_s[:, None] >= spans_s[:, 0]) & (clock_s[:, None] < spans_s[:, 1]), axis=1)


@pytest.mark.parametrize(
    ("latitude_deg", "date"),
    [(46.62, dt.date(2027, 7, day)) for day in range(1, 31, 4)]
    + [(70.0, dt.date(2027, 12, 12)), (-42.05, dt.date(2027, 1, 20)), (80.0, dt.date(2027, 6, 20))],
)
def test_moonlit_hours_agree_with_another_ephemeris(latitude_deg: float, date: dt.date) -> None:
    """Referee: ephem, every ten minutes; 0.003 degrees and 0.002 of the disc around the limits may go either way."""
    spans_s = moonlit_spans(latitude_deg, 15.0, date, "UTC")
    place = ephem.Observer()
    place.lat, place.lon, place.elevation, place.pressure = str(latitude_deg), "15", 0.0, 0.0
    midnight_s = midnight_utc_s(date, "UTC")
    clock_s = np.arange(-43_200.0 + 60.0, 3.5 * 86_400.0, 600.0)
    off = np.empty((3, clock_s.size))
    for index, at_s in enumerate(clock_s):
        place.date = ephem.Date("1970/1/1") + (midnight_s + at_s) / 86_400.0
        sun, moon = ephem.Sun(place), ephem.Moon(place)
        centre_deg = np.degrees(float(moon.alt))
        off[:, index] = -6.0 - np.degrees(float(sun.alt)), centre_deg - 10.0, moon.phase / 100.0 - 0.6
    clear = (np.abs(off[0]) > 0.003) & (np.abs(off[1]) > 0.003) & (np.abs(off[2]) > 0.002)
    assert np.array_equal(within(clock_s, spans_s)[clear], np.all(off > 0.0, axis=0)[clear])
    assert np.mean(clear) > 0.95
    assert np.all(np.diff(spans_s.ravel()) > 0.0)


def test_limits_are_the_stated_ones() -> None:
    assert (MOONLIT_ALTITUDE_DEG, MOONLIT_SHARE) == (10.0, 0.6)


def test_a_new_moon_lights_nothing_and_a_full_one_the_night() -> None:
    assert moonlit_spans(*PLACE, dt.date(2027, 7, 4), ZONE, days=1).shape == (0, 2)
    assert len(moonlit_spans(*PLACE, dt.date(2027, 7, 18), ZONE, days=1)) == 2


@given(edges=st.lists(st.floats(0.0, 100.0), min_size=8, max_size=8, unique=True))
def test_both_is_where_each_is(edges: list[float]) -> None:
    first = np.sort(edges[:4]).reshape(2, 2)
    second = np.sort(edges[4:]).reshape(2, 2)
    both, at = in_both(first, second), np.linspace(0.0, 100.0, 501)
    assert np.array_equal(within(at, both), within(at, first) & within(at, second))
    assert in_both(first, np.empty((0, 2))).shape == (0, 2)


def test_dates_out_of_reach_are_refused() -> None:
    with pytest.raises(InputError, match="no sun and moon"):
        moonlit_spans(*PLACE, dt.date(2051, 6, 1), ZONE)
