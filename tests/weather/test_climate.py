"""Means of many members against what was typed, within four standard errors of the draws and a stated remainder."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from handline.weather.climate import (
    CLOUD_KEPT_SHARE,
    CLOUD_SPREAD,
    RAIN_CLOUD_SHARE,
    RAIN_HUMIDITY_SHARE,
    WARMTH_KEPT_SHARE,
    WIND_KEPT_SHARE,
    WIND_SPREAD,
    _rain,
    climate_hours,
    dew_below_low_C,
)
from handline.weather.climate_months import MonthClimate, climate_on
from handline.weather.climate_rain import (
    RAIN_KEPT_SHARE,
    STEADY_MORE_HOURS,
    STORM_FIRST_HOUR_SHARE,
    storm_rain_share,
)
from handline.weather.day_course import SunTimes
from handline.weather.hours import HourlyWeather
from handline.weather.moist_air import vapour_over_water_hPa

MEMBERS = 4_000
DATE = dt.date(2027, 7, 16)  # July's middle
MONTH = MonthClimate(7, 6.0, 18.0, 3.0, 9.3, 74.4, 6.2, 0.65, 3.5, 0.45)
# The low falls on 05:00 and the high on 14:00, so that the hours show both.
RISE_S = (5.0 + 0.17) * 3600.0
SET_S = RISE_S + 2.0 * (9.0 - 1.86) * 3600.0


def _hours(month: MonthClimate = MONTH, members: int = MEMBERS, seed: int = 7, **given: float) -> HourlyWeather:
    return climate_hours([month], DATE, 2_000.0, RISE_S, SET_S, members, seed, **given)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def hours() -> HourlyWeather:
    return _hours()


def _at(hours: HourlyWeather, clock_h: float) -> int:
    return int(np.flatnonzero(hours.clock_s == clock_h * 3600.0)[0])


def test_shape_and_clock(hours: HourlyWeather) -> None:
    assert hours.clock_s[0] == -12 * 3600.0
    assert (np.diff(hours.clock_s) == 3600.0).all()
    assert hours.temperature_C.shape == (MEMBERS, 72)
    assert hours.elevation_m == 2_000.0
    assert hours.known.all()


def test_low_and_high_are_those_typed(hours: HourlyWeather) -> None:
    error = 3.0 / np.sqrt(MEMBERS)
    for low_h, high_h in ((5, 14), (29, 38)):
        low, high = hours.temperature_C[:, _at(hours, low_h)], hours.temperature_C[:, _at(hours, high_h)]
        assert low.mean() == pytest.approx(6.0, abs=4 * error)
        assert high.mean() == pytest.approx(18.0, abs=4 * error)
        assert low.std() == pytest.approx(3.0, abs=4 * error / np.sqrt(2.0))
        # Shifted alike.
        assert high - low == pytest.approx(12.0)


def test_the_coldest_and_warmest_hour_of_the_day(hours: HourlyWeather) -> None:
    day = hours.temperature_C[:, _at(hours, 0) : _at(hours, 24)]
    # The coldest hour of a calendar day may be its last, before a colder dawn: that pulls the mean down a little.
    assert day.min(axis=1).mean() == pytest.approx(6.0, abs=0.45)
    assert day.max(axis=1).mean() == pytest.approx(18.0, abs=0.2)


def test_a_warm_day_follows_a_warm_day(hours: HourlyWeather) -> None:
    found = np.corrcoef(hours.temperature_C[:, _at(hours, 14)], hours.temperature_C[:, _at(hours, 38)])[0, 1]
    assert found == pytest.approx(WARMTH_KEPT_SHARE, abs=4 / np.sqrt(MEMBERS))
    assert WARMTH_KEPT_SHARE == 0.6


def test_rain_and_its_days_are_those_typed(hours: HourlyWeather) -> None:
    first, second = (hours.rain_mm[:, _at(hours, d * 24) : _at(hours, d * 24 + 24)].sum(axis=1) for d in (0, 1))
    for fallen in (first, second):
        wet = fallen >= 1.0 - 1e-12
        assert ((fallen == 0.0) | wet).all()
        assert wet.mean() == pytest.approx(0.3, abs=4 * np.sqrt(0.3 * 0.7 / MEMBERS))
        # 1 mm and an exponential of mean 7: variance 0.3 (49 + 64) - 2.4^2.
        assert fallen.mean() == pytest.approx(2.4, abs=4 * np.sqrt((0.3 * (49.0 + 64.0) - 2.4**2) / MEMBERS))
    again = (second[first > 0.0] > 0.0).mean()
    assert again == pytest.approx(0.3 + 0.3 * 0.7, abs=4 * np.sqrt(0.51 * 0.49 / (0.3 * MEMBERS)))
    assert RAIN_KEPT_SHARE == 0.3


def test_storms_rain_in_the_afternoon_and_other_rain_at_any_hour() -> None:
    stormy = _hours(MonthClimate(7, 6.0, 18.0, rain_days=9.0, rain_mm=80.0, storm_days=9.0))
    steady = _hours(MonthClimate(7, 6.0, 18.0, rain_days=9.0, rain_mm=80.0, storm_days=0.0))

    def afternoon(hours: HourlyWeather) -> float:
        day = hours.rain_mm[:, _at(hours, 0) : _at(hours, 24)]
        return float(day[:, 12:20].sum() / day.sum())

    assert afternoon(stormy) > 0.75
    assert afternoon(steady) == pytest.approx(0.4, abs=0.1)
    assert ((stormy.rain_mm[:, _at(stormy, 0) : _at(stormy, 24)] > 0.0).sum(axis=1) <= 2).all()


def test_share_of_storm_rain() -> None:
    assert storm_rain_share(climate_on([MONTH], DATE)) == pytest.approx(6.2 / 9.3)
    assert storm_rain_share(climate_on([MonthClimate(7, 0.0, 9.0, rain_days=3.0, storm_days=9.0)], DATE)) == 1.0
    assert storm_rain_share(climate_on([MonthClimate(7, 0.0, 9.0)], DATE)) == 0.5
    assert storm_rain_share(climate_on([MonthClimate(7, 0.0, 9.0, rain_days=0.0, storm_days=9.0)], DATE)) == 0.0


def test_wind_and_cloud_are_those_typed(hours: HourlyWeather) -> None:
    for hour in (0, 30, 71):
        spread = 3.5 * np.sqrt(np.expm1(0.45**2))
        assert hours.wind_m_s[:, hour].mean() == pytest.approx(3.5, abs=4 * spread / np.sqrt(MEMBERS))
        cloud = hours.cloud_share[:, hour]
        assert cloud.mean() == pytest.approx(0.45, abs=4 * cloud.std() / np.sqrt(MEMBERS) + 1e-3)
    rains = hours.rain_mm[:, _at(hours, 0) : _at(hours, 24)].sum(axis=1) > 0.0
    assert hours.cloud_share[rains, _at(hours, 12)].mean() == pytest.approx(0.45 + 0.6 * 0.55, abs=0.04)


@pytest.mark.parametrize("cloud", [0.0, 0.1, 1.0])
def test_cloud_is_kept_where_rain_asks_for_more_than_there_is(cloud: float) -> None:
    hours = _hours(MonthClimate(7, 6.0, 18.0, rain_days=25.0, rain_mm=200.0, cloud_share=cloud))
    assert hours.cloud_share.mean() == pytest.approx(cloud, abs=0.01)


def test_humidity_is_that_typed_and_more_in_rain(hours: HourlyWeather) -> None:
    day = slice(_at(hours, 5), _at(hours, 29))
    dry = hours.rain_mm[:, day] == 0.0
    assert hours.humidity_share[:, day].mean(where=dry) == pytest.approx(0.65, abs=0.015)
    assert hours.humidity_share[:, day][~dry].min() >= RAIN_HUMIDITY_SHARE == 0.90
    assert hours.humidity_share.max() <= 1.0
    # Most humid at dawn, least in the afternoon.
    assert hours.humidity_share[:, _at(hours, 5)].mean() > hours.humidity_share[:, _at(hours, 14)].mean() + 0.2


@pytest.mark.parametrize("share", [0.1, 0.4, 0.8, 0.97])
def test_the_dew_point_gives_the_mean_humidity(share: float) -> None:
    calm = MonthClimate(7, 6.0, 18.0, 0.0, 0.0, 0.0, humidity_share=share)
    hours = _hours(calm, members=1, hours=24, first_clock_s=RISE_S - 0.17 * 3600.0 + 1800.0)
    assert hours.humidity_share.mean() == pytest.approx(share, abs=1e-6)


def test_without_a_humidity_dew_falls_at_dawn() -> None:
    usual, sun = climate_on([MonthClimate(7, 6.0, 18.0)], DATE), SunTimes(RISE_S, SET_S)
    assert dew_below_low_C(usual, sun) == 0.0
    hours = _hours(MonthClimate(7, 6.0, 18.0, 0.0, 0.0, 0.0), members=1)
    assert hours.humidity_share[0, _at(hours, 5)] == pytest.approx(1.0)
    expected = vapour_over_water_hPa(6.0) / vapour_over_water_hPa(18.0)
    assert hours.humidity_share[0, _at(hours, 14)] == pytest.approx(float(expected))


def test_the_same_seed_gives_the_same_and_another_date_another() -> None:
    first, again = _hours(members=3), _hours(members=3)
    other = climate_hours([MONTH], DATE + dt.timedelta(days=1), 2_000.0, RISE_S, SET_S, 3, 7)
    for name in ("temperature_C", "humidity_share", "wind_m_s", "cloud_share", "rain_mm"):
        assert (getattr(first, name) == getattr(again, name)).all()
    assert not np.allclose(first.wind_m_s, other.wind_m_s)
    drawn = climate_hours([MONTH], DATE, 2_000.0, RISE_S, SET_S, 3, np.random.default_rng([7, DATE.toordinal()]))
    assert (drawn.temperature_C == first.temperature_C).all()


def test_other_wind_leaves_the_rain_alone() -> None:
    windy = MonthClimate(7, 6.0, 18.0, 3.0, 9.3, 74.4, 6.2, 0.65, 9.0, 0.45)
    assert (_hours(windy, members=50).rain_mm == _hours(members=50).rain_mm).all()


def test_nothing_asked_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one member"):
        _hours(members=0)


def test_rain_and_its_flag_keep_to_the_calendar_day() -> None:
    clock_s = np.arange(24 * 30, 24 * 33) * 3600.0
    fallen_mm, wet = _rain(np.random.default_rng(1), 200, clock_s, climate_on([MONTH], DATE))
    by_day, flags = fallen_mm.reshape(200, 3, 24).sum(axis=2), wet.reshape(200, 3, 24)
    assert (flags.all(axis=2) == flags.any(axis=2)).all()
    assert (flags[:, :, 0] == (by_day >= 1.0 - 1e-12)).all()


def test_practice_is_stated_once() -> None:
    assert (WIND_SPREAD, CLOUD_SPREAD, WIND_KEPT_SHARE, CLOUD_KEPT_SHARE, RAIN_CLOUD_SHARE) == (
        0.45, 2.0, 0.3, 0.3, 0.6,
    )  # fmt: skip
    assert (STORM_FIRST_HOUR_SHARE, STEADY_MORE_HOURS) == (0.7, 5.0)
