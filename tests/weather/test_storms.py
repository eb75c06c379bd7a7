from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.trip.weather_model import MOST_STORM_CHANCE as TYPED_MOST_STORM_CHANCE
from handline.weather.storms import (
    DEFAULT_STORM_CHANCE,
    MOST_STORM_CHANCE,
    PUBLISHED_FLASHES,
    PUBLISHED_HOURS,
    storm_chance_of_days,
    storm_hazard,
    storm_hazard_hourly,
)


@given(st.floats(0.0, 0.99))
def test_each_days_chance_is_kept(chance: float) -> None:
    hazard = storm_hazard(chance)
    assert hazard.begun_share(24 * 3600.0) == pytest.approx(chance, abs=1e-9)
    for day in (1, 2):
        later = hazard.none_between_share(day * 86400.0, (day + 1) * 86400.0)
        assert later == pytest.approx(1.0 - chance, abs=1e-9)


def test_the_published_rise() -> None:
    # NWS Pueblo: flashes by hour 06 to 14 in July; tenfold from 11 to 14.
    assert PUBLISHED_FLASHES == (5.6, 3.8, 3.6, 3.3, 8.2, 39.0, 131.0, 273.0, 396.0)
    assert PUBLISHED_HOURS == (6, 7, 8, 9, 10, 11, 12, 13, 14)
    assert PUBLISHED_FLASHES[-1] / PUBLISHED_FLASHES[5] == pytest.approx(10, rel=0.05)


def test_the_hazard_rises_as_the_counts_an_hour_early() -> None:
    hazard = storm_hazard(0.3)
    # Rate at the middle of each hour, an hour early, in proportion to the counts.
    middles = (np.array(PUBLISHED_HOURS) + 0.5 - 1.0) * 3600.0
    rate = hazard.cumulative(middles + 300.0) - hazard.cumulative(middles - 300.0)
    # The corner of the broken line is cut by 300 s on either side, most at the steep ones.
    assert rate / rate[-1] == pytest.approx(np.array(PUBLISHED_FLASHES) / 396.0, rel=0.12)


def test_the_hazard_is_the_area_under_the_counts() -> None:
    """An independent path: the area of each trapezoid of the stated corners, by hand."""
    hours = [0.0, *(hour + 0.5 - 1.0 for hour in range(6, 15)), 17.0, 21.0]
    counts = [5.6, 5.6, 3.8, 3.6, 3.3, 8.2, 39.0, 131.0, 273.0, 396.0, 396.0, 0.0]
    areas = [(counts[i] + counts[i + 1]) / 2 * (hours[i + 1] - hours[i]) for i in range(len(hours) - 1)]
    hazard = storm_hazard(0.3)
    for i, hour in enumerate(hours[1:], start=1):
        share = float(hazard.cumulative(hour * 3600.0)) / -np.log(0.7)
        assert share == pytest.approx(sum(areas[:i]) / sum(areas), abs=2e-5)


def test_limits_agree_where_two_rooms_state_them() -> None:
    assert MOST_STORM_CHANCE == TYPED_MOST_STORM_CHANCE == 0.99


def test_level_until_seventeen_and_gone_by_twenty_one() -> None:
    hazard = storm_hazard(0.3)

    def rate(hour: float) -> float:
        return float(hazard.cumulative(hour * 3600.0 + 300.0) - hazard.cumulative(hour * 3600.0 - 300.0))

    assert rate(16.5) == pytest.approx(rate(14.0))
    assert rate(19.0) == pytest.approx(rate(14.0) / 2.0, rel=1e-6)
    assert rate(21.5) == 0.0


def test_most_storms_begin_in_the_afternoon() -> None:
    hazard = storm_hazard(0.5)
    noon, evening = hazard.begun_share(np.array([12.0, 21.0]) * 3600.0)
    assert noon < 0.15
    assert evening == pytest.approx(0.5)


def test_none_between_is_the_conditional_chance() -> None:
    hazard = storm_hazard(0.4)
    begun = hazard.begun_share(np.array([13.0, 16.0]) * 3600.0)
    assert hazard.none_between_share(13 * 3600.0, 16 * 3600.0) == pytest.approx((1 - begun[1]) / (1 - begun[0]))
    assert hazard.none_between_share(13 * 3600.0, 13 * 3600.0) == 1.0


def test_a_typed_first_hour_moves_the_rise_and_keeps_the_chance() -> None:
    late, early = storm_hazard(0.6, first_clock_s=14 * 3600.0), storm_hazard(0.6, first_clock_s=6 * 3600.0)
    assert late.begun_share(14 * 3600.0) == pytest.approx(0.0, abs=1e-3)
    assert late.begun_share(24 * 3600.0) == pytest.approx(0.6)
    # An early first hour does not make the afternoon dry.
    assert early.begun_share(16.5 * 3600.0) < early.begun_share(20 * 3600.0)


def test_no_storm_without_a_chance() -> None:
    assert (storm_hazard(0.0).begun_share(np.arange(0.0, 72 * 3600.0, 3600.0)) == 0.0).all()


@pytest.mark.parametrize("chance", [-0.1, 1.0, 2.0])
def test_impossible_chances_are_refused(chance: float) -> None:
    with pytest.raises(ValueError, match="chance of a storm"):
        storm_hazard(chance)


# --- chances by hour ----------------------------------------------------------------------------------------------
@given(st.lists(st.floats(0.0, 0.99), min_size=72, max_size=72))
def test_hourly_chances_multiply(chances: list[float]) -> None:
    chance = np.array(chances)
    found = storm_hazard_hourly(chance, np.arange(72) * 3600.0)
    ends = np.arange(1, 73) * 3600.0
    assert found.hazard.begun_share(ends) == pytest.approx(1.0 - np.cumprod(1.0 - chance), abs=1e-9)
    assert not found.capped.any()
    assert not found.assumed.any()


def test_within_an_hour_the_hazard_is_even() -> None:
    chance = np.zeros(24)
    chance[14] = 0.5
    hazard = storm_hazard_hourly(chance, np.arange(24) * 3600.0).hazard
    assert hazard.begun_share(14 * 3600.0) == 0.0
    assert hazard.begun_share(14.5 * 3600.0) == pytest.approx(1.0 - np.sqrt(0.5))
    assert hazard.begun_share(15 * 3600.0) == pytest.approx(0.5)


def test_hours_without_a_chance_are_those_of_a_usual_day() -> None:
    usual = storm_hazard(DEFAULT_STORM_CHANCE)
    chance = np.full(12, 0.1)
    chance[3:5] = np.nan
    found = storm_hazard_hourly(chance, (8.0 + np.arange(12)) * 3600.0)
    assert np.flatnonzero(found.assumed).tolist() == [3, 4]
    for begin, end in ((0.0, 8.0), (11.0, 13.0), (20.0, 72.0)):
        there = found.hazard.none_between_share(begin * 3600.0, end * 3600.0)
        assert there == pytest.approx(usual.none_between_share(begin * 3600.0, end * 3600.0))
    assert found.hazard.none_between_share(13 * 3600.0, 20 * 3600.0) == pytest.approx(0.9**7)
    nothing = storm_hazard_hourly(np.full(24, np.nan), np.arange(24) * 3600.0).hazard
    assert nothing.begun_share(86400.0) == pytest.approx(DEFAULT_STORM_CHANCE)


def test_storms_of_the_day_before_are_over() -> None:
    found = storm_hazard_hourly(np.full(36, 0.3), (np.arange(36) - 12.0) * 3600.0)
    assert found.hazard.begun_share(0.0) == 0.0
    assert found.hazard.begun_share(3600.0) == pytest.approx(0.3)
    half = storm_hazard_hourly(np.full(36, 0.3), (np.arange(36) - 12.5) * 3600.0)
    assert half.hazard.begun_share(1800.0) == pytest.approx(1.0 - np.sqrt(0.7))


def test_a_forecast_longer_than_three_days_is_kept_whole() -> None:
    hazard = storm_hazard_hourly(np.full(96, 0.01), np.arange(96) * 3600.0).hazard
    assert hazard.begun_share(96 * 3600.0) == pytest.approx(1.0 - 0.99**96)


def test_a_sure_storm_is_capped_and_said() -> None:
    found = storm_hazard_hourly(np.array([0.0, 1.0, 0.995, 0.99]), np.arange(4) * 3600.0)
    assert found.capped.tolist() == [False, True, True, False]
    assert found.hazard.begun_share(7200.0) == pytest.approx(MOST_STORM_CHANCE)


@pytest.mark.parametrize(
    ("chance", "clock_h", "words"),
    [
        ([0.1, 1.1], [0, 1], "chance of thunder"),
        ([0.1, -0.1], [0, 1], "chance of thunder"),
        ([0.1], [0, 1], "start of their hours"),
        ([0.1, 0.1], [0, 3], "start of their hours"),
    ],
)
def test_impossible_hours_are_refused(chance: list[float], clock_h: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        storm_hazard_hourly(chance, np.array(clock_h) * 3600.0)


def test_a_months_days_of_storms() -> None:
    assert storm_chance_of_days(np.array([0.0, 6.2, 31.0]), 31.0) == pytest.approx(np.array([0.0, 0.2, 1.0]))
    assert np.isnan(storm_chance_of_days(np.array([-1.0, 32.0, np.nan]), 31.0)).all()
    assert np.isnan(storm_chance_of_days(1.0, 0.0))
