"""What thin air does to walking time."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.walking.altitude import altitude_factor, vo2max_share
from handline.walking.pace import FLAGS
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("altitude"), ids=lambda r: r["elevation_m"])
def test_breath_agrees_with_the_table(row: dict[str, str]) -> None:
    found = vo2max_share(float(row["elevation_m"]))
    assert float(found.vo2max_share) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)
    assert found.flags == ()


def test_above_3000_m_breath_was_not_measured() -> None:
    found = vo2max_share([3000.0, 3000.1, math.nan])
    assert np.array_equal(np.isnan(found.vo2max_share), [False, True, True])
    assert found.flags == ("beyond_altitude", "height_unknown")


@pytest.mark.parametrize("row", read_table("altitude_factor"), ids=lambda r: f"{r['elevation_m']} m")
def test_factor_agrees_with_the_table(row: dict[str, str]) -> None:
    found = altitude_factor(float(row["elevation_m"]), float(row["recorded_elevation_m"]))
    assert float(found.time_factor) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)
    assert found.flags == (("beyond_altitude",) if float(row["elevation_m"]) > 3000.0 else ())


def test_higher_is_slower() -> None:
    factor = altitude_factor(np.arange(0.0, 4001.0, 50.0)).time_factor
    assert np.all(factor[:7] == 1.0)
    assert np.all(np.diff(factor[6:]) > 0.0)


def test_lower_than_recorded_is_no_gain_and_says_so() -> None:
    found = altitude_factor([1500.0, 2000.0, 2500.0], recorded_elevation_m=2000.0)
    assert np.array_equal(found.time_factor[:2], [1.0, 1.0])
    assert found.time_factor[2] > 1.0
    assert found.flags == ("lower_than_recorded",)


def test_below_300_m_no_air_is_thicker_than_another() -> None:
    assert altitude_factor(0.0, recorded_elevation_m=300.0).flags == ()


def test_an_unknown_height_counts_for_nothing_and_says_so() -> None:
    found = altitude_factor([math.nan, 2000.0])
    assert found.time_factor[0] == 1.0
    assert found.time_factor[1] > 1.0
    assert found.flags == ("height_unknown",)
    assert altitude_factor(2000.0, recorded_elevation_m=math.nan).flags == ("height_unknown",)


def test_every_flag_has_words() -> None:
    found = altitude_factor([math.nan, 3500.0], recorded_elevation_m=3200.0)
    assert set(found.flags) == {"height_unknown", "beyond_altitude"}
    assert set(found.flags) | {"lower_than_recorded"} <= set(FLAGS)


def test_without_more_said_the_pace_is_from_the_sea() -> None:
    assert altitude_factor(2000.0) == altitude_factor(2000.0, 0.0)
