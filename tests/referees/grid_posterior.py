"""A pace's posterior worked out on a fine grid, prior times likelihood, with no formula of a conjugate: referee."""

from __future__ import annotations

import math
from collections.abc import Sequence


def grid_posterior(
    prior_sigma: float,
    log_ratio: Sequence[float],
    slope: Sequence[float],
    noise_sigma: Sequence[float],
    points: int = 40_001,
) -> tuple[float, float]:
    """Mean and standard deviation of t, from N(0, prior_sigma^2) and y_k = b_k t + N(0, noise_k^2)."""
    reach = 20.0 * prior_sigma
    grid = [-reach + 2.0 * reach * i / (points - 1) for i in range(points)]
    logs = [
        -0.5 * (t / prior_sigma) ** 2
        - 0.5 * sum(((y - b * t) / v) ** 2 for y, b, v in zip(log_ratio, slope, noise_sigma, strict=True))
        for t in grid
    ]
    most = max(logs)
    weight = [math.exp(log - most) for log in logs]
    total = math.fsum(weight)
    mean = math.fsum(w * t for w, t in zip(weight, grid, strict=True)) / total
    variance = math.fsum(w * (t - mean) ** 2 for w, t in zip(weight, grid, strict=True)) / total
    return mean, math.sqrt(variance)
