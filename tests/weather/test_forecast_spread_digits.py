"""How a member's cloud goes with its rain, from the same draws worked by hand."""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
import pytest

from handline.weather.forecast_spread import ForecastSpread, with_spread
from handline.weather.hours import HourlyWeather

MEMBERS = 6


def test_cloud_moves_with_rain_by_seven_tenths_and_stays_as_wide() -> None:
    # Common practice, no source: 0.7 of the rain's draw; sqrt(1 - 0.49) of another keeps its variance at 1.
    rng = np.random.default_rng(11)
    damp = rng.standard_normal((4, MEMBERS))[2]
    rank = (rng.permutation(MEMBERS) + rng.integers(1, 2_147_483_648, MEMBERS) / 2_147_483_648) / MEMBERS
    moved = [0.7 * NormalDist().inv_cdf(at) + math.sqrt(0.51) * other for at, other in zip(rank, damp, strict=True)]
    one = HourlyWeather(np.array([0.0]), 1_500.0, *(np.array([[value]]) for value in (12.0, 0.6, 4.0, 0.4, 0.0)))
    spread = ForecastSpread(cloud=1.0)
    cloud = with_spread(one, None, MEMBERS, np.random.default_rng(11), spread).cloud_share[:, 0]
    logit = np.log(cloud / (1.0 - cloud))
    assert np.diff(logit) == pytest.approx(np.diff(moved), rel=1e-9)
