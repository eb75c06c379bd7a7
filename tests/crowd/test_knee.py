"""The knee: where a curve made for it has it, and what has none."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.crowd.knee import knee


@given(at=st.integers(1, 18), scale=st.floats(0.1, 1e4), shift=st.floats(-100, 100))
def test_two_straight_pieces_meet_at_it(at: int, scale: float, shift: float) -> None:
    x = np.arange(20.0)
    y = shift + scale * np.where(x > at, 5.0 * (x - at), 0.0)
    assert knee(x, y) == at


def test_a_parabola_has_it_in_the_middle() -> None:
    # x - x^2 is greatest at 1/2.
    x = np.linspace(0.0, 1.0, 11)
    assert knee(x, x**2) == 5


def test_what_does_not_rise_or_is_straight_or_bends_the_other_way_has_none() -> None:
    x = np.arange(5.0)
    for y in (np.zeros(5), -x, 3.0 * x + 1.0, np.sqrt(x)):
        assert knee(x, y) is None


@pytest.mark.parametrize(
    ("x", "y"),
    [([0, 1], [0, 1]), ([0, 1, 2], [0, 1]), ([0, 1, 1], [0, 1, 2]), ([0, 1, 2], [0, np.nan, 2]), ([[0, 1, 2]], [1])],
)
def test_nonsense_is_refused(x, y) -> None:
    with pytest.raises(ValueError, match="curve"):
        knee(x, y)
