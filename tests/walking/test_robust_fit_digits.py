"""One step of the robust fit against dense normal equations, where what is known beforehand weighs as much as data."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

from handline.walking.robust_fit import PiecesToFit, Solution, Spreads, solve

DAY_SD, ALIKE, CLIMB_SD_S_M = 0.08, 2.5, 0.05


def _fitted() -> tuple[PiecesToFit, Solution]:
    """Eight pieces of two days and one model; times off by up to a tenth, so that no piece counts for less."""
    off = np.array([0.05, -0.07, 0.06, -0.04, 0.08, -0.05, 0.04, -0.06])
    model_s = np.array([[120.0, 150.0, 90.0, 110.0, 130.0, 100.0, 140.0, 95.0]])
    climb_m = np.array([20.0, 0.0, 35.0, 5.0, 28.0, 12.0, 0.0, 17.0])
    day = np.repeat(np.eye(2), 4, axis=0)
    to_fit = PiecesToFit(model_s[0] * np.exp(off + 0.1), model_s, climb_m, day, np.ones((1, 8)), np.array([-10.0]))
    return to_fit, solve(to_fit, Spreads(np.array([DAY_SD]), np.array([ALIKE]), CLIMB_SD_S_M))


def test_how_unsure_level_and_climb_are() -> None:
    to_fit, found = _fitted()
    assert np.all(found.weight == 1.0)
    slope = to_fit.climb_m / (to_fit.model_s[0] + found.climb[0, 0] * to_fit.climb_m)
    design = np.column_stack([np.ones(8), slope, to_fit.day])
    beforehand = np.diag([0.0, 1.0 / CLIMB_SD_S_M**2, 1.0 / DAY_SD**2, 1.0 / DAY_SD**2])
    unsure = np.linalg.inv(design.T @ design / (ALIKE * found.sd[0, 0] ** 2) + beforehand)
    assert found.cov[0, 0] == pytest.approx(unsure[:2, :2], rel=1e-5)


def test_the_spread_is_that_of_the_middle_of_what_is_off() -> None:
    _, found = _fitted()
    middle = np.median(np.abs(found.residual[0, 0]))
    assert found.sd[0, 0] == pytest.approx(middle / NormalDist().inv_cdf(0.75), rel=1e-4)
