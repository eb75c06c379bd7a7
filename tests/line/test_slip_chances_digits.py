"""Quantiles, limits and the error of drawn slips, counted out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.line.audit import CASE_STOPS_HOLD
from handline.line.friction import ROCKS
from handline.line.sensitivity import stopped_share
from handline.line.slip_chances import ENDS, SlipChances, SlipEnds, chances_of
from handline.line.tethers import TETHERS

UNDER_6_KN, OVER_6_KN = ENDS.index("under 6 kN"), ENDS.index("6 to 8 kN")


def _chances(ends: SlipEnds) -> SlipChances:
    return chances_of(TETHERS["one sling"], ROCKS["dry"], CASE_STOPS_HOLD, ends)


def test_quantiles_are_the_tenth_the_half_and_the_ninth_tenth() -> None:
    # A thousand and one slips a centimetre and ten newtons apart: the 101st, the 501st and the 901st.
    step = np.arange(1001)
    chances = _chances(SlipEnds(np.full(1001, UNDER_6_KN), step * 0.01, step * 5.0))
    assert chances.slide_m == pytest.approx((1.0, 5.0, 9.0), rel=1e-9)
    assert chances.force_N == pytest.approx((500.0, 2500.0, 4500.0), rel=1e-9)


def test_error_is_that_of_counting_heads() -> None:
    # Six in ten of a thousand: sqrt(0.6 x 0.4 / 1000).
    end = np.where(np.arange(1000) < 600, UNDER_6_KN, OVER_6_KN)
    assert _chances(SlipEnds(end, np.ones(1000), np.full(1000, 5e3))).error == pytest.approx(
        math.sqrt(0.00024), rel=1e-9
    )


@pytest.mark.parametrize(("force_N", "within"), [(6000.0, 1.0), (6000.1, 0.0)])
def test_a_tenth_of_a_newton_over_the_limit_is_over(force_N: float, within: float) -> None:
    assert stopped_share(SlipEnds(np.array([UNDER_6_KN]), np.ones(1), np.array([force_N])), 6000.0) == within
