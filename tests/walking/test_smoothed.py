"""The averaged line: its means and speeds by hand."""

from __future__ import annotations

import numpy as np
import pytest

from handline.walking.smoothed import SmoothedLine


def test_means_and_speeds_of_a_straight_line_are_exact() -> None:
    ramp = SmoothedLine(np.array([0.0, 10.0, 100.0]), np.array([0.0, 20.0, 200.0]))
    at = np.array([0.0, 3.0, 50.0, 99.0, 100.0])
    assert ramp.around(at, 30.0) == pytest.approx(2.0 * at)
    assert ramp.velocity_m_s(at, 30.0) == pytest.approx(np.full(5, 2.0))
    assert ramp.mean(np.array([10.0]), np.array([30.0])) == pytest.approx([40.0])


def test_the_mean_is_the_integral_of_the_broken_line() -> None:
    """By hand: up to 6 m in 2 s, level for 2 s, back in 1 s: 6 + 12 + 3 m s over 5 s."""
    broken = SmoothedLine(np.array([0.0, 2.0, 4.0, 5.0]), np.array([0.0, 6.0, 6.0, 0.0]))
    assert broken.mean(np.array([0.0]), np.array([5.0])) == pytest.approx([21.0 / 5.0])
    assert broken.mean(np.array([1.0]), np.array([3.0])) == pytest.approx([(4.5 + 6.0) / 2.0])


def test_where_somebody_stops_the_speed_is_half() -> None:
    stop = SmoothedLine(np.array([0.0, 100.0, 200.0]), np.array([0.0, 100.0, 100.0]))
    assert stop.velocity_m_s(np.array([70.0, 100.0, 130.0]), 30.0) == pytest.approx([1.0, 0.5, 0.0])
