from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.storms import PUBLISHED_FLASHES, PUBLISHED_HOURS, storm_hazard


@given(st.floats(0.0, 0.99))
def test_the_days_chance_is_kept(chance: float) -> None:
    assert storm_hazard(chance).begun_share(48 * 3600.0) == pytest.approx(chance, abs=1e-9)


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


def test_most_storms_begin_in_the_afternoon() -> None:
    hazard = storm_hazard(0.5)
    noon, evening = hazard.begun_share(np.array([12.0, 20.0]) * 3600.0)
    assert noon < 0.15
    assert evening == pytest.approx(0.5)


def test_drawn_onsets_follow_the_hazard() -> None:
    hazard = storm_hazard(0.4)
    uniform = (np.arange(100_000) + 0.5) / 100_000
    onset = hazard.onset_clock_s(uniform, after_clock_s=0.0)
    assert np.isinf(onset).mean() == pytest.approx(0.6, abs=1e-3)
    for clock in (11.0, 13.0, 15.0, 18.0):
        assert (onset <= clock * 3600.0).mean() == pytest.approx(float(hazard.begun_share(clock * 3600.0)), abs=2e-3)


def test_no_onset_before_the_hour_it_is_known_to_be_dry() -> None:
    onset = storm_hazard(0.9).onset_clock_s((np.arange(1000) + 0.5) / 1000, after_clock_s=13 * 3600.0)
    assert onset.min() >= 13 * 3600.0


def test_a_typed_first_hour_moves_the_rise() -> None:
    hazard = storm_hazard(0.6, first_clock_s=14 * 3600.0)
    assert hazard.begun_share(14 * 3600.0) == pytest.approx(0.0, abs=1e-3)
    assert hazard.begun_share(30 * 3600.0) == pytest.approx(0.6)


def test_no_storm_without_a_chance() -> None:
    assert np.isinf(storm_hazard(0.0).onset_clock_s(np.array([1e-12, 0.5, 1.0]), 0.0)).all()


@pytest.mark.parametrize("chance", [-0.1, 1.0, 2.0])
def test_impossible_chances_are_refused(chance: float) -> None:
    with pytest.raises(ValueError, match="chance of a storm"):
        storm_hazard(chance)
