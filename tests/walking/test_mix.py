"""The mix of pace models."""

from __future__ import annotations

import numpy as np
import pytest

from handline.errors import InputError
from handline.sources import source
from handline.walking.mix import DEFAULT_MIX, mix_times
from handline.walking.pace import walking_time

LEGS = [([500.0, 500.0], [20.0, 90.0]), ([300.0], [-400.0]), ([1000.0], [0.0])]


def test_default_mix_is_what_its_source_says() -> None:
    """Loaded crews hold half, six others share the rest (our_pace_mix)."""
    assert source("our_pace_mix").kind == "ours"
    assert DEFAULT_MIX["sullivan_2020_moderate"] == 0.30
    assert DEFAULT_MIX["sullivan_2020_low"] == 0.20
    others = {key: weight for key, weight in DEFAULT_MIX.items() if not key.startswith("sullivan")}
    assert len(others) == 6
    assert set(others.values()) == {0.5 / 6}
    assert sum(DEFAULT_MIX.values()) == pytest.approx(1.0, abs=1e-12)
    assert "naismith_1892" not in DEFAULT_MIX


def test_mix_holds_each_model_on_each_leg() -> None:
    times = mix_times(LEGS)
    assert times.keys == tuple(DEFAULT_MIX)
    assert times.weights == pytest.approx(list(DEFAULT_MIX.values()))
    assert times.time_s.shape == times.outside_m.shape == (len(DEFAULT_MIX), len(LEGS))
    for row, key in enumerate(times.keys):
        for column, (run_m, rise_m) in enumerate(LEGS):
            walked = walking_time(key, run_m, rise_m)
            assert times.time_s[row, column] == walked.time_s
            assert times.outside_m[row, column] == walked.outside_m
    assert times.flags == ("beyond_grade_limit",)
    assert np.all(times.outside_m[:, [0, 2]] == 0.0)


def test_no_legs_is_an_empty_table() -> None:
    assert mix_times([]).time_s.shape == (len(DEFAULT_MIX), 0)


@pytest.mark.parametrize("mix", [{}, {"tobler_1993": 0.9}, {"tobler_1993": 1.5, "rees_2004": -0.5}])
def test_weights_must_make_a_whole(mix: dict[str, float]) -> None:
    with pytest.raises(InputError, match="do not make a whole"):
        mix_times(LEGS, mix)


def test_one_model_may_stand_alone() -> None:
    assert mix_times(LEGS, {"naismith_1892": 1.0}).weights.tolist() == [1.0]


def test_unknown_model_in_a_mix_is_refused() -> None:
    with pytest.raises(InputError, match="unknown pace model"):
        mix_times(LEGS, {"toblerone": 1.0})
