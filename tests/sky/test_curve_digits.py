"""Where a parabola turns, exactly."""

from __future__ import annotations

import numpy as np
import pytest

from handline.sky.curve import sample


@pytest.mark.parametrize("turn_s", [1000.0, 1400.0, 1523.4])
def test_the_turn_of_a_parabola_is_sampled_where_it_is(turn_s: float) -> None:
    # Samples lie at 0, 1200 and 2400 s.
    curve = sample(lambda time_s: 5.0 - ((time_s - turn_s) / 600.0) ** 2, 0.0, 2400.0)
    assert np.min(np.abs(curve.time_s - turn_s)) < 1e-6
    assert curve.value.max() == pytest.approx(5.0, abs=1e-12)
