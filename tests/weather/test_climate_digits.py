"""Humidity and cloud of usual days against what was typed, without the noise of draws."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from handline.weather.climate import CLOUD_SPREAD, _cloud, climate_hours, dew_below_low_C
from handline.weather.climate_months import climate_on
from handline.weather.day_course import SunTimes, day_course_C
from handline.weather.moist_air import vapour_over_water_hPa
from tests.weather.test_climate import DATE, MONTH, RISE_S, SET_S

SUN = SunTimes(RISE_S, SET_S)


def test_the_mean_humidity_at_half_past_each_hour_is_the_typed_one() -> None:
    usual = climate_on([MONTH], DATE)
    half_past = np.array([(2 * hour + 1) / 48 for hour in range(24)])
    air_C = day_course_C(half_past, np.full((1, 2), usual.low_C), np.full((1, 2), usual.high_C), SUN)
    dew_C = usual.low_C - dew_below_low_C(usual, SUN)
    humidity = np.minimum(vapour_over_water_hPa(dew_C) / vapour_over_water_hPa(air_C), 1.0)
    assert humidity.mean() == pytest.approx(0.65, abs=1e-8)


def test_the_dew_point_goes_straight_from_one_dawn_to_the_next() -> None:
    # No humidity typed: dew falls at each dawn, at 05:00; twelve hours later the dew point is halfway.
    dry = dataclasses.replace(MONTH, rain_days=0.0, rain_mm=0.0, storm_days=0.0, humidity_share=float("nan"))
    hours = climate_hours([dry], DATE, 2_000.0, RISE_S, SET_S, 20, 7)
    dawn, evening, next_dawn = (int(np.flatnonzero(hours.clock_s == at_h * 3600.0)[0]) for at_h in (5, 17, 29))
    dew_C = (hours.temperature_C[:, dawn] + hours.temperature_C[:, next_dawn]) / 2.0
    wanted = np.minimum(vapour_over_water_hPa(dew_C) / vapour_over_water_hPa(hours.temperature_C[:, evening]), 1.0)
    assert hours.humidity_share[:, evening] == pytest.approx(wanted, rel=1e-9)
    assert np.ptp(dew_C) > 1.0


def test_cloud_of_days_with_rain_and_without_by_quadrature() -> None:
    # By hand: 0.45 + 0.6 x 0.55 = 0.78 on days of rain, (0.45 - 0.3 x 0.78) / 0.7 on the others.
    usual = climate_on([MONTH], DATE)
    nodes, weights = np.polynomial.hermite_e.hermegauss(40)
    wet, dry = (float(_cloud(nodes, np.full(40, rains), usual) @ weights / weights.sum()) for rains in (True, False))
    assert CLOUD_SPREAD > 0.0
    assert (wet, dry) == pytest.approx((0.78, (0.45 - 0.3 * 0.78) / 0.7), rel=1e-6)
