"""Drawn rain against the same draws worked by hand. The shares themselves are common practice, with no source."""

from __future__ import annotations

import dataclasses
import datetime as dt

import numpy as np
import pytest

from handline.weather.climate_months import DateClimate, MonthClimate, climate_on
from handline.weather.climate_rain import _storms_begun_share, rain_by_hour_mm, rain_days
from handline.weather.storms import storm_hazard

# A month of 31 days, 9.3 of them with rain: three in ten, 8 mm each.
JULY = climate_on([MonthClimate(7, 6.0, 18.0, 3.0, 9.3, 74.4, 6.2, 0.65, 3.5, 0.45)], dt.date(2027, 7, 16))


class _Told(np.random.Generator):
    """Gives the numbers it was told."""

    def __init__(self, numbers: list[float]) -> None:
        super().__init__(np.random.PCG64(0))
        self.numbers = numbers

    def random(self, size: object = None, *_: object, **__: object) -> np.ndarray:  # type: ignore[override]
        return np.array(self.numbers).reshape(size)  # type: ignore[call-overload]


@pytest.mark.parametrize(("second", "rains"), [(0.5099, True), (0.5101, False)])
def test_rain_after_rain(second: float, rains: bool) -> None:
    # 0.3 + 0.3 x 0.7 = 0.51.
    assert rain_days(_Told([0.0, second]), 1, 2, JULY).tolist() == [[True, rains]]


@pytest.mark.parametrize(("second", "rains"), [(0.2099, True), (0.2101, False)])
def test_rain_after_none(second: float, rains: bool) -> None:
    # 0.3 x 0.7 = 0.21.
    assert rain_days(_Told([0.9, second]), 1, 2, JULY).tolist() == [[False, rains]]


@pytest.mark.parametrize("storm_chance", [0.0, 1.0])
def test_a_day_of_rain_has_a_millimetre_and_an_exponential_amount(storm_chance: float) -> None:
    climate = dataclasses.replace(JULY, storm_chance=storm_chance)
    drawn = np.random.default_rng(5).standard_exponential(200)
    fallen = rain_by_hour_mm(np.random.default_rng(5), np.ones((1, 200), bool), climate)
    assert fallen.sum(axis=2)[0] == pytest.approx(1.0 + 7.0 * drawn, rel=1e-9)


def test_a_day_of_a_millimetre_on_average_has_just_that() -> None:
    least: DateClimate = dataclasses.replace(JULY, rain_day_mm=1.0)
    fallen = rain_by_hour_mm(np.random.default_rng(5), np.ones((1, 50), bool), least)
    assert fallen.sum(axis=2) == pytest.approx(np.ones((1, 50)), rel=1e-12)


def test_storms_rain_in_the_hours_in_which_they_begin() -> None:
    by_hour = storm_hazard(0.3).cumulative(3600.0 * np.arange(1, 23))
    assert _storms_begun_share() == pytest.approx(by_hour / by_hour[-1], rel=1e-9, abs=1e-12)
