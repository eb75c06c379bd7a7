from __future__ import annotations

import numpy as np
import pytest

from handline.sources import source
from handline.weather.lightning import (
    RULE_SOURCE,
    RULE_WORDS,
    flash_distance_m,
    storm_is_near,
    wait_ends_clock_s,
)


def test_thirty_seconds_are_about_ten_kilometres() -> None:
    assert float(flash_distance_m(30.0)) == pytest.approx(10_290.0)
    assert float(flash_distance_m(30.0)) == pytest.approx(10_000.0, rel=0.03)
    assert flash_distance_m(np.array([0.0, 3.0])).tolist() == [0.0, 1_029.0]
    assert np.isnan(flash_distance_m(np.array([-1.0, np.nan]))).all()


def test_near_within_thirty_seconds_and_when_nobody_counted() -> None:
    assert storm_is_near(np.array([0.0, 30.0, 30.01, np.nan])).tolist() == [True, True, False, True]


def test_thirty_minutes_after_the_last_thunder() -> None:
    assert wait_ends_clock_s(14 * 3600.0) == 14.5 * 3600.0


def test_the_words_say_both_thirties_and_what_the_rule_misses() -> None:
    assert source(RULE_SOURCE).title == "The 30-30 rule for lightning"
    assert "Thirty or fewer" in RULE_WORDS[0]
    assert "thirty minutes" in RULE_WORDS[1]
    assert "no thunder before it" in RULE_WORDS[2]
