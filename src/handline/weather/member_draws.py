"""Draws that hold together in time: what was warm an hour ago is still warm. One row for each member."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

# The mean of a share over its draws is the weighted sum at these points of the normal distribution.
_NODES = 40
# The logit of the nearest share to none or all that is told apart, and how often the bracket is halved.
_FARTHEST_LOGIT, _HALVINGS = 40.0, 36


def related_normals(rng: np.random.Generator, members: int, steps: int, kept_share: float) -> FloatArray:
    """Standard normal draws of which a share is kept from each step to the next, shape (members, steps).

    Each step has mean 0 and variance 1; the correlation of two steps k apart is ``kept_share``^k, 0 to under 1.
    """
    drawn = rng.standard_normal((members, steps))
    # Step by step, not as a product of matrices: its last digits hang on how many threads share it.
    fresh = np.sqrt(1.0 - kept_share**2)
    for step in range(1, steps):
        drawn[:, step] = kept_share * drawn[:, step - 1] + fresh * drawn[:, step]
    return drawn


def factors(normals: FloatArray, spread: float) -> FloatArray:
    """Log-normal factors with mean 1, exp(s z - s^2 / 2); s is the spread of their logarithm. Same shape."""
    return np.exp(spread * normals - spread**2 / 2.0)


def share_of(logit: FloatArray) -> FloatArray:
    """1 / (1 + exp(-x)), same shape, without overflow."""
    return 0.5 * (1.0 + np.tanh(0.5 * logit))


def centre_logit(mean_share: ArrayLike, spread: float) -> FloatArray:
    """The x for which the mean of 1 / (1 + exp(-(x + s z))) over standard normal z is this share. Same shape.

    A share of 0 or 1 gets the farthest logit told apart, +-40; NaN stays NaN.
    """
    mean = np.asarray(mean_share, float)
    nodes, weights = _nodes()
    low, high = np.full(mean.shape, -_FARTHEST_LOGIT), np.full(mean.shape, _FARTHEST_LOGIT)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        above = np.einsum("...n,n->...", share_of(middle[..., None] + spread * nodes), weights) > mean
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    return np.where(np.isnan(mean), np.nan, (low + high) / 2.0)


@lru_cache(maxsize=1)
def _nodes() -> tuple[FloatArray, FloatArray]:
    nodes, weights = np.polynomial.hermite_e.hermegauss(_NODES)
    return nodes, weights / weights.sum()
