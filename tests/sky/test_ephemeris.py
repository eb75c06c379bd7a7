"""Sun and moon as seen from a place: the definitions of the events, to their last digit."""

from __future__ import annotations

import datetime as dt

import ephem
import numpy as np
import pytest

from handline.sky.ephemeris import open_sky
from handline.sky.events import day_light
from handline.sky.zones import midnight_utc_s

PLACE = (46.62, -113.41)
DATE, ZONE = dt.date(2027, 7, 17), "America/Denver"


def test_sun_stands_at_each_event_where_the_definition_says() -> None:
    """-0.833 degrees at rise and set, -6 at civil twilight (source: usno_rise_set)."""
    light = day_light(*PLACE, DATE, ZONE)
    clocks_s = (light.civil_dawn_clock_s, light.sunrise_clock_s, light.sunset_clock_s, light.civil_dusk_clock_s)
    with open_sky(*PLACE) as sky:
        altitude_deg = sky.sun_altitude_deg(midnight_utc_s(DATE, ZONE) + np.array(clocks_s))
    assert altitude_deg == pytest.approx([-6.0, -0.833, -0.833, -6.0], abs=2e-5, rel=0)


def test_moon_stands_at_its_events_where_the_definition_says() -> None:
    """Upper limb 34 minutes of arc below the horizon (source: usno_rise_set); radius 1,737.4 km (from memory)."""
    light = day_light(*PLACE, DATE, ZONE)
    times_s = midnight_utc_s(DATE, ZONE) + np.array([light.moonset_clock_s, light.moonrise_clock_s])
    with open_sky(*PLACE) as sky:
        altitude, _, distance = sky._seen(sky._moon, times_s).altaz()
        limb_deg = sky.moon_limb_deg(times_s)
    half_width_deg = np.degrees(np.arcsin(1737.4 / distance.km))
    assert limb_deg == pytest.approx([0.0, 0.0], abs=2e-5)
    assert altitude.degrees + half_width_deg == pytest.approx([-34.0 / 60.0] * 2, abs=2e-5, rel=0)


def test_hour_angle_is_zero_at_noon_and_turns_to_the_west() -> None:
    light = day_light(*PLACE, DATE, ZONE)
    noon_s = midnight_utc_s(DATE, ZONE) + light.noon_clock_s
    with open_sky(*PLACE) as sky:
        hour_angle_deg = sky.sun_hour_angle_deg(noon_s + np.array([-3600.0, 0.0, 3600.0]))
    assert hour_angle_deg == pytest.approx([-15.0, 0.0, 15.0], abs=0.005)
    assert hour_angle_deg[1] == pytest.approx(0.0, abs=1e-5)


def test_altitudes_agree_with_another_ephemeris() -> None:
    """Referee: ephem, to 0.002 degrees (8 s of arc), over a year and both hemispheres."""
    times_s = midnight_utc_s(dt.date(2027, 1, 1), "UTC") + np.arange(0.0, 365.0, 9.7) * 86_400.0
    for latitude_deg in (-62.0, -42.05, 0.0, 46.62, 79.0):
        place = ephem.Observer()
        place.lat, place.lon, place.elevation, place.pressure = str(latitude_deg), "20", 0.0, 0.0
        expected_deg = np.empty((2, times_s.size))
        for index, time_s in enumerate(times_s):
            place.date = ephem.Date("1970/1/1") + time_s / 86_400.0
            sun, moon = ephem.Sun(place), ephem.Moon(place)
            expected_deg[:, index] = np.degrees([float(sun.alt), float(moon.alt) + float(moon.radius)])
        with open_sky(latitude_deg, 20.0) as sky:
            assert sky.sun_altitude_deg(times_s) == pytest.approx(expected_deg[0], abs=0.002)
            assert sky.moon_limb_deg(times_s) - 34.0 / 60.0 == pytest.approx(expected_deg[1], abs=0.002)
