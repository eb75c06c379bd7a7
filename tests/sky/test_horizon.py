"""Typed horizons: straight between bearings, all around the circle."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.sky.horizon import HIGHEST_DEG, LEVEL, LOWEST_DEG, Horizon, horizon_of_bearings


def test_it_is_straight_between_bearings_and_around_the_circle() -> None:
    horizon = horizon_of_bearings([350.0, 90.0, 180.0], [10.0, 20.0, 2.0], ("a summit to the west was in cloud",))
    assert horizon.azimuth_deg.tolist() == [90.0, 180.0, 350.0]
    assert horizon.altitude_at([90.0, 135.0, 265.0, 350.0]) == pytest.approx([20.0, 11.0, 6.0, 10.0])
    assert horizon.altitude_at([40.0, 0.0, 360.0, 355.0]) == pytest.approx([15.0, 11.0, 11.0, 10.5])
    assert horizon.altitude_at([-10.0, 450.0]) == pytest.approx([10.0, 20.0])
    assert horizon.notes == ("a summit to the west was in cloud",)


def test_shapes_are_kept() -> None:
    assert LEVEL.altitude_at(np.zeros((2, 3))).shape == (2, 3)
    assert LEVEL.altitude_at(12.0).shape == ()
    assert np.isnan(LEVEL.altitude_at(math.nan))


def test_one_bearing_is_the_horizon_all_around() -> None:
    assert horizon_of_bearings([123.0], [7.0]).altitude_at([0.0, 123.0, 300.0]).tolist() == [7.0, 7.0, 7.0]


def test_the_full_circle_is_north() -> None:
    assert horizon_of_bearings([360.0, 180.0], [4.0, 8.0]).altitude_at([0.0, 90.0]).tolist() == [4.0, 6.0]


@pytest.mark.parametrize(
    ("azimuth_deg", "altitude_deg", "words"),
    [
        ([], [], "one direction at least"),
        ([1.0], [1.0, 2.0], "1 directions and 2 altitudes"),
        ([-1.0], [1.0], "-1 is not a direction"),
        ([360.5], [1.0], "360.5 is not a direction"),
        ([math.nan], [1.0], "nan is not a direction"),
        ([10.0], [math.nan], "nan is not the altitude"),
        ([10.0], [LOWEST_DEG - 0.01], "-5.01 is not the altitude"),
        ([10.0], [HIGHEST_DEG + 0.01], "90.01 is not the altitude"),
        ([10.0, 20.0, 10.0], [1.0, 2.0, 1.0], "direction 10 is given 2 times"),
        ([0.0, 360.0], [1.0, 2.0], "direction 0 is given 2 times"),
        ([400.0, 500.0], [99.0, 1.0], "400 is not a direction.*500 is not a direction.*99 is not the altitude"),
    ],
)
def test_nonsense_is_refused(azimuth_deg: list[float], altitude_deg: list[float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        horizon_of_bearings(azimuth_deg, altitude_deg)


def test_limits_themselves_are_allowed() -> None:
    assert horizon_of_bearings([0.0, 180.0], [LOWEST_DEG, HIGHEST_DEG]).altitude_deg.tolist() == [-5.0, 90.0]


def test_azimuths_of_a_horizon_rise() -> None:
    for azimuth_deg in ([20.0, 10.0], [10.0, 10.0]):
        with pytest.raises(ValueError, match="must rise"):
            Horizon(np.array(azimuth_deg), np.array([1.0, 2.0]))


@given(
    azimuth_deg=st.lists(st.floats(0.0, 359.99), min_size=1, max_size=8, unique=True),
    turn_deg=st.floats(0.0, 360.0),
    looking_deg=st.floats(0.0, 360.0),
)
@settings(deadline=None)
def test_turning_the_bearings_turns_the_horizon(azimuth_deg: list[float], turn_deg: float, looking_deg: float) -> None:
    spread = np.array(azimuth_deg)
    turned = (spread + turn_deg) % 360.0
    gap = np.diff(np.sort(np.concatenate((turned, turned + 360.0))))
    if np.min(gap) < 1e-3:  # two bearings in one place have no straight line between them
        return
    altitude_deg = np.linspace(0.0, 30.0, spread.size)
    before = horizon_of_bearings(spread.tolist(), altitude_deg.tolist()).altitude_at(looking_deg)
    after = horizon_of_bearings(turned.tolist(), altitude_deg.tolist()).altitude_at(looking_deg + turn_deg)
    assert after == pytest.approx(before, abs=1e-6)
