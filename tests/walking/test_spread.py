"""Low, middle and high kept together."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.walking.spread import Spread


def test_a_quantile_is_so_many_standard_deviations_up() -> None:
    spread = Spread(np.array([0.0]), np.array([1.0]), np.array([3.0]))
    # One standard deviation up is 84.134 %, and 90 % is 1.281552 of them, as any table of the normal has it.
    assert float(spread.at(0.5)[0]) == pytest.approx(1.0, abs=1e-12)
    assert float(spread.at(0.8413447461)[0]) == pytest.approx(3.0, abs=1e-8)
    assert float(spread.at(0.9)[0]) == pytest.approx(1.0 + 2.0 * 1.281552, abs=1e-5)


@pytest.mark.parametrize("quantile", [0.49, 1.0, math.nan])
def test_a_plan_is_made_at_the_middle_or_above(quantile: float) -> None:
    with pytest.raises(ValueError, match=r"0\.5 or more and below 1"):
        Spread(np.zeros(1), np.ones(1), np.ones(1)).at(quantile)


def test_sums_and_factors() -> None:
    one = Spread(np.array([[1.0, 2.0]]), np.array([[2.0, 3.0]]), np.array([[4.0, math.nan]]))
    both = Spread.total([one, one.times(0.5)])
    assert np.allclose(both.low, [[1.5, 3.0]])
    assert np.allclose(both.high, [[6.0, math.nan]], equal_nan=True)
    assert np.allclose(both.along_last().centre, [7.5])


def test_what_is_out_of_order_is_refused() -> None:
    with pytest.raises(ValueError, match="in this order"):
        Spread(np.array([2.0]), np.array([1.0]), np.array([3.0]))
    with pytest.raises(ValueError, match="in this order"):
        Spread(np.array([1.0]), np.array([3.5]), np.array([3.0]))
    with pytest.raises(ValueError, match="0 or more"):
        Spread(np.zeros(1), np.ones(1), np.ones(1)).times(-1.0)
    with pytest.raises(ValueError, match="nothing to add up"):
        Spread.total([])
