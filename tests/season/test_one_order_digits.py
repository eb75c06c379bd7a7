"""Turns in one order, by hand."""

from __future__ import annotations

import math

import pytest

from handline.season.one_order import even_turns


def test_turns_lie_in_the_middle_of_equal_shares() -> None:
    assert even_turns(4, 1) == pytest.approx([0.125, 0.375, 0.625, 0.875], rel=1e-12)
    # The earlier of two applications: 1 - sqrt(1 - u).
    assert even_turns(2, 2) == pytest.approx([1.0 - math.sqrt(0.75), 1.0 - math.sqrt(0.25)], rel=1e-12)
