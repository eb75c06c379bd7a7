"""The fit itself: scale and climb term of many models at once, robust, with a pace of its own for every day.

Every array here has the shape (models, folds, ...): all models and all folds of the held-out test are solved together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.walking.grade_models import FloatArray

# Residuals beyond so many robust standard deviations pull no harder than one at that distance (Huber 1981).
HUBER = 1.345
# From the median of absolute values to the standard deviation of a normal distribution.
MAD_TO_SD = 1.4826
# Residuals are cut off here when sums are made right in the mean.
CLIPPED_AT = 3.0
SMALLEST_SD = 0.02
MOST_STEPS = 20
CLOSE_ENOUGH = 1e-5


@dataclass(frozen=True, eq=False)
class PiecesToFit:
    """What is fitted: ``time_s`` (pieces,), ``model_s`` (models, pieces), ``climb_m`` (pieces,).

    ``day`` (pieces, days) is 1 where a piece is of that day; ``kept`` (folds, pieces) is 1 where a piece is learned
    from. ``lowest_climb`` (models,) is how far the climb term may fall [s/m].
    """

    time_s: FloatArray
    model_s: FloatArray
    climb_m: FloatArray
    day: FloatArray
    kept: FloatArray
    lowest_climb: FloatArray


@dataclass(frozen=True, eq=False)
class Spreads:
    """How pieces and days are taken to vary, each of shape (models,) or a number.

    ``day_sd``: of one day from the next, log. ``alike``: by how much pieces near in time go together, as the factor by
    which that raises the variance of their mean. ``climb_sd``: what is known of the climb term beforehand [s/m].
    """

    day_sd: FloatArray
    alike: FloatArray
    climb_sd: float


@dataclass(frozen=True, eq=False)
class Solution:
    """ln T = ln(model + climb_term * climb) + level + day + residual.

    ``level`` and ``climb`` [s/m] of shape (models, folds), ``day`` (models, folds, days), ``residual`` (models, folds,
    pieces), ``sd`` robust of the residuals that were learned from, ``weight`` of each piece from 0 to 1, ``cov``
    (models, folds, 2, 2) of level and climb, ``mean`` what the exponential of level must be multiplied with so that
    sums are right.
    """

    level: FloatArray
    climb: FloatArray
    day: FloatArray
    residual: FloatArray
    sd: FloatArray
    weight: FloatArray
    cov: FloatArray
    mean: FloatArray


def solve(fitted: PiecesToFit, spreads: Spreads) -> Solution:
    """Fit every model on every fold.

    Iteratively reweighted least squares (Huber) of the logarithm of time, linear in the climb term step by step, with
    a random level for each day::

        y = level + day_d + climb g + e,  y = ln(T / (M + q0 climb)) + g q0,  g = climb / (M + q0 climb)
        day_d ~ N(0, day_sd^2),  e ~ N(0, alike sd^2 / w),  climb ~ N(0, climb_sd^2)

    Parameters
    ----------
    fitted : PiecesToFit
    spreads : Spreads

    Returns
    -------
    Solution

    Validity: times and model times above zero.
    Sources: huber_1981, our_pace_fit.
    """
    shape = (fitted.model_s.shape[0], fitted.kept.shape[0])
    climb = np.zeros(shape)
    mu = _model_with_climb(fitted, climb)
    level = _median(np.log(fitted.time_s / mu), fitted.kept)
    day = np.zeros((*shape, fitted.day.shape[1]))
    for _ in range(MOST_STEPS):
        log_ratio = np.log(fitted.time_s / mu)
        residual = log_ratio - level[..., None] - day @ fitted.day.T
        sd = np.maximum(MAD_TO_SD * _median(np.abs(residual), fitted.kept), SMALLEST_SD)
        weight = fitted.kept * np.minimum(1.0, HUBER * sd[..., None] / np.maximum(np.abs(residual), 1e-12))
        slope = fitted.climb_m / mu
        step = _linear_step(fitted, spreads, log_ratio + slope * climb[..., None], slope, weight, sd)
        moved = max(float(np.max(np.abs(step.level - level))), float(np.max(np.abs(step.climb - climb))))
        level, climb, day = step.level, step.climb, step.day
        mu = _model_with_climb(fitted, climb)
        if moved < CLOSE_ENOUGH:
            break
    residual = np.log(fitted.time_s / mu) - level[..., None] - day @ fitted.day.T
    mean = _right_in_the_mean(fitted, mu, day, residual, sd)
    return Solution(level, climb, day, residual, sd, weight, step.cov, mean)


def _model_with_climb(fitted: PiecesToFit, climb: FloatArray) -> FloatArray:
    mu: FloatArray = fitted.model_s[:, None, :] + climb[..., None] * fitted.climb_m
    return mu


def _median(values: FloatArray, kept: FloatArray) -> FloatArray:
    """The median of the values that are kept, shape (models, folds)."""
    ordered = np.sort(np.where(kept > 0.0, values, np.inf), axis=-1)
    count = kept.sum(axis=-1).astype(int)
    folds = np.arange(kept.shape[0])
    middle: FloatArray = (ordered[:, folds, (count - 1) // 2] + ordered[:, folds, count // 2]) / 2.0
    return middle


@dataclass(frozen=True, eq=False)
class _Step:
    level: FloatArray
    climb: FloatArray
    day: FloatArray
    cov: FloatArray


def _linear_step(
    fitted: PiecesToFit, spreads: Spreads, y: FloatArray, slope: FloatArray, weight: FloatArray, sd: FloatArray
) -> _Step:
    """Level, climb term and days of the weighted linear fitted; the day levels are solved for in closed form."""
    precision = weight / (spreads.alike[:, None] * sd**2)[..., None]
    one_day = (1.0 / spreads.day_sd**2)[:, None, None]
    of_day = fitted.day
    s_1, s_g, s_gg = precision @ of_day, (precision * slope) @ of_day, (precision * slope**2) @ of_day
    s_y, s_gy = (precision * y) @ of_day, (precision * slope * y) @ of_day
    shrunk = 1.0 / (one_day + s_1)
    a_11 = np.sum(s_1 - s_1**2 * shrunk, axis=-1)
    a_12 = np.sum(s_g - s_1 * s_g * shrunk, axis=-1)
    a_22 = np.sum(s_gg - s_g**2 * shrunk, axis=-1) + 1.0 / spreads.climb_sd**2
    b_1 = np.sum(s_y - s_1 * s_y * shrunk, axis=-1)
    b_2 = np.sum(s_gy - s_g * s_y * shrunk, axis=-1)
    determinant = a_11 * a_22 - a_12**2
    climb = np.maximum((a_11 * b_2 - a_12 * b_1) / determinant, fitted.lowest_climb[:, None])
    level = (b_1 - a_12 * climb) / a_11
    day = shrunk * (s_y - level[..., None] * s_1 - climb[..., None] * s_g)
    cov = np.stack([np.stack([a_22, -a_12], axis=-1), np.stack([-a_12, a_11], axis=-1)], axis=-2)
    return _Step(level, climb, day, cov / determinant[..., None, None])


def _right_in_the_mean(
    fitted: PiecesToFit, mu: FloatArray, day: FloatArray, residual: FloatArray, sd: FloatArray
) -> FloatArray:
    """The sum of the times over the sum of what the fitted middles say, residuals cut off at three deviations.

    The middle of a piece is not its mean: slow pieces take longer than fast ones save, and a walk is a sum.
    """
    expected = mu * np.exp(day @ fitted.day.T) * fitted.kept
    cut = CLIPPED_AT * sd[..., None]
    mean: FloatArray = np.sum(expected * np.exp(np.clip(residual, -cut, cut)), axis=-1) / np.sum(expected, axis=-1)
    return mean
