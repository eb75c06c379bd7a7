"""One forecast as many courses: how far it may be wrong, and in which of them it rains."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isnan, nan
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from handline.weather.day_course import DAY_S
from handline.weather.hours import HourlyWeather
from handline.weather.member_draws import centre_logit, factors, share_of

FloatArray = NDArray[np.float64]

# How far a forecast for a mountain is wrong, as the standard deviation of what it errs. [practice_forecast_spread]
TEMPERATURE_SPREAD_C, TEMPERATURE_GROWTH_C_DAY = 1.5, 0.5
WIND_SPREAD, CLOUD_SPREAD, HUMIDITY_SPREAD, RAIN_SPREAD = 0.30, 1.0, 0.40, 0.60
# Where nothing says when it was made, this long before its first known hour.
UNSAID_AGE_S = DAY_S
# Where rain has a chance and no amount, a member in which it rains gets this much in the hour: enough to wet the rock.
TRACE_MM = 0.2
# How far the members with the most rain are the cloudiest and the most humid ones too: a correlation.
RAIN_WITH_CLOUD = 0.7


@dataclass(frozen=True)
class ForecastSpread:
    """Standard deviations of a forecast's errors.

    ``temperature_C`` on the hour it was made and ``temperature_C_day`` more a day of lead; ``wind`` and ``rain`` of the
    logarithm, ``cloud`` and ``humidity`` of the logit. Raises ValueError on a negative or unknown one.
    """

    temperature_C: float = TEMPERATURE_SPREAD_C
    temperature_C_day: float = TEMPERATURE_GROWTH_C_DAY
    wind: float = WIND_SPREAD
    cloud: float = CLOUD_SPREAD
    humidity: float = HUMIDITY_SPREAD
    rain: float = RAIN_SPREAD

    def __post_init__(self) -> None:
        wrong = [f"{name} of a forecast's spread is 0 or more, not {value}" for name, value in vars(self).items()
                 if not 0.0 <= value < np.inf]  # fmt: skip
        if wrong:
            raise ValueError("; ".join(wrong))


USUAL_SPREAD = ForecastSpread()


def with_spread(
    forecast: HourlyWeather,
    rain_chance: FloatArray | None,
    members: int,
    rng: np.random.Generator,
    spread: ForecastSpread = USUAL_SPREAD,
    issued_clock_s: float = nan,
) -> HourlyWeather:
    """Members around a forecast of one member. Each errs its own way and keeps to it through all hours.

    Equations, z of the member: temperature T + z (s0 + s1 L), L the lead in days; wind U exp(s z - s^2 / 2); cloud and
    humidity with a logit moved by s z and set so that the mean is kept. Rain: the member has a rank from 0 to 1, one in
    each ``members``th, and it rains where 1 - rank is under the chance; then r / chance falls, times a factor.

    Parameters
    ----------
    forecast : HourlyWeather
        Shape (1, hours).
    rain_chance : array, shape (hours,), or None
        Of any rain in each hour, 0 to 1; NaN where it is not said.
    members : int
    rng : Generator
    spread : ForecastSpread
    issued_clock_s : float
        When the forecast was made [s after local midnight of the trip's date]; NaN where it is not said, and then a
        day before its first known hour.

    Returns
    -------
    HourlyWeather
        Shape (members, hours). In each hour the share of members with rain is the chance to within 1 / members, and
        the means of all members are those of the forecast. Hours that are NaN stay NaN.

    Raises
    ------
    ValueError
        A forecast of several members, a chance outside 0 to 1, or no member.

    Notes
    -----
    Where no chance is said, or 0 with rain in the same hour, it rains in every member: the forecast's amount times the
    member's factor, and none where the forecast has none. Where there is a chance and no amount, ``TRACE_MM`` falls.

    Sources
    -------
    practice_forecast_spread.
    """
    hours = forecast.clock_s.size
    if forecast.members != 1 or members < 1:
        raise ValueError("a spread is given to a forecast of one member, and makes at least one")
    chance = np.full(hours, np.nan) if rain_chance is None else np.asarray(rain_chance, float)
    if chance.shape != (hours,) or (chance < 0.0).any() or (chance > 1.0).any():
        raise ValueError("the chance of rain lies from 0 to 1 and has a value for each hour")
    warm, wind, damp, amount = rng.standard_normal((4, members))[:, :, None]
    # Never 0 or 1, which have no place in a normal distribution.
    rank = (rng.permutation(members) + rng.integers(1, 2**31, members) / 2.0**31) / members
    of_rain = np.array([NormalDist().inv_cdf(value) for value in rank])[:, None]
    with_rain = RAIN_WITH_CLOUD * of_rain + np.sqrt(1.0 - RAIN_WITH_CLOUD**2) * damp
    lead_day = _lead_days(forecast, issued_clock_s)
    return replace(
        forecast,
        temperature_C=forecast.temperature_C + warm * (spread.temperature_C + spread.temperature_C_day * lead_day),
        wind_m_s=forecast.wind_m_s * factors(wind, spread.wind),
        cloud_share=_moved_share(forecast.cloud_share[0], with_rain, spread.cloud),
        humidity_share=_moved_share(forecast.humidity_share[0], with_rain, spread.humidity),
        rain_mm=_rain_mm(forecast.rain_mm[0], chance, rank[:, None], factors(amount, spread.rain)),
    )


def _lead_days(forecast: HourlyWeather, issued_clock_s: float) -> FloatArray:
    """How old the forecast is at each hour [days], (hours,); 0 in hours before it was made."""
    known_s = forecast.clock_s[forecast.known]
    if isnan(issued_clock_s):
        issued_clock_s = (known_s[0] if known_s.size else 0.0) - UNSAID_AGE_S
    return np.maximum(forecast.clock_s - issued_clock_s, 0.0) / DAY_S


def _moved_share(share: FloatArray, normals: FloatArray, spread: float) -> FloatArray:
    """Shares (members, hours) with this mean; none and all stay what they are."""
    moved = share_of(centre_logit(share, spread) + spread * normals)
    return np.where((share <= 0.0) | (share >= 1.0), share, moved)


def _rain_mm(fallen_mm: FloatArray, chance: FloatArray, rank: FloatArray, factor: FloatArray) -> FloatArray:
    in_all = np.isnan(chance) | ((chance == 0.0) & (fallen_mm > 0.0))
    rains = 1.0 - rank < chance
    if_any_mm = np.where(fallen_mm > 0.0, fallen_mm / np.where(in_all | (chance == 0.0), 1.0, chance), TRACE_MM)
    some = np.where(rains, if_any_mm * factor, 0.0)
    return np.where(np.isnan(fallen_mm), np.nan, np.where(in_all, fallen_mm * factor, some))
