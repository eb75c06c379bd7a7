"""Draws against closed forms, to the last digits: sums over many draws cannot see the fourth."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.weather.member_draws import factors, related_normals, share_of


def test_each_step_is_a_sum_of_all_that_was_drawn_before() -> None:
    # x_j = k^j e_0 + sqrt(1 - k^2) sum of k^(j - i) e_i: the same recursion, written out.
    kept, steps = 0.6, 4
    fresh = np.random.default_rng(3).standard_normal((5, steps))
    found = related_normals(np.random.default_rng(3), 5, steps, kept)
    for j in range(steps):
        by_hand = kept**j * fresh[:, 0] + 0.8 * sum(kept ** (j - i) * fresh[:, i] for i in range(1, j + 1))
        assert found[:, j] == pytest.approx(by_hand, rel=1e-9)


def test_the_mean_of_log_normal_factors_is_one_by_quadrature() -> None:
    nodes, weights = np.polynomial.hermite_e.hermegauss(30)
    assert factors(nodes, 0.45) @ weights / weights.sum() == pytest.approx(1.0, rel=1e-9)
    assert float(factors(np.array(0.0), 0.6)) == pytest.approx(math.exp(-0.18), rel=1e-12)


def test_a_share_is_the_logistic_function() -> None:
    logit = np.array([-3.0, -1.0, 0.5, 2.0])
    assert share_of(logit) == pytest.approx([1.0 / (1.0 + math.exp(-x)) for x in logit], rel=1e-12)
