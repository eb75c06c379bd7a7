"""What one recorded day says of a party's pace: the plan's own spread, narrowed by what was recorded."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from handline.day.pace_report import BAND_SHARE as BAND_SHARE
from handline.day.simulation import Floats

# No party walks one way twice in the same time. [practice_pace_spread]
LEAST_DAY_SIGMA = 0.05


@dataclass(frozen=True)
class PaceUpdate:
    """A party's pace after one recorded day, as times of the plan's middle.

    ``factor`` is how many times as long as the plan's middle this party walks; ``low`` and ``high`` hold it with
    ``BAND_SHARE``. ``prior_sigma`` and ``sigma`` are the spreads of its logarithm before and after; ``day_sigma`` is
    how much one day differs from the next. ``spread`` is that of the next day's walking time, all in one.
    """

    planned_walking_s: float
    recorded_walking_s: float
    factor: float
    low: float
    high: float
    prior_sigma: float
    sigma: float
    day_sigma: float

    @property
    def spread(self) -> float:
        return float(np.hypot(self.sigma, self.day_sigma))


def update_pace(planned_walking_s: Floats, recorded_walking_s: float, leg_sigma: float) -> PaceUpdate:
    """The conjugate normal update of the logarithm of the pace.

    ::

        prior:  ln W ~ N(m, s0^2), from the simulated days
        day:    y = ln(recorded), noise v^2 with v = max(leg_sigma, 0.05)
        1/s^2 = 1/s0^2 + 1/v^2;  mean = s^2 (m/s0^2 + y/v^2)

    Parameters
    ----------
    planned_walking_s : (days,) array [s]
        Walking of every simulated day over the legs that were recorded, rests and dark left out.
    recorded_walking_s : float [s]
        The same as recorded.
    leg_sigma : float
        The party's spread from leg to leg. One day is taken to differ from the next by as much, undivided by the number
        of legs: weather, mood and ground are shared by all of them.

    Returns
    -------
    PaceUpdate

    Notes
    -----
    A plan without any spread has nothing to learn from: its prior is a point, and stays.
    Sources: gelman_2013, practice_pace_spread.
    """
    logs = np.log(planned_walking_s)
    middle, prior_sigma = float(np.median(logs)), float(logs.std())
    mean, day_sigma = float(logs.mean()), max(leg_sigma, LEAST_DAY_SIGMA)
    observed = float(np.log(recorded_walking_s))
    weight = prior_sigma**2 / (prior_sigma**2 + day_sigma**2)
    updated = mean + weight * (observed - mean)
    sigma = float(np.sqrt(weight) * day_sigma)
    reach = NormalDist().inv_cdf(0.5 + BAND_SHARE / 2.0) * sigma
    return PaceUpdate(
        planned_walking_s=float(np.exp(middle)),
        recorded_walking_s=recorded_walking_s,
        factor=float(np.exp(updated - middle)),
        low=float(np.exp(updated - middle - reach)),
        high=float(np.exp(updated - middle + reach)),
        prior_sigma=prior_sigma,
        sigma=sigma,
        day_sigma=day_sigma,
    )
