"""The same weather higher and lower: by hand, there and back, and where air is full of water."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.weather.at_height import at_height, saturated_at_height
from handline.weather.hours import HourlyWeather
from handline.weather.index_registry import index


def hours_of(temperature_C: list[float], humidity: list[float], elevation_m: float = 1500.0) -> HourlyWeather:
    count = len(temperature_C)
    known = np.isfinite(np.array(temperature_C))
    return HourlyWeather(
        clock_s=3600.0 * np.arange(count),
        elevation_m=elevation_m,
        temperature_C=np.array([temperature_C]),
        humidity_share=np.array([humidity]),
        wind_m_s=np.where(known, np.arange(1.0, count + 1.0), math.nan)[None],
        cloud_share=np.where(known, 0.25, math.nan)[None],
        rain_mm=np.where(known, 0.5, math.nan)[None],
    )


def test_a_thousand_metres_up_by_hand() -> None:
    """6.5 C colder; e = 0.4 * 6.105 exp(17.27 * 20 / 257.7) = 9.3283 hPa, of 15.4539 hPa at 13.5 C: 0.60362."""
    here = hours_of([20.0], [0.4])
    there = at_height(here, 2500.0)
    assert there.elevation_m == 2500.0
    assert there.temperature_C == pytest.approx(np.array([[13.5]]), abs=1e-12)
    full = {t: 6.105 * math.exp(17.27 * t / (237.7 + t)) for t in (20.0, 13.5)}
    assert float(there.humidity_share[0, 0]) == pytest.approx(0.4 * full[20.0] / full[13.5], rel=1e-12)
    for name in ("clock_s", "wind_m_s", "cloud_share", "rain_mm"):
        assert np.array_equal(getattr(there, name), getattr(here, name))


def test_a_lapse_of_ones_own() -> None:
    assert at_height(hours_of([20.0], [0.4]), 2500.0, 0.0098).temperature_C[0, 0] == pytest.approx(10.2)
    assert at_height(hours_of([20.0], [0.4]), 500.0, -0.002).temperature_C[0, 0] == pytest.approx(18.0)


def test_where_the_air_is_full_the_humidity_is_one_and_it_is_told() -> None:
    here = hours_of([20.0, 20.0], [0.9, 0.3])
    assert at_height(here, 2500.0).humidity_share[0, 0] == 1.0
    assert saturated_at_height(here, 2500.0).tolist() == [[True, False]]
    # Just over and just under full, at the same height.
    assert saturated_at_height(hours_of([20.0, 20.0], [1.0005, 0.9995]), 1500.0).tolist() == [[True, False]]
    assert saturated_at_height(here, 500.0).tolist() == [[False, False]]


@given(st.floats(-20.0, 35.0), st.floats(0.05, 1.0), st.floats(0.0, 3500.0), st.floats(-0.01, 0.01))
def test_there_and_back(temperature_C: float, humidity: float, elevation_m: float, lapse: float) -> None:
    here = hours_of([temperature_C], [humidity])
    there = at_height(here, elevation_m, lapse)
    back = at_height(there, here.elevation_m, lapse)
    assert back.temperature_C == pytest.approx(here.temperature_C, abs=1e-9)
    if saturated_at_height(here, elevation_m, lapse).any():
        assert there.humidity_share[0, 0] == 1.0
        assert back.humidity_share[0, 0] <= humidity + 1e-9
    else:
        assert back.humidity_share == pytest.approx(here.humidity_share, rel=1e-9)


@given(st.floats(-20.0, 35.0), st.floats(0.05, 0.5), st.floats(1000.0, 1800.0))
def test_the_dew_point_is_kept(temperature_C: float, humidity: float, elevation_m: float) -> None:
    here = hours_of([temperature_C], [humidity])
    there = at_height(here, elevation_m)
    dew_C = [
        float(
            index("dew_point", temperature_C=each.temperature_C[0, 0], humidity_share=each.humidity_share[0, 0]).value
        )
        for each in (here, there)
    ]
    assert dew_C[0] == pytest.approx(dew_C[1], abs=1e-9)


def test_at_its_own_height_nothing_changes() -> None:
    here = hours_of([3.0, 4.0], [1.0, 0.5])
    there = at_height(here, 1500.0)
    assert there.temperature_C == pytest.approx(here.temperature_C)
    assert there.humidity_share == pytest.approx(here.humidity_share)
    assert not saturated_at_height(here, 1500.0).any()


def test_hours_that_are_not_known_stay_so() -> None:
    here = hours_of([3.0, math.nan], [0.5, math.nan])
    there = at_height(here, 2500.0)
    assert there.known.tolist() == [True, False]
    assert np.isnan(there.humidity_share[0, 1])
    assert not saturated_at_height(here, 2500.0)[0, 1]


def test_an_unknown_height_is_refused_with_the_column_to_add() -> None:
    with pytest.raises(InputError, match="add a column elevation_m"):
        at_height(hours_of([3.0], [0.5], math.nan), 2000.0)


def test_limits_themselves_are_allowed() -> None:
    here = hours_of([3.0], [0.5])
    for elevation_m in (-500.0, 11_000.0):
        assert at_height(here, elevation_m, 0.0).temperature_C[0, 0] == 3.0
    for lapse in (-0.03, 0.03):
        assert at_height(here, 1600.0, lapse).temperature_C[0, 0] == pytest.approx(3.0 - 100.0 * lapse)


@pytest.mark.parametrize(
    ("elevation_m", "lapse"),
    [
        (11_000.5, 0.0065),
        (-500.05, 0.0065),
        (math.nan, 0.0065),
        (2000.0, 0.030005),
        (2000.0, -0.030005),
        (2000.0, math.nan),
    ],
)
def test_impossible_heights_and_lapses_are_refused(elevation_m: float, lapse: float) -> None:
    with pytest.raises(ValueError, match="lies"):
        at_height(hours_of([3.0], [0.5]), elevation_m, lapse)
