"""A window over a bend, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from handline.walking.smoothed import SmoothedLine


def test_a_window_over_a_bend_is_a_quarter_of_it_above() -> None:
    # |t| over 40 s: the mean of two triangles of 20 m is 10 m.
    bent = SmoothedLine(np.array([-100.0, 0.0, 100.0]), np.array([100.0, 0.0, 100.0]))
    assert bent.around(np.array([0.0]), 40.0) == pytest.approx([10.0], rel=1e-9)
