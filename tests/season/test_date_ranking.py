"""Ranked lists against every list there is, and against an exact recursion for long seasons."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.season.application_draw import Asking, exact_free_dates, list_chances
from handline.season.date_ranking import best_list, best_list_by_rank, best_list_in_cases, list_worth

WORTH = st.floats(-1.0, 1.0).map(lambda worth: round(worth, 3))
CHANCE = st.floats(0.0, 1.0).map(lambda chance: round(chance, 3))
SEASONS = st.integers(1, 6).flatmap(
    lambda n: st.tuples(
        st.lists(WORTH, min_size=n, max_size=n),
        st.lists(st.lists(CHANCE, min_size=3, max_size=3), min_size=n, max_size=n),
    )
)


def every_list(season: int, most: int) -> Iterator[tuple[int, ...]]:
    for length in range(min(most, season) + 1):
        yield from permutations(range(season), length)


def plain_worth(worth: list[float], chance: Callable[[int, int], float], dates: tuple[int, ...], other: float) -> float:
    """From the last date to the first: what is asked for next counts only where this one fails."""
    value = other
    for rank in reversed(range(len(dates))):
        got = chance(dates[rank], rank)
        value = got * worth[dates[rank]] + (1.0 - got) * value
    return value


@given(SEASONS, st.integers(1, 3), st.sampled_from([0.0, 0.3, -0.5]))
@settings(max_examples=80, deadline=None)
def test_greedy_is_the_best_of_every_list(
    season: tuple[list[float], list[list[float]]], most: int, other: float
) -> None:
    worth, by_rank = season
    chance = [ranks[0] for ranks in by_rank]
    found = best_list(worth, chance, most, other)
    best = max(plain_worth(worth, lambda date, _: chance[date], dates, other) for dates in every_list(len(worth), most))
    assert found.proven
    assert len(found.dates) <= most
    assert found.expected_worth == pytest.approx(best, abs=1e-9)
    assert found.chance == pytest.approx(1.0 - np.prod([1.0 - chance[date] for date in found.dates]), abs=1e-12)


@given(SEASONS, st.integers(1, 3), st.sampled_from([0.0, 0.3, -0.5]))
@settings(max_examples=80, deadline=None)
def test_search_by_rank_is_the_best_of_every_list(
    season: tuple[list[float], list[list[float]]], most: int, other: float
) -> None:
    worth, by_rank = season
    found = best_list_by_rank(worth, by_rank, most, other)
    best = max(
        plain_worth(worth, lambda date, rank: by_rank[date][rank], dates, other)
        for dates in every_list(len(worth), most)
    )
    assert found.proven
    assert found.expected_worth == pytest.approx(best, abs=1e-9)


CASES = st.tuples(st.integers(1, 5), st.integers(1, 6)).flatmap(
    lambda shape: st.tuples(
        st.lists(WORTH, min_size=shape[0], max_size=shape[0]),
        st.lists(st.lists(st.booleans(), min_size=shape[0], max_size=shape[0]), min_size=shape[1], max_size=shape[1]),
        st.lists(st.integers(1, 9), min_size=shape[1], max_size=shape[1]),
    )
)


@given(CASES, st.integers(1, 3), st.sampled_from([0.0, 0.3, -0.5]))
@settings(max_examples=80, deadline=None)
def test_search_in_cases_is_the_best_of_every_list(
    given_cases: tuple[list[float], list[list[bool]], list[int]], most: int, other: float
) -> None:
    worth, free, weights = given_cases
    share = np.array(weights) / sum(weights)

    def brings(dates: tuple[int, ...]) -> float:
        each = (next((worth[date] for date in dates if case[date]), other) for case in free)
        return float(share @ np.array(list(each)))

    found = best_list_in_cases(worth, share, free, most, other)
    assert found.proven
    assert found.expected_worth == pytest.approx(max(brings(dates) for dates in every_list(len(worth), most)), abs=1e-9)
    assert brings(found.dates) == pytest.approx(found.expected_worth, abs=1e-12)


def test_greedy_over_a_long_season_is_the_exact_recursion() -> None:
    generator = np.random.default_rng(3)
    worth, chance = np.sort(generator.random(150))[::-1], generator.random(150) * 0.3

    @cache
    def best(first: int, most: int) -> float:
        if first == 150 or not most:
            return 0.0
        listed = chance[first] * worth[first] + (1.0 - chance[first]) * best(first + 1, most - 1)
        return max(best(first + 1, most), listed)

    for most in (1, 4, 12):
        assert best_list(worth, chance, most).expected_worth == pytest.approx(best(0, most), abs=1e-12)


def test_by_rank_with_the_same_chance_at_each_is_the_greedy_list() -> None:
    generator = np.random.default_rng(5)
    worth, chance = generator.random(60), generator.random(60) * 0.4
    searched = best_list_by_rank(worth, np.repeat(chance[:, None], 5, axis=1), 5)
    assert searched.proven
    assert searched.dates == best_list(worth, chance, 5).dates


def test_a_list_by_hand() -> None:
    found = best_list([0.9, 0.5, 0.8], [0.1, 0.9, 0.5], 2)
    # 0.5 * 0.8 + 0.5 * 0.9 * 0.5 = 0.625; with the first for the third it would be 0.09 + 0.9 * 0.45.
    assert found.dates == (2, 1)
    assert found.expected_worth == pytest.approx(0.625)
    assert found.chance == pytest.approx(0.95)
    assert list_worth([0.9, 0.5, 0.8], [0.1, 0.9, 0.5], (1, 2)).expected_worth == pytest.approx(0.45 + 0.1 * 0.4)
    assert list_worth([0.9], [[0.1, 0.2]], (0,), 0.5).expected_worth == pytest.approx(0.09 + 0.45)


def test_what_a_date_adds_is_beyond_what_is_left_without_it() -> None:
    # Sure, but hardly better than nothing got, adds 0.0003; one chance in twenty of somewhat more adds 0.0005.
    assert best_list([0.6003, 0.61], [1.0, 0.05], 1, else_worth=0.6).dates == (1,)


def test_a_date_worth_no_more_than_what_is_left_is_not_asked_for() -> None:
    assert best_list([0.2, 0.6], [0.9, 0.1], 2, else_worth=0.3).dates == (1,)
    assert best_list([0.2], [0.9], 2, else_worth=0.3).dates == ()
    assert best_list_by_rank([0.2], [[0.9]], 1, else_worth=0.3).expected_worth == 0.3
    nothing = best_list_in_cases([0.2], [1.0], [[True]], 1, else_worth=0.3)
    assert (nothing.dates, nothing.expected_worth, nothing.chance, nothing.proven) == ((), 0.3, 0.0, True)


def test_greedy_fails_where_chances_hang_together() -> None:
    """Best alone is the date free in two cases of four, but the other two together are free in all."""
    free = np.array([[1, 1, 0], [1, 0, 1], [0, 1, 0], [0, 0, 1]], bool)
    worth = [1.001, 1.0, 1.0]
    found = best_list_in_cases(worth, np.full(4, 0.25), free, 2)
    assert set(found.dates) == {1, 2}
    assert found.expected_worth == pytest.approx(1.0)
    assert 0 in best_list(worth, free.mean(axis=0), 2).dates


def test_in_a_draw_taking_dates_by_themselves_promises_too_much() -> None:
    met = exact_free_dates([4, 4], [Asking(12, 1, (0, 1)), Asking(12, 1, (1, 0))], 1)
    assert met is not None
    alone = [list_chances(met, (date,)).any for date in (0, 1)]
    together = best_list_in_cases([1.0, 0.9], met.share, met.free, 2)
    assert together.chance == pytest.approx(list_chances(met, together.dates).any)
    assert together.expected_worth < best_list([1.0, 0.9], alone, 2).expected_worth


def test_a_search_cut_short_says_so() -> None:
    generator = np.random.default_rng(11)
    worth = 1.0 - generator.random(30) * 0.01
    chance = generator.random((30, 4)) * 0.3
    short = best_list_by_rank(worth, chance, 4, most_lists=2)
    whole = best_list_by_rank(worth, chance, 4)
    assert not short.proven
    assert whole.proven
    assert short.expected_worth <= whole.expected_worth
    free = generator.random((200, 30)) < 0.2
    cut = best_list_in_cases(worth, np.full(200, 1 / 200), free, 4, most_sets=3)
    assert not cut.proven
    assert len(cut.dates) >= 1


@pytest.mark.parametrize(
    "asked",
    [
        lambda: best_list([], [], 1),
        lambda: best_list([1.0], [1.2], 1),
        lambda: best_list([np.nan], [0.2], 1),
        lambda: best_list([1.0], [0.2], 0),
        lambda: best_list([1.0], [[0.2]], 1),
        lambda: best_list([1.0, 2.0], [0.2], 1),
        lambda: best_list_by_rank([1.0], [[0.2]], 2),
        lambda: best_list_by_rank([1.0], [0.2], 1),
        lambda: list_worth([1.0], [0.2], (0, 0)),
        lambda: list_worth([1.0], [0.2], (1,)),
        lambda: list_worth([1.0, 1.0], [[0.2], [0.2]], (0, 1)),
        lambda: best_list_in_cases([1.0], [0.5], [[True]], 1),
        lambda: best_list_in_cases([1.0], [1.0], [[True, False]], 1),
        lambda: best_list_in_cases([1.0], [1.5, -0.5], [[True], [False]], 1),
        lambda: best_list_in_cases([1.0], [1.0], [[True]], 0),
    ],
)
def test_what_is_refused(asked: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"date|chance|rank|share"):
        asked()
