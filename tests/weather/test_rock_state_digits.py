"""Steps within the hour, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from handline.weather.rock_state import _STEPS, _straight


def test_each_step_takes_the_value_of_its_middle() -> None:
    # From 0 to 60 over an hour: a step of so many minutes takes the minute of its middle. The last hour stays at 60.
    minutes = 60.0 / _STEPS
    found = _straight(np.array([[0.0], [60.0]]))[:, 0]
    assert found[:_STEPS] == pytest.approx([minutes / 2.0 + minutes * step for step in range(_STEPS)], abs=1e-9)
    assert found[_STEPS:] == pytest.approx([60.0] * _STEPS)
