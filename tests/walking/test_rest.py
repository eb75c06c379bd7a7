"""Rests owed for walking."""

from __future__ import annotations

import numpy as np
import pytest

from handline.walking.rest import rest_owed_s, with_rests


def test_ten_minutes_an_hour() -> None:
    """Two and a half hours on the move owe 25 minutes (arithmetic)."""
    assert rest_owed_s(9000.0, 600.0) == pytest.approx(1500.0)
    assert with_rests(9000.0, 600.0) == pytest.approx(10_500.0)


def test_it_does_not_matter_where_a_walk_is_cut() -> None:
    legs_s = np.array([1234.0, 3000.0, 66.0])
    assert np.sum(with_rests(legs_s, 480.0)) == pytest.approx(float(with_rests(np.sum(legs_s), 480.0)))
    assert with_rests(legs_s, 480.0).shape == (3,)
