from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.forecast_spread import RAIN_WITH_CLOUD, TRACE_MM, UNSAID_AGE_S, ForecastSpread, with_spread
from handline.weather.hours import HourlyWeather

MEMBERS = 4_000
HOURS = 48


def _forecast(rain_mm: np.ndarray | float = 0.0, unknown: tuple[int, ...] = ()) -> HourlyWeather:
    clock_s = np.arange(HOURS) * 3600.0
    values = [12.0 + 5.0 * np.sin(clock_s / 13751.0), 0.6 + 0.2 * np.cos(clock_s / 13751.0),
              np.full(HOURS, 4.0), np.linspace(0.0, 1.0, HOURS), np.full(HOURS, 1.0) * rain_mm]  # fmt: skip
    for array in values:
        array[list(unknown)] = np.nan
    return HourlyWeather(clock_s, 1_500.0, *(array[None, :] for array in values))


def _many(rain_mm: np.ndarray | float = 0.0, chance: np.ndarray | None = None, **given: float) -> HourlyWeather:
    return with_spread(_forecast(rain_mm), chance, MEMBERS, np.random.default_rng(2), **given)  # type: ignore[arg-type]


def test_temperature_errs_more_with_lead_and_keeps_to_it() -> None:
    many = _many(issued_clock_s=-12 * 3600.0)
    off = many.temperature_C - _forecast().temperature_C
    for hour in (0, 36):
        sd = 1.5 + 0.5 * (hour + 12.0) / 24.0
        assert off[:, hour].std() == pytest.approx(sd, abs=4 * sd / np.sqrt(2 * MEMBERS))
        assert off[:, hour].mean() == pytest.approx(0.0, abs=4 * sd / np.sqrt(MEMBERS))
    assert np.corrcoef(off[:, 0], off[:, 47])[0, 1] == pytest.approx(1.0)


def test_a_forecast_of_unsaid_age_is_a_day_old() -> None:
    assert UNSAID_AGE_S == 86400.0
    assert (_many().temperature_C == _many(issued_clock_s=-86400.0).temperature_C).all()


def test_before_it_was_made_it_errs_no_less_than_then() -> None:
    off = _many(issued_clock_s=24 * 3600.0).temperature_C - _forecast().temperature_C
    assert off[:, 0] == pytest.approx(off[:, 24])


def test_means_of_wind_cloud_and_humidity_are_the_forecasts() -> None:
    many, forecast = _many(), _forecast()
    wind_sd = 4.0 * np.sqrt(np.expm1(0.30**2))
    assert many.wind_m_s[:, 5].mean() == pytest.approx(4.0, abs=4 * wind_sd / np.sqrt(MEMBERS))
    assert np.log(many.wind_m_s[:, 5]).std() == pytest.approx(0.30, rel=0.05)
    for name in ("cloud_share", "humidity_share"):
        found, said = getattr(many, name), getattr(forecast, name)[0]
        assert abs(found.mean(axis=0) - said).max() < 4 * found.std(axis=0).max() / np.sqrt(MEMBERS) + 1e-4
        assert found.std(axis=0)[24] > 0.03
        assert 0.0 <= found.min() <= found.max() <= 1.0
    logit = np.log(many.humidity_share[:, 24] / (1.0 - many.humidity_share[:, 24]))
    assert logit.std() == pytest.approx(0.40, rel=0.05)
    logit = np.log(many.cloud_share[:, 24] / (1.0 - many.cloud_share[:, 24]))
    assert logit.std() == pytest.approx(1.0, rel=0.05)


@given(st.lists(st.floats(0.0, 1.0), min_size=HOURS, max_size=HOURS), st.integers(1, 60), st.integers(0, 99))
def test_each_hours_chance_is_kept_to_one_member(chances: list[float], members: int, seed: int) -> None:
    chance = np.array(chances)
    many = with_spread(_forecast(0.0), chance, members, np.random.default_rng(seed))
    assert abs((many.rain_mm > 0.0).mean(axis=0) - chance).max() <= 1.0 / members + 1e-12


def test_the_same_members_stay_wet() -> None:
    chance = np.linspace(0.1, 0.6, HOURS)
    wet = _many(1.0, chance).rain_mm > 0.0
    assert (wet[:, 1:] | ~wet[:, :-1]).all()


def test_mean_rain_is_the_forecasts() -> None:
    said = np.linspace(0.1, 3.0, HOURS)
    many = _many(said, np.full(HOURS, 0.25))
    # In a quarter of the members four times as much, times a factor of log-spread 0.6.
    sd = said * np.sqrt(4.0 * np.exp(0.6**2) - 1.0)
    assert (abs(many.rain_mm.mean(axis=0) - said) < 4 * sd / np.sqrt(MEMBERS)).all()
    assert np.log(many.rain_mm[many.rain_mm[:, 0] > 0.0, 0]).std() == pytest.approx(0.6, rel=0.1)


def test_rain_of_no_said_chance_falls_in_all_members() -> None:
    for chance in (None, np.full(HOURS, np.nan), np.zeros(HOURS)):
        many = _many(0.8, chance)
        assert (many.rain_mm > 0.0).all()
        assert many.rain_mm[:, 3].mean() == pytest.approx(0.8, abs=4 * 0.8 * np.sqrt(np.expm1(0.36) / MEMBERS))
    assert (_many(0.0, None).rain_mm == 0.0).all()


def test_a_chance_without_an_amount_wets_the_rock() -> None:
    many = _many(0.0, np.full(HOURS, 0.3))
    assert many.rain_mm[many.rain_mm > 0.0].mean() == pytest.approx(TRACE_MM, rel=0.1)
    assert TRACE_MM == 0.2


def test_rainy_members_are_cloudier() -> None:
    many = _many(1.0, np.full(HOURS, 0.3))
    rains = many.rain_mm[:, 24] > 0.0
    assert many.cloud_share[rains, 24].mean() > many.cloud_share[~rains, 24].mean() + 0.1
    assert RAIN_WITH_CLOUD == 0.7


def test_unknown_hours_stay_unknown() -> None:
    many = with_spread(_forecast(1.0, (3, 4)), np.full(HOURS, 0.5), 10, np.random.default_rng(1))
    for name in ("temperature_C", "humidity_share", "wind_m_s", "cloud_share", "rain_mm"):
        assert (np.isnan(getattr(many, name)) == np.isin(np.arange(HOURS), [3, 4])).all(), name


def test_no_spread_gives_the_forecast_back() -> None:
    none = ForecastSpread(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    many = with_spread(_forecast(1.0), None, 3, np.random.default_rng(1), none)
    for name in ("temperature_C", "humidity_share", "wind_m_s", "cloud_share", "rain_mm"):
        assert abs(getattr(many, name) - getattr(_forecast(1.0), name)).max() < 1e-8, name


def test_practice_is_stated_once() -> None:
    assert vars(ForecastSpread()) == {
        "temperature_C": 1.5, "temperature_C_day": 0.5, "wind": 0.30, "cloud": 1.0, "humidity": 0.40, "rain": 0.60,
    }  # fmt: skip


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match=r"temperature_C of a forecast's spread.*; wind"):
        ForecastSpread(temperature_C=-1.0, wind=np.nan)
    with pytest.raises(ValueError, match="chance of rain lies"):
        _many(1.0, np.full(HOURS, 1.2))
    with pytest.raises(ValueError, match="chance of rain lies"):
        _many(1.0, np.zeros(3))
    with pytest.raises(ValueError, match="one member"):
        with_spread(_many(), None, 3, np.random.default_rng(1))
