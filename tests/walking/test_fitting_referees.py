"""The fit of a pace against minimisers, whole matrices and plain loops that are not ours."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from scipy.optimize import minimize

from handline.walking import robust_fit
from handline.walking.fitting import _held_out_errors, _spreads, _weights
from handline.walking.pace import walking_time
from handline.walking.robust_fit import PiecesToFit, Spreads, solve


def small(seed: int = 4, days: int = 3) -> tuple[PiecesToFit, Spreads]:
    rng = np.random.default_rng(seed)
    number = np.repeat(np.arange(days), [30, 45, 25][:days])
    run, rise = rng.uniform(80.0, 160.0, number.size), rng.uniform(-0.25, 0.3, number.size) * 120.0
    model_s = np.array([walking_time(key, run, rise).segment_s for key in ("tobler_1993", "naismith_1892")])
    luck = np.array([0.1, -0.05, 0.02])[number]
    time_s = model_s[0] * np.exp(luck + 0.15 * rng.standard_t(3, number.size)) * 1.1 + 0.7 * np.maximum(rise, 0.0)
    day = (number[:, None] == np.arange(days)).astype(float)
    kept = np.ones((2, number.size))
    kept[1, 10:22] = 0.0
    to_fit = PiecesToFit(time_s, model_s, np.maximum(rise, 0.0), day, kept, np.array([-50.0, -50.0]))
    return to_fit, Spreads(np.array([0.07, 0.09]), np.array([2.0, 3.0]), 2.0)


@pytest.mark.parametrize("model", [0, 1])
@pytest.mark.parametrize("fold", [0, 1])
def test_the_solution_is_the_least_of_what_it_minimises(model: int, fold: int) -> None:
    """Referee: a general minimiser over level, climb term and days of the Huber loss with both priors."""
    to_fit, spreads = small()
    ours = solve(to_fit, spreads)
    sd, kept = float(ours.sd[model, fold]), to_fit.kept[fold]
    variance = spreads.alike[model] * sd**2

    def loss(at: np.ndarray) -> float:
        mu = to_fit.model_s[model] + at[1] * to_fit.climb_m
        off = np.abs(np.log(to_fit.time_s / mu) - at[0] - to_fit.day @ at[2:]) / sd
        huber = np.where(off < robust_fit.HUBER, off**2 / 2.0, robust_fit.HUBER * (off - robust_fit.HUBER / 2.0))
        prior = np.sum(at[2:] ** 2) / (2.0 * spreads.day_sd[model] ** 2) + at[1] ** 2 / (2.0 * spreads.climb_sd**2)
        return float(np.sum(kept * huber) * sd**2 / variance + prior)

    found = minimize(loss, np.zeros(5), method="BFGS", options={"gtol": 1e-9}).x
    assert ours.level[model, fold] == pytest.approx(found[0], abs=2e-4)
    assert ours.climb[model, fold] == pytest.approx(found[1], abs=2e-3)
    assert ours.day[model, fold] == pytest.approx(found[2:], abs=2e-4)


@pytest.mark.parametrize("model", [0, 1])
def test_how_unsure_it_is_by_whole_matrices(model: int) -> None:
    """Referee: generalised least squares with the covariance of all pieces written out."""
    to_fit, spreads = small()
    ours = solve(to_fit, spreads)
    mu = to_fit.model_s[model] + ours.climb[model, 0] * to_fit.climb_m
    noise = np.diag(spreads.alike[model] * ours.sd[model, 0] ** 2 / ours.weight[model, 0])
    whole = noise + spreads.day_sd[model] ** 2 * to_fit.day @ to_fit.day.T
    x = np.stack([np.ones_like(mu), to_fit.climb_m / mu], axis=1)
    sure = x.T @ np.linalg.solve(whole, x) + np.diag([0.0, 1.0 / spreads.climb_sd**2])
    assert ours.cov[model, 0] == pytest.approx(np.linalg.inv(sure), rel=1e-3)


def test_the_mean_by_plain_sums() -> None:
    to_fit, spreads = small()
    ours = solve(to_fit, spreads)
    for model in range(2):
        for fold in range(2):
            here = to_fit.kept[fold] > 0.0
            expected = to_fit.model_s[model] + ours.climb[model, fold] * to_fit.climb_m
            expected = (expected * np.exp(to_fit.day @ ours.day[model, fold]))[here]
            cut = 3.0 * ours.sd[model, fold]
            lowest, highest = expected * math.exp(-cut), expected * math.exp(cut)
            level = math.exp(ours.level[model, fold])
            recorded_s = np.minimum(np.maximum(to_fit.time_s[here] / level, lowest), highest)
            assert ours.mean[model, fold] == pytest.approx(recorded_s.sum() / expected.sum())


def test_a_fold_is_the_fit_to_what_it_keeps() -> None:
    to_fit, spreads = small()
    here = to_fit.kept[1] > 0.0
    alone = PiecesToFit(
        to_fit.time_s[here], to_fit.model_s[:, here], to_fit.climb_m[here], to_fit.day[here], np.ones((1, here.sum())),
        to_fit.lowest_climb,
    )  # fmt: skip
    ours, by_itself = solve(to_fit, spreads), solve(alone, spreads)
    assert ours.level[:, 1] == pytest.approx(by_itself.level[:, 0], abs=1e-4)
    assert ours.climb[:, 1] == pytest.approx(by_itself.climb[:, 0], abs=1e-3)
    assert ours.cov[:, 1] == pytest.approx(by_itself.cov[:, 0], rel=1e-2)


def test_held_out_errors_by_fitting_each_fold_by_itself() -> None:
    """Referee: plain loops over the folds, each fitted alone, and over the blocks left out."""
    to_fit, spreads = small()
    to_fit = replace(to_fit, kept=np.ones((1, to_fit.time_s.size)))
    block = np.concatenate([np.arange(30) // 8, 4 + np.arange(45) // 9, 9 + np.arange(25) // 13]).astype(float)
    ours = _held_out_errors(to_fit, spreads, block)
    for model in range(2):
        squares, lengths = 0.0, 0.0
        for fold in range(5):
            here = block % 5 != fold
            alone = PiecesToFit(
                to_fit.time_s[here], to_fit.model_s[:, here], to_fit.climb_m[here], to_fit.day[here],
                np.ones((1, here.sum())), to_fit.lowest_climb,
            )  # fmt: skip
            fitted = solve(alone, spreads)
            for number in np.unique(block[~here]):
                out = block == number
                mu = to_fit.model_s[model, out] + fitted.climb[model, 0] * to_fit.climb_m[out]
                luck = np.exp(fitted.level[model, 0] + to_fit.day[out] @ fitted.day[model, 0])
                said_s = float(np.sum(mu * luck * fitted.mean[model, 0]))
                recorded_s = float(to_fit.time_s[out].sum())
                squares += recorded_s * math.log(recorded_s / said_s) ** 2
                lengths += recorded_s
        assert ours[model] == pytest.approx(math.sqrt(squares / lengths), rel=2e-3)


def test_how_far_models_are_believed_by_hand() -> None:
    """Nine blocks, errors of 10 % and 12 %: exp(-9 (0.0144 - 0.01) / 0.02) = exp(-1.98)."""
    weights = _weights(np.array([0.10, 0.12]), 9)
    assert weights[1] / weights[0] == pytest.approx(math.exp(-1.98))
    assert weights.sum() == pytest.approx(1.0)


def test_spreads_by_plain_loops() -> None:
    to_fit, usual = small()
    to_fit = replace(to_fit, kept=np.ones((1, to_fit.time_s.size)))
    block = np.concatenate([np.arange(30) // 8, 4 + np.arange(45) // 9, 9 + np.arange(25) // 13]).astype(float)
    solution = solve(to_fit, usual)
    ours = _spreads(to_fit, solution, block)
    for model in range(2):
        pulled = solution.residual[model, 0] * solution.weight[model, 0]
        variance = float(np.mean(pulled**2))
        together = sum(float(pulled[block == b].sum()) ** 2 / (block == b).sum() for b in np.unique(block)) / variance
        alike = max(1.0, (5.0 * 3.0 + together) / (5.0 + 11 - 3 - 1))
        assert ours.alike[model] == pytest.approx(alike)
        levels, chances = [], []
        for number in range(3):
            here = to_fit.day[:, number] > 0.0
            weight = solution.weight[model, 0][here]
            levels.append(
                np.average(solution.residual[model, 0][here] + solution.day[model, 0, number], weights=weight)
            )
            chances.append(alike * solution.sd[model, 0] ** 2 / weight.sum())
        apart = float(np.sum((np.array(levels) - np.mean(levels)) ** 2)) - 2.0 * float(np.mean(chances))
        assert ours.day_sd[model] ** 2 == pytest.approx((4.0 * 0.09**2 + max(0.0, apart)) / (4.0 + 2.0))


def test_the_constants_of_robust_fits() -> None:
    """1.345 keeps 95 % of the efficiency at normal errors, in closed form; 1.4826 makes a MAD a deviation.
    (source: huber_1981, recomputed)"""
    normal, k = NormalDist(), robust_fit.HUBER
    inside = 2.0 * normal.cdf(k) - 1.0
    square = inside - 2.0 * k * normal.pdf(k) + 2.0 * k**2 * (1.0 - normal.cdf(k))
    assert inside**2 / square == pytest.approx(0.95, abs=2e-5)
    assert 1.0 / normal.inv_cdf(0.75) == pytest.approx(robust_fit.MAD_TO_SD, abs=5e-5)
