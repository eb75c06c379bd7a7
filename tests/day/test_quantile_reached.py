"""Where a recorded time stands among simulated ones: ties count half, and only what lies outside all is 0 or 1."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import percentileofscore

from handline.day.quantile_reached import TIE_S, share_below


@pytest.mark.parametrize("recorded", [0.0, 130.0, 505.0, 990.0, 2000.0])
def test_against_scipy_without_ties(recorded: float) -> None:
    times = np.arange(0.0, 1000.0, 10.0) + 3.0
    assert share_below(times, recorded, tie_s=0.0) == pytest.approx(percentileofscore(times, recorded, "mean") / 100.0)


def test_a_plan_without_spread_met_exactly_is_its_middle() -> None:
    same = np.full(500, 3600.0)
    assert share_below(same, 3600.0) == 0.5
    assert share_below(same, 3600.0 + TIE_S) == 0.5
    assert share_below(same, 3600.0 + TIE_S + 1.0) == 1.0
    assert share_below(same, 3600.0 - TIE_S - 1.0) == 0.0


def test_by_hand() -> None:
    times = np.array([100.0, 200.0, 300.0, 400.0])
    assert share_below(times, 310.0) == pytest.approx((2 + 0.5) / 4)
    assert share_below(times, 350.0) == pytest.approx(3 / 4)


@given(st.lists(st.floats(0.0, 1e5), min_size=1, max_size=50), st.floats(0.0, 1e5), st.floats(0.0, 1e4))
def test_a_longer_time_never_has_a_smaller_share(times: list[float], recorded: float, more: float) -> None:
    simulated = np.array(times)
    low, high = share_below(simulated, recorded), share_below(simulated, recorded + more)
    assert 0.0 <= low <= high <= 1.0
