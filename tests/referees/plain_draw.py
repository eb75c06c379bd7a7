"""A draw played through in every order there is: slow, plain, and with the odds as whole fractions."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import permutations

OURS = 0
"""Our application is the first of the list."""


def every_order(
    places: Sequence[int],
    applications: Sequence[tuple[int, Sequence[int]]],
    *,
    ends_when_full: bool = False,
    own: int = 1,
) -> list[Fraction]:
    """The chance of each choice of our own applications, the first ``own``; each is (people, dates best first)."""
    got = [0] * len(applications[OURS][1])
    orders = 0
    for order in permutations(range(len(applications))):
        orders += 1
        choice = _our_choice(list(places), applications, order, ends_when_full, own)
        if choice is not None:
            got[choice] += 1
    return [Fraction(times, orders) for times in got]


def _our_choice(
    left: list[int],
    applications: Sequence[tuple[int, Sequence[int]]],
    order: Sequence[int],
    ends_when_full: bool,
    own: int,
) -> int | None:
    """What the party has in the end; once it has a date, its other applications count no more."""
    for who in order:
        people, dates = applications[who]
        given = None
        for rank, date in enumerate(dates):
            if people <= left[date]:
                left[date] -= people
                given = rank
                break
        if given is not None and who < own:
            return given
        if given is None and ends_when_full:
            return None
    return None


def any_of_ours_drawn(applications: int, places: int, own: int) -> Fraction:
    """How many of all orders have one of the first ``own`` applications among the first ``places`` drawn."""
    orders = list(permutations(range(applications)))
    return Fraction(sum(any(who < own for who in order[:places]) for order in orders), len(orders))
