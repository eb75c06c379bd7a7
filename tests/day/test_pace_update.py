"""What one day says of the pace: against the posterior worked out on a grid, and what it must never do."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from handline.day.pace_update import BAND_SHARE, LEAST_DAY_SIGMA, update_pace


def prior_days(mean: float = math.log(30_000.0), sigma: float = 0.15, size: int = 20_001) -> np.ndarray:
    """Days at even steps of a normal law, so that mean, median and spread are those of the law."""
    even = norm.ppf((np.arange(size) + 0.5) / size)
    return np.exp(mean + sigma * even / even.std())


@pytest.mark.parametrize(("recorded_s", "leg_sigma"), [(30_000.0, 0.08), (39_000.0, 0.08), (24_000.0, 0.2)])
def test_against_a_grid(recorded_s: float, leg_sigma: float) -> None:
    """Referee: prior times likelihood on a fine grid of the logarithm, no formula of ours."""
    update = update_pace(prior_days(), recorded_s, leg_sigma)
    grid = np.linspace(math.log(30_000.0) - 1.5, math.log(30_000.0) + 1.5, 200_001)
    weight = norm.pdf(grid, math.log(30_000.0), 0.15) * norm.pdf(math.log(recorded_s), grid, leg_sigma)
    weight /= weight.sum()
    mean = float((weight * grid).sum())
    sigma = math.sqrt(float((weight * (grid - mean) ** 2).sum()))
    low, high = np.interp([0.1, 0.9], np.cumsum(weight), grid) - math.log(30_000.0)
    assert math.log(update.factor) == pytest.approx(mean - math.log(30_000.0), abs=2e-5)
    assert update.sigma == pytest.approx(sigma, rel=1e-4)
    assert (math.log(update.low), math.log(update.high)) == pytest.approx((low, high), abs=2e-4)
    assert update.spread == pytest.approx(math.hypot(sigma, leg_sigma), rel=1e-4)


def test_by_hand() -> None:
    """Prior sd 0.12 and day sd 0.09: weight 0.64, so ln 1.25 moves the pace by 0.64 of it; sd 0.072."""
    update = update_pace(prior_days(sigma=0.12), 37_500.0, 0.09)
    assert update.factor == pytest.approx(1.25**0.64, rel=1e-4)
    assert update.sigma == pytest.approx(0.072, rel=1e-4)
    assert update.high / update.factor == pytest.approx(math.exp(1.28155 * 0.072), rel=1e-4)


def test_no_party_is_steadier_than_the_least() -> None:
    assert update_pace(prior_days(), 30_000.0, 0.0).day_sigma == LEAST_DAY_SIGMA == 0.05
    assert BAND_SHARE == 0.80


def test_a_plan_without_spread_learns_nothing() -> None:
    update = update_pace(np.full(100, 30_000.0), 45_000.0, 0.08)
    assert (update.factor, update.low, update.high) == (1.0, 1.0, 1.0)
    assert update.spread == pytest.approx(0.08)


@settings(deadline=None, max_examples=50)
@given(st.floats(0.3, 3.0), st.floats(0.01, 0.4), st.floats(0.0, 0.4))
def test_it_lies_between_plan_and_day_and_narrows(times: float, prior_sigma: float, leg_sigma: float) -> None:
    update = update_pace(prior_days(sigma=prior_sigma, size=2001), 30_000.0 * times, leg_sigma)
    assert min(1.0, times) - 1e-6 <= update.factor <= max(1.0, times) + 1e-6
    assert update.low <= update.factor <= update.high
    assert update.sigma < min(update.prior_sigma, update.day_sigma) + 1e-12
    assert update.spread >= LEAST_DAY_SIGMA
