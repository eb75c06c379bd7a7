"""Noon and the lowest sun before and after it are on the meridian, to a hundredth of a degree."""

from __future__ import annotations

import pytest

from handline.sky.ephemeris import open_sky
from handline.sky.events import _solar_day_s


@pytest.mark.parametrize("place", [(46.62, -113.41), (-42.05, 146.30)])
@pytest.mark.parametrize("days", [0.0, 0.7, 90.3])
def test_noon_is_on_the_meridian_and_the_lowest_sun_opposite(place: tuple[float, float], days: float) -> None:
    with open_sky(*place) as sky:
        before, noon, after = sky.sun_hour_angle_deg(_solar_day_s(sky, 1_909_375_200.0 + 86_400.0 * days))
    assert abs(noon) < 0.01
    assert (abs(before), abs(after)) == pytest.approx((180.0, 180.0), abs=0.01)
