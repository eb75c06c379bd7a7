"""What a line, people and arrivals refuse to be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.crowd.rules import DOWN, UP, WAYS, YIELDS, Arrivals, CrowdLine
from handline.sources import source
from tests.crowd.lines import CLIMBERS


@pytest.mark.parametrize(
    ("lengths", "places", "pass_s", "yields", "said"),
    [
        ([], [0], 0.0, "pass", "at least one bay"),
        ([[2.0]], [0, 0], 0.0, "pass", "at least one bay"),
        ([2.0, 0.0], [0, 0, 0], 0.0, "pass", "above 0 m"),
        ([2.0, np.nan], [0, 0, 0], 0.0, "pass", "above 0 m"),
        ([2.0, np.inf], [0, 0, 0], 0.0, "pass", "above 0 m"),
        ([2.0], [0], 0.0, "pass", "one for each end"),
        ([2.0], [0, -1], 0.0, "pass", "0 or more"),
        ([2.0], [0, 0.5], 0.0, "pass", "whole numbers"),
        ([2.0], [0, 0], -1.0, "pass", "0 s or more"),
        ([2.0], [0, 0], np.inf, "pass", "0 s or more"),
        ([2.0], [0, 0], 1.0, "pas", "one of"),
    ],
)
def test_a_line_that_cannot_be(lengths: list, places: list, pass_s: float, yields: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        CrowdLine(np.array(lengths), np.array(places), pass_s, yields)


def test_a_line() -> None:
    line = CrowdLine(np.array([2.0, 3.0, 4.5]), np.array([9, 0, 2, 9]), 5.0)
    assert line.bays == 3
    assert line.length_m == 9.5
    assert line.inner_places.tolist() == [0, 0, 2, 0]


@pytest.mark.parametrize("name", ["up_m_s", "down_m_s"])
def test_rates_are_above_nothing(name: str) -> None:
    for value in (0.0, -1.0, np.nan, np.inf):
        with pytest.raises(ValueError, match=name):
            replace(CLIMBERS, **{name: value})


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("changeover_s", -1.0),
        ("rate_sigma", -0.1),
        ("rest_s", np.nan),
        ("freeze_s", np.inf),
        ("top_s", -5.0),
        ("rest_chance", 1.01),
        ("freeze_chance", -0.01),
    ],
)
def test_people_who_cannot_be(name: str, value: float) -> None:
    with pytest.raises(ValueError, match=name):
        replace(CLIMBERS, **{name: value})


@pytest.mark.parametrize(
    ("clock", "first", "extra", "said"),
    [
        ([1.0, np.nan], [0, 2], {}, "clock"),
        ([[1.0]], [0, 1], {}, "clock"),
        ([1.0, 2.0], [0], {}, "begin at 0"),
        ([1.0, 2.0], [1, 2], {}, "begin at 0"),
        ([1.0, 2.0], [0, 1], {}, "begin at 0"),
        ([1.0, 2.0], [0, 2, 1, 2], {}, "begin at 0"),
        ([1.0, 2.0], [0, 2], {"ours": [True]}, "one value for each"),
        ([1.0, 2.0], [0, 2], {"time_factor": [1.0]}, "one value for each"),
        ([1.0, 2.0], [0, 2], {"time_factor": [1.0, 0.0]}, "above 0"),
        ([1.0, 2.0], [0, 2], {"time_factor": [1.0, np.inf]}, "above 0"),
    ],
)
def test_arrivals_that_cannot_be(clock: list, first: list, extra: dict, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Arrivals(np.array(clock), np.array(first), **{name: np.array(value) for name, value in extra.items()})


def test_some_of_the_days() -> None:
    arrivals = Arrivals(
        np.arange(6.0), np.array([0, 1, 1, 4, 6]), np.arange(6) == 3, np.array([1.0, 2.0, np.nan, 4.0, 5.0, 6.0])
    )
    some = arrivals.some(1, 2)
    assert (arrivals.days, arrivals.people, some.days, some.people) == (4, 6, 2, 3)
    assert some.clock_s.tolist() == [1.0, 2.0, 3.0]
    assert some.day_first.tolist() == [0, 0, 3]
    assert some.ours is not None
    assert some.ours.tolist() == [False, False, True]
    assert some.time_factor is not None
    assert some.time_factor[[0, 2]].tolist() == [2.0, 4.0]


def test_who_yields() -> None:
    assert WAYS[UP] == "up"
    assert WAYS[DOWN] == "down"
    assert {key: rule.waits for key, rule in YIELDS.items()} == {"pass": -1, "up waits": UP, "down waits": DOWN}
    for key, rule in YIELDS.items():
        assert rule.key == key
        assert source(rule.source).kind == "ours"
