"""Dark spans and moonlit spans over several days."""

from __future__ import annotations

import datetime as dt

import ephem
import numpy as np
import pytest

from handline.errors import InputError
from handline.sky.events import day_light
from handline.sky.nights import dark_spans, moon_up_spans
from handline.sky.zones import midnight_utc_s

EPHEM_ZERO = ephem.Date("1970/1/1")


def test_nights_lie_between_dusk_and_dawn() -> None:
    date, day = dt.date(2027, 7, 17), dt.timedelta(days=1)
    spans_s = dark_spans(46.62, -113.41, date, "America/Denver")
    assert spans_s.shape == (4, 2)
    for night in range(4):
        evening, morning = (
            day_light(46.62, -113.41, date + (night + shift) * day, "America/Denver") for shift in (-1, 0)
        )
        assert spans_s[night, 0] == pytest.approx(evening.civil_dusk_clock_s + (night - 1) * 86400.0, abs=0.1)
        assert spans_s[night, 1] == pytest.approx(morning.civil_dawn_clock_s + night * 86400.0, abs=0.1)


@pytest.mark.parametrize("latitude_deg", [-89.0, -78.0, -66.0, 62.0, 67.0, 70.0, 80.0, 90.0])
@pytest.mark.parametrize("date", [dt.date(2026, month, 13) for month in (2, 3, 5, 7, 10, 12)])
def test_dark_agrees_with_another_ephemeris_near_the_poles(latitude_deg: float, date: dt.date) -> None:
    """Referee: ephem, every ten minutes; 0.002 degrees around -6 may go either way."""
    spans_s = dark_spans(latitude_deg, 15.0, date, "UTC")
    place = ephem.Observer()
    place.lat, place.lon, place.elevation, place.pressure = str(latitude_deg), "15", 0.0, 0.0
    sun, midnight_s = ephem.Sun(), midnight_utc_s(date, "UTC")
    clocks_s = np.arange(-43_200.0 + 60.0, 3.5 * 86_400.0, 600.0)
    altitude_deg = np.empty_like(clocks_s)
    for index, clock_s in enumerate(clocks_s):
        place.date = EPHEM_ZERO + (midnight_s + clock_s) / 86400.0
        sun.compute(place)
        altitude_deg[index] = np.degrees(float(sun.alt))
    dark = np.any((clocks_s[:, None] >= spans_s[:, 0]) & (clocks_s[:, None] < spans_s[:, 1]), axis=1)
    clear = np.abs(altitude_deg + 6.0) > 0.002
    assert np.array_equal(dark[clear], altitude_deg[clear] < -6.0)


def test_polar_night_is_one_span_and_midnight_sun_none() -> None:
    assert dark_spans(80.0, 0.0, dt.date(2027, 12, 17), "UTC").tolist() == [[-43_200.0, 3.5 * 86_400.0]]
    assert dark_spans(80.0, 0.0, dt.date(2027, 6, 17), "UTC").shape == (0, 2)


def test_days_set_the_length() -> None:
    assert dark_spans(-42.05, 146.3, dt.date(2027, 1, 16), "Australia/Hobart", days=1).shape == (2, 2)


def test_moon_spans_agree_with_the_day() -> None:
    light = day_light(46.62, -113.41, dt.date(2027, 7, 17), "America/Denver")
    spans_s = moon_up_spans(46.62, -113.41, dt.date(2027, 7, 17), "America/Denver")
    assert light.moonset_clock_s == pytest.approx(spans_s[0, 1], abs=0.1)
    assert light.moonrise_clock_s == pytest.approx(spans_s[1, 0], abs=0.1)
    assert np.all(np.diff(spans_s.ravel()) > 0.0)


def test_dates_out_of_reach_are_refused() -> None:
    for spans in (dark_spans, moon_up_spans):
        with pytest.raises(InputError, match="no sun and moon"):
            spans(46.0, -113.0, dt.date(2051, 6, 1), "UTC")
