from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.member_draws import centre_logit, factors, related_normals, share_of

MANY = 40_000


def test_related_normals_are_normal_and_keep_their_share() -> None:
    drawn = related_normals(np.random.default_rng(3), MANY, 5, 0.6)
    # Standard errors: of a mean 1/sqrt(n), of a variance sqrt(2/n), of a covariance at most sqrt(2/n).
    error = np.sqrt(2.0 / MANY)
    assert abs(drawn.mean(axis=0)).max() < 4.0 * error
    found = np.cov(drawn.T)
    wanted = 0.6 ** np.abs(np.subtract.outer(np.arange(5), np.arange(5)))
    assert abs(found - wanted).max() < 5.0 * error


def test_factors_have_mean_one() -> None:
    drawn = factors(np.random.default_rng(4).standard_normal(MANY), 0.45)
    # Standard error of the mean of a log-normal: sqrt((exp(s^2) - 1) / n).
    assert drawn.mean() == pytest.approx(1.0, abs=4.0 * np.sqrt(np.expm1(0.45**2) / MANY))
    assert np.log(drawn).std() == pytest.approx(0.45, rel=0.02)


@given(st.floats(0.02, 0.98), st.floats(0.0, 2.0))
def test_the_mean_share_is_kept(mean: float, spread: float) -> None:
    """Against a sum over a fine grid of the normal density, which is another way to its mean."""
    z = np.linspace(-9.0, 9.0, 20_001)
    weight = np.exp(-(z**2) / 2.0)
    found = (share_of(float(centre_logit(mean, spread)) + spread * z) * weight).sum() / weight.sum()
    assert found == pytest.approx(mean, abs=2e-4)


def test_no_spread_no_move_and_nan_stays() -> None:
    assert float(share_of(centre_logit(0.3, 0.0))) == pytest.approx(0.3, abs=1e-9)
    assert np.isnan(centre_logit(np.array([np.nan, 0.5]), 1.0)).tolist() == [True, False]
    assert share_of(np.array([-1e4, 0.0, 1e4])).tolist() == [0.0, 0.5, 1.0]
