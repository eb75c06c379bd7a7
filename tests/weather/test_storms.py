from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.trip.day_model import MOST_STORM_CHANCE as TYPED_MOST_STORM_CHANCE
from handline.weather.storms import MOST_STORM_CHANCE, PUBLISHED_FLASHES, PUBLISHED_HOURS, storm_hazard


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
