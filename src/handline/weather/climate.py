"""Hourly weather from a climate table: not a forecast, but the days that are usual at that time of the year."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from handline.weather.climate_months import DateClimate, MonthClimate, climate_on
from handline.weather.climate_rain import rain_by_hour_mm, rain_days
from handline.weather.day_course import DAY_S, SunTimes, day_course_C
from handline.weather.hours import HOUR_S, HourlyWeather
from handline.weather.member_draws import centre_logit, factors, related_normals, share_of
from handline.weather.moist_air import vapour_over_water_hPa

FloatArray = NDArray[np.float64]

# Of a day's warmth beyond the usual, the next day keeps this share. [practice_climate]
WARMTH_KEPT_SHARE = 0.6
# Spread of the logarithm of the wind and of the logit of the cloud, and what both keep over a day. [practice_climate]
WIND_SPREAD = 0.45
CLOUD_SPREAD = 2.0
WIND_KEPT_SHARE = CLOUD_KEPT_SHARE = 0.3
# Days of rain are cloudier by this share of the clear sky; other days are clearer for it. [practice_climate]
RAIN_CLOUD_SHARE = 0.6
# While it rains the air is at least this humid. [practice_climate]
RAIN_HUMIDITY_SHARE = 0.90
_HALVINGS = 40


def climate_hours(
    months: Sequence[MonthClimate],
    date: dt.date,
    elevation_m: float,
    sunrise_clock_s: float,
    sunset_clock_s: float,
    members: int,
    seed_or_rng: int | np.random.Generator,
    hours: int = 72,
    first_clock_s: float = -12.0 * HOUR_S,
) -> HourlyWeather:
    """Courses that the hours around a date usually take, all equally likely.

    Parameters
    ----------
    months : sequence of MonthClimate
        The date's own month at least.
    date : date
        The trip's; the days around it are taken like it.
    elevation_m : float
        The height of the table's place, which the result carries. Nothing is moved to another height.
    sunrise_clock_s, sunset_clock_s : float
        Of the date [s after local midnight]; ``SunTimes`` refuses a day without them.
    members, hours : int
    seed_or_rng : int or Generator
        A number is joined with the date: the same one gives other draws on another date, and the same on the same.
    first_clock_s : float
        Start of the first hour [s after local midnight of the date].

    Returns
    -------
    HourlyWeather
        Each member has its own warmth for each day, half kept for the next; lows and highs are shifted alike. Each has
        its own days of rain, its own wind and its own cloud. The dew point holds its distance from the dawn's low.

    Raises
    ------
    ValueError
        See ``climate_on`` and ``SunTimes``; and no member or hour at all.

    Validity
    --------
    Over many members the means of low, high, rain, days of rain, wind and cloud are those typed. The mean humidity is
    the typed one but for the hours of rain, which are more humid. Days of rain are not colder here.

    Sources
    -------
    parton_logan_1981, magnus_wmo, allen_1998 for a dew point at the low where no humidity is typed, practice_climate.
    """
    if members < 1 or hours < 1:
        raise ValueError("at least one member and one hour are needed")
    usual, sun = climate_on(months, date), SunTimes(sunrise_clock_s, sunset_clock_s)
    clock_s = first_clock_s + HOUR_S * np.arange(hours, dtype=np.float64)
    warmth_rng, rain_rng, wind_rng, cloud_rng = _generator(seed_or_rng, date).spawn(4)
    day = sun.days_since_low(clock_s)
    day = day - np.floor(day[0])
    offset_C = usual.spread_C * related_normals(warmth_rng, members, int(day[-1]) + 2, WARMTH_KEPT_SHARE)
    temperature_C = day_course_C(day, usual.low_C + offset_C, usual.high_C + offset_C, sun)
    rain_mm, wet = _rain(rain_rng, members, clock_s, usual)
    wind = related_normals(wind_rng, members, hours, WIND_KEPT_SHARE ** (HOUR_S / DAY_S))
    cloud = related_normals(cloud_rng, members, hours, CLOUD_KEPT_SHARE ** (HOUR_S / DAY_S))
    return HourlyWeather(
        clock_s=clock_s,
        elevation_m=elevation_m,
        temperature_C=temperature_C,
        humidity_share=_humidity(day, usual, offset_C, temperature_C, rain_mm > 0.0, sun),
        wind_m_s=usual.wind_m_s * factors(wind, WIND_SPREAD),
        cloud_share=_cloud(cloud, wet, usual),
        rain_mm=rain_mm,
    )


def _generator(seed_or_rng: int | np.random.Generator, date: dt.date) -> np.random.Generator:
    if isinstance(seed_or_rng, np.random.Generator):
        return seed_or_rng
    return np.random.default_rng([seed_or_rng, date.toordinal()])


def _rain(
    rng: np.random.Generator, members: int, clock_s: FloatArray, usual: DateClimate
) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Rain in each hour and whether its calendar day is one of rain, both (members, hours).

    Hours that do not begin at a whole one take the rain of the whole hour in which they begin.
    """
    whole = np.floor(clock_s / HOUR_S).astype(int)
    first_day = int(whole[0] // 24)
    wet = rain_days(rng, members, int(whole[-1] // 24) - first_day + 1, usual)
    fallen_mm = rain_by_hour_mm(rng, wet, usual).reshape(members, -1)
    return fallen_mm[:, whole - first_day * 24], wet[:, whole // 24 - first_day]


def dew_below_low_C(usual: DateClimate, sun: SunTimes) -> float:
    """How far the dew point lies under the day's low [K], so that the usual day has the typed mean humidity.

    Found by halving; 0 where no humidity is typed. It is negative where the air is that humid: then the nights are
    saturated. Sources: allen_1998, magnus_wmo.
    """
    if np.isnan(usual.humidity_share):
        return 0.0
    low, high = np.full((1, 2), usual.low_C), np.full((1, 2), usual.high_C)
    held_hPa = vapour_over_water_hPa(day_course_C((np.arange(24) + 0.5) / 24.0, low, high, sun))
    above, below = usual.low_C - usual.high_C, 80.0
    for _ in range(_HALVINGS):
        middle = (above + below) / 2.0
        mean = np.minimum(vapour_over_water_hPa(usual.low_C - middle) / held_hPa, 1.0).mean()
        above, below = (middle, below) if mean > usual.humidity_share else (above, middle)
    return (above + below) / 2.0


def _humidity(
    day: FloatArray,
    usual: DateClimate,
    offset_C: FloatArray,
    temperature_C: FloatArray,
    rains: NDArray[np.bool_],
    sun: SunTimes,
) -> FloatArray:
    """The dew point goes straight from one dawn's to the next; no air holds more than 1."""
    whole = np.floor(day).astype(int)
    part = day - whole
    dew_C = (
        usual.low_C - dew_below_low_C(usual, sun) + (1.0 - part) * offset_C[:, whole] + part * offset_C[:, whole + 1]
    )
    humidity = np.minimum(vapour_over_water_hPa(dew_C) / vapour_over_water_hPa(temperature_C), 1.0)
    return np.where(rains, np.maximum(humidity, RAIN_HUMIDITY_SHARE), humidity)


def _cloud(normals: FloatArray, wet: NDArray[np.bool_], usual: DateClimate) -> FloatArray:
    """Cloud with the typed mean over all days: more on days of rain, less on the others."""
    p, mean = usual.rain_chance, usual.cloud_share
    on_wet = mean + RAIN_CLOUD_SHARE * (1.0 - mean)
    if p * on_wet > mean:
        on_wet = mean / p  # as cloudy as leaves the other days without any
    on_dry = (mean - p * on_wet) / (1.0 - p) if p < 1.0 else mean
    centre = centre_logit(np.array([on_dry, on_wet if p < 1.0 else mean]), CLOUD_SPREAD)
    return share_of(np.where(wet, centre[1], centre[0]) + CLOUD_SPREAD * normals)
