"""What no other way beats, against every pair looked at one by one."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.choose.pareto import beaten_by, steps_behind

STEPS = st.one_of(st.integers(0, 4).map(float), st.just(math.nan), st.just(math.inf))
WAYS = st.integers(1, 4).flatmap(
    lambda things: st.lists(st.lists(STEPS, min_size=things, max_size=things), min_size=1, max_size=12)
)


def _beats(one: list[float], other: list[float]) -> bool:
    """The same in so many words: nowhere farther behind, somewhere less; what only one tells parts them."""
    farther = nearer = False
    for a, b in zip(one, other, strict=True):
        if math.isnan(a) != math.isnan(b):
            return False
        farther = farther or a > b
        nearer = nearer or a < b
    return nearer and not farther


@given(WAYS)
def test_against_every_pair(ways):
    found = beaten_by(ways)
    unbeaten = [i for i, way in enumerate(ways) if not any(_beats(other, way) for other in ways)]
    for i, way in enumerate(ways):
        beaters = [j for j in unbeaten if _beats(ways[j], way)]
        assert found[i] == (beaters[0] if beaters else None)
        assert (found[i] is None) == (i in unbeaten), "who is beaten is beaten by somebody who is not"
    assert unbeaten


@given(WAYS, st.randoms(use_true_random=False))
def test_the_order_of_the_ways_does_not_matter(ways, random):
    order = list(range(len(ways)))
    random.shuffle(order)
    beaten = {i for i, by in enumerate(beaten_by(ways)) if by is not None}
    again = {order[i] for i, by in enumerate(beaten_by([ways[i] for i in order])) if by is not None}
    assert beaten == again


@given(WAYS)
def test_one_more_way_that_is_best_in_all_beats_all_that_tell_as_much(ways):
    told = [way for way in ways if not any(math.isnan(value) for value in way)]
    best = [-1.0] * len(ways[0])
    found = beaten_by([*told, best])
    assert found[:-1] == (len(told),) * len(told)
    assert found[-1] is None


@given(
    st.lists(
        st.lists(st.one_of(st.integers(-50, 50).map(float), st.just(math.nan)), min_size=2, max_size=2), min_size=1
    ),
    st.floats(0.25, 8.0),
)
def test_steps_are_whole_smallest_differences_behind_the_best(rows, least):
    behind = steps_behind(rows, [True, False], [least, least])
    for column, best in ((0, max), (1, min)):
        told = [row[column] for row in rows if not math.isnan(row[column])]
        for row, steps in zip(rows, behind[:, column], strict=True):
            if math.isnan(row[column]):
                assert math.isnan(steps)
                continue
            apart = abs(row[column] - best(told))
            assert steps >= 0.0
            assert steps == round(steps)
            assert steps * least <= apart + 1e-6
            assert apart < (steps + 1.0) * least + 1e-6


def test_what_does_not_matter_beats_nobody():
    # A chance of 0.95 and 0.96 are the same in steps of 0.02; the shorter slide of the second then beats the first.
    values = [[0.95, 5.0], [0.96, 4.0], [0.97, 9.0]]
    behind = steps_behind(values, [True, False], [0.02, 0.5])
    assert behind.tolist() == [[1.0, 2.0], [0.0, 0.0], [0.0, 10.0]]
    assert beaten_by(behind) == (1, None, 1)


def test_a_difference_of_a_whole_step_counts_whatever_the_last_bit_says():
    assert steps_behind([[0.3], [0.1]], [True], [0.1])[1, 0] == 2.0
    assert steps_behind([[0.3], [0.1 + 0.2]], [True], [0.1]).tolist() == [[0.0], [0.0]]


def test_without_an_end_and_untold():
    behind = steps_behind([[math.inf], [3.0], [math.nan], [math.inf]], [False], [1.0])
    assert behind[:2].tolist() == [[math.inf], [0.0]]
    assert math.isnan(behind[2, 0])
    assert steps_behind([[math.inf], [math.inf]], [False], [1.0]).tolist() == [[0.0], [0.0]]
    # The third tells nothing: neither is beaten by it, nor it by them.
    assert beaten_by(behind) == (1, None, None, 1)


def test_nothing_to_compare_and_what_is_refused():
    assert beaten_by(np.zeros((0, 3))) == ()
    for more, least in (([True], [0.1, 0.1]), ([True, True], [0.1, 0.0]), ([True, True], [0.1])):
        with pytest.raises(ValueError, match="smallest difference above 0"):
            steps_behind([[1.0, 2.0]], more, least)
