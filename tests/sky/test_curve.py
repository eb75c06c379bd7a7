"""Crossings of smooth curves whose answers are known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.sky.curve import FloatArray, sample

DAY_S = 86400.0


def wave(time_s: FloatArray) -> FloatArray:
    """Once a day from -10 at midnight to +10 at noon."""
    return -10.0 * np.cos(2.0 * np.pi * time_s / DAY_S)


@given(level=st.floats(-9.99, 9.99))
@settings(deadline=None)
def test_crossings_of_a_cosine(level: float) -> None:
    found = sample(wave, 0.0, DAY_S).crossings(level)
    up_s = np.arccos(-level / 10.0) / (2.0 * np.pi) * DAY_S
    assert found.upward.tolist() == [True, False]
    assert found.time_s == pytest.approx([up_s, DAY_S - up_s], abs=0.2)


def test_a_touch_between_two_samples_is_seen() -> None:
    """The top lies midway between two samples and a hair above the level."""

    def shifted(time_s: FloatArray) -> FloatArray:
        return wave(time_s - 600.0)

    assert np.max(shifted(np.arange(0.0, DAY_S + 1.0, 1200.0))) < 9.999
    found = sample(shifted, 0.0, DAY_S).crossings(9.999)
    half_s = np.arccos(0.9999) / (2.0 * np.pi) * DAY_S
    assert found.time_s == pytest.approx([43_800.0 - half_s, 43_800.0 + half_s], abs=1.0)
    assert sample(shifted, 0.0, DAY_S).crossings(10.000001).time_s.size == 0


def test_spans_are_cut_at_the_ends() -> None:
    spans_s = sample(wave, 0.0, 2.0 * DAY_S).spans_below(0.0)
    assert spans_s == pytest.approx(
        np.array([[0.0, 0.25], [0.75, 1.25], [1.75, 2.0]]) * DAY_S,
        abs=0.2,
    )


def test_always_and_never_below() -> None:
    curve = sample(wave, 100.0, DAY_S)
    assert curve.spans_below(11.0).tolist() == [[100.0, DAY_S]]
    assert curve.spans_below(-11.0).shape == (0, 2)
