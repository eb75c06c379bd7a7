from __future__ import annotations

import datetime as dt
from calendar import monthrange
from math import isnan

import pytest

from handline.weather.climate_months import (
    USUAL_CLOUD_SHARE,
    USUAL_RAIN_DAY_MM,
    USUAL_RAIN_DAYS_SHARE,
    USUAL_SPREAD_C,
    USUAL_WIND_M_S,
    MonthClimate,
    climate_on,
)

JUNE = MonthClimate(6, 4.0, 16.0, 3.0, 9.0, 60.0, 6.0, 0.6, 3.0, 0.4)
JULY = MonthClimate(7, 8.0, 22.0, 2.0, 6.0, 48.0, 9.0, 0.5, 4.0, 0.3)


def test_halfway_between_two_middles() -> None:
    # June's middle is 15 days in, July's 15.5 days in: 30.5 days apart; 30 June noon is 14.5 days after the first.
    found = climate_on([JUNE, JULY], dt.date(2027, 6, 30))
    weight = 14.5 / 30.5
    assert found.low_C == pytest.approx(4.0 + 4.0 * weight)
    assert found.high_C == pytest.approx(16.0 + 6.0 * weight)
    assert found.spread_C == pytest.approx(3.0 - weight)
    assert found.rain_chance == pytest.approx(0.3 + (6.0 / 31.0 - 0.3) * weight)
    assert found.rain_chance * found.rain_day_mm == pytest.approx(2.0 + (48.0 / 31.0 - 2.0) * weight)
    assert found.storm_chance == pytest.approx(0.2 + (9.0 / 31.0 - 0.2) * weight)
    assert found.humidity_share == pytest.approx(0.6 - 0.1 * weight)
    assert (found.wind_m_s, found.cloud_share) == (pytest.approx(3.0 + weight), pytest.approx(0.4 - 0.1 * weight))
    assert found.assumed == ()


def test_around_the_year() -> None:
    months = [MonthClimate(12, -10.0, 0.0), MonthClimate(1, -14.0, -2.0)]
    # Both middles lie 31 days apart; the first of January at noon is 16 days after December's.
    new_year, eve = climate_on(months, dt.date(2028, 1, 1)), climate_on(months, dt.date(2027, 12, 31))
    assert new_year.low_C == pytest.approx(-10.0 - 4.0 * 16.0 / 31.0)
    assert eve.low_C == pytest.approx(-10.0 - 4.0 * 15.0 / 31.0)


def test_one_month_holds_for_all_its_days() -> None:
    for day in (1, 15, 30):
        assert climate_on([JUNE], dt.date(2027, 6, day)).low_C == 4.0


@pytest.mark.parametrize(
    ("months", "words"),
    [([JUNE], "climate of July is needed.*given: June"), ([], "no month"), ([JULY, JULY], "given twice")],
)
def test_the_dates_own_month_is_needed(months: list[MonthClimate], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        climate_on(months, dt.date(2027, 7, 2))


def test_what_no_table_says_is_named() -> None:
    found = climate_on([MonthClimate(9, 3.0, 12.0)], dt.date(2027, 9, 15))
    assert (found.spread_C, found.wind_m_s, found.cloud_share) == (USUAL_SPREAD_C, USUAL_WIND_M_S, USUAL_CLOUD_SHARE)
    assert (found.rain_chance, found.rain_day_mm) == (USUAL_RAIN_DAYS_SHARE, pytest.approx(USUAL_RAIN_DAY_MM))
    assert isnan(found.storm_chance)
    assert isnan(found.humidity_share)
    assert found.assumed == (
        "spread_C", "rain_days", "rain_mm", "storm_days", "humidity_share", "wind_m_s", "cloud_share",
    )  # fmt: skip
    # Practice, stated once.
    assert (USUAL_SPREAD_C, USUAL_RAIN_DAYS_SHARE, USUAL_RAIN_DAY_MM) == (4.0, 0.4, 6.0)
    assert (USUAL_WIND_M_S, USUAL_CLOUD_SHARE) == (4.0, 0.6)


def test_rain_of_which_one_number_is_known() -> None:
    sums = climate_on([MonthClimate(7, 3.0, 12.0, rain_mm=93.0)], dt.date(2027, 7, 16))
    assert (sums.rain_chance, sums.rain_day_mm) == (pytest.approx(0.5), pytest.approx(6.0))
    days = climate_on([MonthClimate(7, 3.0, 12.0, rain_days=31.0)], dt.date(2027, 7, 16))
    assert (days.rain_chance, days.rain_day_mm) == (1.0, pytest.approx(6.0))
    none = climate_on([MonthClimate(7, 3.0, 12.0, rain_days=0.0)], dt.date(2027, 7, 16))
    assert none.rain_chance == 0.0


def test_february_has_28_days_and_a_quarter() -> None:
    found = climate_on([MonthClimate(2, -3.0, 2.0, rain_days=14.125)], dt.date(2027, 2, 14))
    assert found.rain_chance == pytest.approx(0.5)
    assert climate_on([MonthClimate(2, -3.0, 2.0, rain_days=29.0)], dt.date(2027, 2, 14)).rain_chance == 1.0


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"month": 13}, "a month is 1 to 12"),
        ({"low_C": 20.0}, "the low of July is above its high"),
        ({"low_C": float("nan")}, "low_C of July lies from -60 to 50"),
        ({"rain_days": 32.0}, "rain_days of July lies from 0 to 31"),
        ({"rain_days": 8.0, "rain_mm": 5.0}, "8 days of 1 mm or more are more than 5 mm"),
        ({"rain_days": 0.0, "rain_mm": 5.0}, "rain on no day"),
        ({"cloud_share": 1.1, "wind_m_s": -1.0}, "wind_m_s .*; cloud_share"),
    ],
)
def test_what_cannot_be_is_refused(typed: dict[str, float], words: str) -> None:
    values: dict[str, float] = {"month": 7, "low_C": 5.0, "high_C": 15.0, **typed}
    with pytest.raises(ValueError, match=words):
        MonthClimate(**values)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [
        ("low_C", -60.0, 50.0), ("high_C", -60.0, 60.0), ("spread_C", 0.0, 20.0), ("rain_mm", None, 3000.0),
        ("humidity_share", 0.02, 1.0), ("wind_m_s", 0.0, 50.0), ("cloud_share", 0.0, 1.0), ("storm_days", 0.0, 31.0),
    ],
)  # fmt: skip
def test_limits_are_where_they_are_said(key: str, low: float | None, high: float) -> None:
    for edge, beyond in ((low, -1e-6), (high, 1e-6)):
        if edge is None:
            continue
        around = {"low_C": -60.0, "high_C": 60.0}
        assert getattr(MonthClimate(7, **{**around, key: edge}), key) == edge
        with pytest.raises(ValueError, match=f"{key} of July lies from"):
            MonthClimate(7, **{**around, key: edge + beyond})


@pytest.mark.parametrize("month", range(1, 13))
def test_rain_on_every_day_of_a_month_is_sure(month: int) -> None:
    days = monthrange(2028, month)[1]
    assert climate_on([MonthClimate(month, 0.0, 9.0, rain_days=days)], dt.date(2028, month, 14)).rain_chance == 1.0
    with pytest.raises(ValueError, match="rain_days"):
        MonthClimate(month, 0.0, 9.0, rain_days=days + 0.5)


def test_january_leans_on_december_of_the_year_before() -> None:
    months = [MonthClimate(2, 0.0, 9.0), MonthClimate(1, 4.0, 9.0)]
    # Of a leap year: middles 15.5 and 45.5 days in, 30 apart; the last of January at noon is 15 after the first.
    assert climate_on(months, dt.date(2028, 1, 31)).low_C == pytest.approx(4.0 - 4.0 * 15.0 / 30.0)
