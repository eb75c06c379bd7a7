"""Draws of whole applications: against every order played through, the exact and the drawn way, and what must hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.season.application_draw import (
    Asking,
    exact_free_dates,
    free_dates,
    list_chances,
    simulated_free_dates,
    simulated_until_full,
    until_full,
)
from handline.season.draw_chances import at_least_one
from tests.referees.plain_draw import every_order

DATES = 3
CHOICES = st.permutations(range(DATES)).flatmap(lambda order: st.integers(1, DATES).map(lambda m: tuple(order[:m])))
PLACES = st.lists(st.integers(0, 6), min_size=DATES, max_size=DATES)
KINDS = st.builds(Asking, st.integers(1, 2), st.integers(1, 4), CHOICES)


def _apart(others: list[Asking]) -> list[tuple[int, tuple[int, ...]]]:
    return [(kind.size, kind.choices) for kind in others for _ in range(kind.applications)]


@given(PLACES, st.lists(KINDS, max_size=3), st.integers(1, 4), CHOICES)
@settings(max_examples=40, deadline=None)
def test_exact_is_every_order(places: list[int], others: list[Asking], size: int, ours: tuple[int, ...]) -> None:
    apart = _apart(others)[:5]
    kinds = [Asking(1, people, dates) for people, dates in apart]
    met = exact_free_dates(places, kinds, size)
    assert met is not None
    expected = every_order(places, [(size, ours), *apart])
    found = list_chances(met, ours)
    assert found.by_choice == pytest.approx([float(chance) for chance in expected], abs=1e-13)
    assert found.any == pytest.approx(float(sum(expected)), abs=1e-13)
    assert found.any_error == 0.0
    assert met.share.sum() == pytest.approx(1.0, abs=1e-12)


def test_seven_applications_in_every_order() -> None:
    others = [Asking(2, 2, (0, 1)), Asking(3, 1, (0,)), Asking(1, 3, (1, 0))]
    met = exact_free_dates([4, 3], others, 2)
    assert met is not None
    expected = every_order([4, 3], [(2, (0, 1)), *_apart(others)])
    assert list_chances(met, (0, 1)).by_choice == pytest.approx([float(chance) for chance in expected], abs=1e-13)


@given(st.integers(0, 60), st.integers(0, 40))
@settings(max_examples=30, deadline=None)
def test_alike_for_one_each_is_the_closed_form(others: int, places: int) -> None:
    met = exact_free_dates([places], [Asking(others, 1, (0,))], 1)
    assert met is not None
    expected = float(at_least_one(others + 1, places, 1).chance)
    assert list_chances(met, (0,)).any == pytest.approx(expected, abs=1e-12)
    assert until_full(places, [(others, 1)], 1) == pytest.approx(expected, abs=1e-12)


@given(st.integers(0, 8), st.lists(st.integers(1, 4), max_size=5), st.integers(1, 4))
@settings(max_examples=40, deadline=None)
def test_until_full_is_every_order(places: int, others: list[int], size: int) -> None:
    found = until_full(places, [(1, people) for people in others], size)
    played = every_order([places], [(size, (0,)), *((people, (0,)) for people in others)], ends_when_full=True)
    assert found == pytest.approx(float(played[0]), abs=1e-13)


@given(PLACES, st.lists(KINDS, max_size=2), st.integers(1, 4), CHOICES, st.integers(1, 3))
@settings(max_examples=40, deadline=None)
def test_several_applications_of_our_own_are_every_order(
    places: list[int], others: list[Asking], size: int, ours: tuple[int, ...], own: int
) -> None:
    apart = _apart(others)[:4]
    met = exact_free_dates(places, [Asking(1, people, dates) for people, dates in apart], size, own=own)
    assert met is not None
    expected = every_order(places, [*[(size, ours)] * own, *apart], own=own)
    assert list_chances(met, ours).by_choice == pytest.approx([float(chance) for chance in expected], abs=1e-13)


@given(st.integers(0, 8), st.lists(st.integers(1, 4), max_size=4), st.integers(1, 4), st.integers(1, 3))
@settings(max_examples=40, deadline=None)
def test_until_full_with_several_of_our_own_is_every_order(places: int, others: list[int], size: int, own: int) -> None:
    found = until_full(places, [(1, people) for people in others], size, own=own)
    apart = [*[(size, (0,))] * own, *((people, (0,)) for people in others)]
    played = every_order([places], apart, ends_when_full=True, own=own)
    assert found == pytest.approx(float(played[0]), abs=1e-13)


@pytest.mark.parametrize("own", [1, 2, 4])
def test_drawn_with_several_of_our_own_agrees_with_exact(own: int) -> None:
    others = [(6, 2), (3, 3)]
    kinds = [Asking(count, people, (0,)) for count, people in others]
    exact = list_chances(free_dates([10], kinds, 3, seed=1, own=own), (0,))
    drawn = list_chances(simulated_free_dates([10], kinds, 3, seed=1, own=own, trials=20_000), (0,))
    assert abs(drawn.any - exact.any) < 4.0 * drawn.any_error
    ends, error = simulated_until_full(10, others, 3, seed=2, own=own, trials=20_000)
    assert abs(ends - until_full(10, others, 3, own=own)) < 4.0 * error
    assert error == pytest.approx((ends * (1.0 - ends) / 20_000) ** 0.5)


def test_a_full_draw_of_thousands_stops_early_and_stays_as_it_was() -> None:
    """Who comes after nobody fits any more changes nothing: the closed form of one place each."""
    drawn = list_chances(simulated_free_dates([40], [Asking(2999, 1, (0,))], 1, seed=4, trials=4000), (0,))
    assert abs(drawn.any - 40 / 3000) < 4.0 * drawn.any_error


@given(st.integers(0, 30), st.lists(st.tuples(st.integers(0, 6), st.integers(1, 5)), max_size=3), st.integers(1, 5))
@settings(max_examples=60, deadline=None)
def test_where_the_drawing_ends_more_places_never_lower_it(
    places: int, others: list[tuple[int, int]], size: int
) -> None:
    here = until_full(places, others, size)
    assert 0.0 <= here <= 1.0 + 1e-12
    assert until_full(places + 1, others, size) >= here - 1e-12
    assert until_full(places, others, size + 1) <= here + 1e-12
    met = exact_free_dates([places], [Asking(count, people, (0,)) for count, people in others], size)
    assert met is not None
    assert list_chances(met, (0,)).any >= here - 1e-12


SINGLES = st.lists(st.builds(Asking, st.integers(1, 5), st.just(1), CHOICES), max_size=3)


@given(PLACES, SINGLES, CHOICES, st.integers(0, DATES - 1))
@settings(max_examples=60, deadline=None)
def test_among_single_people_more_places_never_lower_it(
    places: list[int], others: list[Asking], ours: tuple[int, ...], more_on: int
) -> None:
    more = [count + (date == more_on) for date, count in enumerate(places)]
    here, there = (exact_free_dates(given, others, 1) for given in (places, more))
    assert here is not None
    assert there is not None
    assert list_chances(there, ours).any >= list_chances(here, ours).any - 1e-12


def test_where_who_does_not_fit_is_passed_over_a_place_more_can_lower_it() -> None:
    """With one place a party of two is passed over and ours always gets it; with two, half the time they are first."""
    one, two = (exact_free_dates([places], [Asking(1, 2, (0,))], 1) for places in (1, 2))
    assert one is not None
    assert two is not None
    assert list_chances(one, (0,)).any == pytest.approx(1.0)
    assert list_chances(two, (0,)).any == pytest.approx(0.5)


@given(PLACES, st.lists(KINDS, max_size=3), st.integers(1, 4), CHOICES)
@settings(max_examples=60, deadline=None)
def test_bigger_parties_never_raise_it(
    places: list[int], others: list[Asking], size: int, ours: tuple[int, ...]
) -> None:
    here, bigger = (exact_free_dates(places, others, people) for people in (size, size + 1))
    assert here is not None
    assert bigger is not None
    assert -1e-12 <= list_chances(bigger, ours).any <= list_chances(here, ours).any + 1e-12 <= 1.0 + 2e-12


OTHERS = [Asking(30, 1, (0, 1)), Asking(20, 2, (1, 0, 2)), Asking(12, 4, (0, 2))]


def test_drawn_agrees_with_exact() -> None:
    places = [14, 10, 12]
    exact = exact_free_dates(places, OTHERS, 2, most_states=10**6)
    drawn = simulated_free_dates(places, OTHERS, 2, seed=7, trials=6000)
    assert exact is not None
    assert exact.exact
    assert not drawn.exact
    for ours in ((0,), (2, 1), (1, 0, 2)):
        sure, met = list_chances(exact, ours), list_chances(drawn, ours)
        assert met.any_error == pytest.approx(np.sqrt(met.any * (1 - met.any) / 6000))
        assert abs(met.any - sure.any) < 4.0 * met.any_error
        assert np.all(np.abs(met.by_choice - sure.by_choice) < 4.0 * np.sqrt(0.25 / 6000))


def test_too_many_states_are_drawn_and_say_so() -> None:
    met = free_dates([14, 10, 12], OTHERS, 2, seed=3, trials=50, most_states=100)
    again = free_dates([14, 10, 12], OTHERS, 2, seed=3, trials=50, most_states=100)
    assert (met.exact, met.trials, met.free.shape) == (False, 50, (50, 3))
    assert met.free.tolist() == again.free.tolist()
    assert free_dates([1], [], 1, seed=0).exact
    assert exact_free_dates([14, 10, 12], OTHERS, 2, most_states=100) is None


def test_nobody_else_asks() -> None:
    for met in (free_dates([1, 3], [], 2, seed=0), simulated_free_dates([1, 3], [], 2, seed=0, trials=5)):
        assert list_chances(met, (0, 1)).by_choice == pytest.approx([0.0, 1.0])
        assert list_chances(met, ()).any == 0.0


def test_what_is_refused() -> None:
    for bad in ((-1, 1, (0,)), (1, 0, (0,)), (1, 1, ()), (1, 1, (0, 0)), (1, 1, (-1,))):
        with pytest.raises(ValueError, match="application"):
            Asking(*bad)
    with pytest.raises(ValueError, match="no places in the list"):
        free_dates([1], [Asking(1, 1, (1,))], 1, seed=0)
    for places, size in (([-1], 1), ([1], 0)):
        with pytest.raises(ValueError, match="at least one person"):
            free_dates(places, [], size, seed=0)
    for seed, trials in ((-1, 1), (0, 0)):
        with pytest.raises(ValueError, match="at least one trial"):
            free_dates([1], [], 1, seed=seed, trials=trials)
    with pytest.raises(ValueError, match="one application of one's own"):
        free_dates([1], [], 1, seed=0, own=0)
    met = free_dates([1, 1], [], 1, seed=0)
    for choices in ((0, 0), (2,), (-1,)):
        with pytest.raises(ValueError, match="none of them twice"):
            list_chances(met, choices)
