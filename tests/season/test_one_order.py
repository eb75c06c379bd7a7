"""Many dates in one order of applications: held against the exact draw of a few dates."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.season.application_draw import Asking, exact_free_dates, list_chances
from handline.season.date_ranking import best_list_in_cases
from handline.season.draw_chances import at_least_one
from handline.season.one_order import (
    ENDS,
    ONE_PLACE,
    PASSED_OVER,
    at_turns,
    at_turns_of_chance,
    even_turns,
    free_after,
    free_in_one_order,
)

MANY = 20_000


@pytest.mark.parametrize("own", [1, 3])
@pytest.mark.parametrize(
    ("places", "others", "size"), [(4, [(3, 2)], 2), (5, [(3, 2), (2, 3)], 2), (3, [(4, 1)], 3), (9, [(2, 4)], 1)]
)
def test_two_dates_are_free_together_as_the_exact_draw_has_it(places, others, size, own):
    """Referee: dynamic programming over who is still to come, which knows of no turns."""
    asking = [Asking(count, people, (date,)) for date in (0, 1) for count, people in others]
    exact = exact_free_dates([places, places], asking, size, own=own)
    assert exact is not None
    at = at_turns(free_after(places, others, size, seed=1), even_turns(MANY, own))
    tolerance = 1e-6 if len(others) == 1 else 0.02  # several sizes: from a thousand orders
    assert at.mean() == pytest.approx(float(exact.share @ exact.free[:, 0]), abs=tolerance)
    assert (at**2).mean() == pytest.approx(float(exact.share @ exact.free.all(axis=1)), abs=tolerance)


def test_one_place_each_is_the_plain_draw():
    """Referee: 1 - C(N - g, k) / C(N, k)."""
    at = at_turns(free_after(30, [(90, 4), (10, 2)], 4, ONE_PLACE, seed=1), even_turns(MANY, 2))
    assert at.mean() == pytest.approx(float(at_least_one(102, 30, 2).chance), abs=1e-4)


def test_where_the_drawing_ends_nobody_after_fits():
    over, ends = (free_after(5, [(2, 3), (2, 2)], 2, rule, seed=1) for rule in (PASSED_OVER, ENDS))
    assert over[0] == ends[0] == 1.0
    assert (ends <= over).all()
    # By hand: after one of 3 people room for 2 is left, after one of 2 for 3; after 3 + 2 none, after 2 + 2 for 1,
    # after 3 + 3 the second did not fit: passed over leaves room for 2, the other rule none.
    assert ends[1] == over[1] == 1.0
    assert ends[2] == 0.0
    assert over[2] == pytest.approx(1.0 / 6.0, abs=0.03)


@given(st.floats(0.0, 1.0), st.integers(1, 400))
def test_a_told_chance_is_that_of_all_turns_and_the_early_ones_count_first(chance, turns):
    at = at_turns_of_chance(chance, turns)
    assert at.mean() == pytest.approx(chance, abs=1e-12)
    assert (np.diff(at) <= 0.0).all()
    assert ((at > 0.0) & (at < 1.0)).sum() <= 1


@settings(deadline=None)
@given(st.lists(st.floats(0.05, 0.95), min_size=1, max_size=4), st.integers(0, 9))
def test_a_list_of_told_chances_has_that_of_the_likeliest(chances, seed):
    free_at = np.stack([at_turns_of_chance(chance, 500) for chance in chances])
    met = free_in_one_order(free_at, range(len(chances)), seed=seed)
    everything = list_chances(met, range(len(chances)))
    assert everything.any == pytest.approx(max(chances), abs=0.003)


def test_a_second_choice_that_is_likelier_is_worth_listing():
    """By hand: the first at 10 % worth 1, the second at 30 % worth 1/2: 0.1 + 0.2 x 1/2."""
    met = free_in_one_order(np.stack([at_turns_of_chance(0.1), at_turns_of_chance(0.3)]), (0, 1), seed=1)
    best = best_list_in_cases([1.0, 0.5], met.share, met.free, 2)
    assert best.dates == (0, 1)
    assert best.expected_worth == pytest.approx(0.2, abs=1e-3)


def test_the_same_seed_gives_the_same_cases():
    free_at = np.full((1, 200), 0.4)
    one, two, other = (free_in_one_order(free_at, (0, 0), seed=seed).free for seed in (1, 1, 2))
    assert (one == two).all()
    assert (one != other).any()


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: even_turns(0),
        lambda: even_turns(10, 0),
        lambda: free_after(-1, [], 1, seed=1),
        lambda: free_after(5, [(1, 0)], 1, seed=1),
        lambda: free_after(5, [(1, 1)], 0, seed=1),
        lambda: free_after(5, [], 1, "by luck", seed=1),
    ],
)
def test_what_cannot_be_is_refused(wrong):
    with pytest.raises(ValueError, match=r"at least|0 or more|a rule is one of"):
        wrong()
