"""Noon and the lowest sun are on the meridian, to a hundredth of a degree."""

from __future__ import annotations

import numpy as np
import pytest

from handline.sky.ephemeris import open_sky
from handline.sky.season_light import solar_days_s
from handline.sky.sky_table import tabulate

NEAR_S = 1_909_375_200.0 + 86_400.0 * np.array([0.5, 1.7, 2.2])


@pytest.mark.parametrize(("latitude_deg", "longitude_deg"), [(46.62, -113.41), (-42.05, 146.30)])
def test_noon_and_the_lowest_sun_are_on_the_meridian(latitude_deg: float, longitude_deg: float) -> None:
    with open_sky(latitude_deg, longitude_deg) as sky:
        table = tabulate(sky, latitude_deg, float(NEAR_S[0]) - 2 * 86_400.0, float(NEAR_S[-1]) + 2 * 86_400.0)
        angle_deg = [sky.sun_hour_angle_deg(column) for column in solar_days_s(table, NEAR_S).T]
    assert np.abs(angle_deg[1]).max() < 0.01
    for lowest_deg in (angle_deg[0], angle_deg[2]):
        assert np.abs(180.0 - np.abs(lowest_deg)).max() < 0.01
