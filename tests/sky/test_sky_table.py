"""The hourly table of sun and moon against the ephemeris it was made from."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.sky.ephemeris import open_sky
from handline.sky.sky_table import altaz_deg, tabulate

START_S = 1_800_000_000.0
PLACES = [(46.62, -113.41), (-42.05, 146.3), (0.0, 180.0), (70.0, 10.0), (-89.9, 0.0), (90.0, 0.0)]


@pytest.mark.parametrize("place", PLACES)
def test_what_lies_between_the_hours_is_what_the_ephemeris_says(place: tuple[float, float]) -> None:
    """To 0.02 seconds of arc: a thousandth of a second of time, and a half for the sun's."""
    time_s = START_S + np.random.default_rng(2).uniform(0.0, 20.0 * 86_400.0, 400)
    with open_sky(*place) as sky:
        table = tabulate(sky, place[0], START_S, START_S + 20.0 * 86_400.0)
        altitude_deg, azimuth_deg = sky.sun_altaz_deg(time_s)
        found_altitude_deg, found_azimuth_deg = table.sun_altaz_deg(time_s)
        assert found_altitude_deg == pytest.approx(altitude_deg, abs=1e-6)
        assert table.sun_altitude_deg(time_s) == pytest.approx(sky.sun_altitude_deg(time_s), abs=1e-6)
        off_deg = (found_azimuth_deg - azimuth_deg + 180.0) % 360.0 - 180.0
        assert off_deg * np.cos(np.radians(altitude_deg)) == pytest.approx(np.zeros(400), abs=2e-6)
        turned_deg = (table.sun_hour_angle_deg(time_s) - sky.sun_hour_angle_deg(time_s) + 180.0) % 360.0 - 180.0
        assert turned_deg == pytest.approx(np.zeros(400), abs=2e-6)
        assert table.moon_limb_deg(time_s) == pytest.approx(sky.moon_limb_deg(time_s), abs=6e-6)
        moon_deg = sky._seen(sky._moon, time_s).altaz()
        assert table.moon_altaz_deg(time_s)[0] == pytest.approx(moon_deg[0].degrees, abs=6e-6)
        assert table.moon_altaz_deg(time_s)[1][:5] == pytest.approx(moon_deg[1].degrees[:5], abs=0.01)


def test_shapes_are_kept_and_ends_are_on_the_table() -> None:
    with open_sky(46.62, -113.41) as sky:
        table = tabulate(sky, 46.62, START_S + 17.0, START_S + 3600.0, moon=False)
    time_s = START_S + np.array([[17.0, 100.0], [200.0, 3600.0]])
    assert table.sun_altitude_deg(time_s).shape == (2, 2)
    assert table.sun_altitude_deg(np.empty(0)).shape == (0,)
    for beside_s in (-3600.0, 3 * 3600.0):
        with pytest.raises(ValueError, match="not on the table"):
            table.sun_altitude_deg(START_S + np.array([17.0, beside_s * 2.0]))
    with pytest.raises(ValueError, match="not on the table"):
        table.moon_limb_deg(time_s)


@pytest.mark.parametrize(
    ("latitude_deg", "hour_angle_deg", "declination_deg", "altitude_deg", "azimuth_deg"),
    [
        (46.0, 0.0, 20.0, 64.0, 180.0),
        (-46.0, 0.0, 20.0, 24.0, 0.0),
        (0.0, 90.0, 0.0, 0.0, 270.0),
        (0.0, -90.0, 10.0, 0.0, 80.0),
        (90.0, 45.0, 23.0, 23.0, 225.0),
        (40.0, 180.0, 60.0, 10.0, 0.0),
        (30.0, -60.0, 0.0, 25.65890627, 106.10211376),
    ],
)
def test_altitude_and_azimuth_by_hand(
    latitude_deg: float, hour_angle_deg: float, declination_deg: float, altitude_deg: float, azimuth_deg: float
) -> None:
    """Right angles, and once sin h = cos 30 cos 60, tan(azimuth) = sin 60 / -(sin 30 cos 60)."""
    found = altaz_deg(latitude_deg, hour_angle_deg, declination_deg)
    assert found[0] == pytest.approx(altitude_deg, abs=1e-7)
    assert (found[1] - azimuth_deg + 180.0) % 360.0 == pytest.approx(180.0, abs=1e-7)


@given(latitude_deg=st.floats(-89.0, 89.0), hour_deg=st.floats(-179.0, 179.0), declination_deg=st.floats(-80.0, 80.0))
def test_a_body_stands_mirrored_at_mirrored_hours(latitude_deg: float, hour_deg: float, declination_deg: float) -> None:
    morning, evening = (altaz_deg(latitude_deg, sign * hour_deg, declination_deg) for sign in (-1.0, 1.0))
    assert morning[0] == pytest.approx(evening[0], abs=1e-9)
    assert np.cos(np.radians(morning[1] + evening[1])) == pytest.approx(1.0, abs=1e-9)
