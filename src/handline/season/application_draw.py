"""A draw of whole applications: each is looked at once, in an order that chance gives, and gets its first free date.

All orders are equally likely. An application gets the first of its ranked dates that still has a place for everybody in
it; if none has, it gets nothing, and the next is looked at. So what one's own application meets is a set of dates that
are still free for it: ``FreeDates`` holds those sets with their shares, and a list of ranked dates is judged by them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

_State = tuple[tuple[int, ...], tuple[int, ...]]
"""Of each kind how many are still to come that fit somewhere, and the places left on each date."""

MOST_STATES = 50_000
"""Beyond so many states a draw is simulated rather than worked out: about half a second."""
USUAL_TRIALS = 4000
_TRIALS_AT_ONCE_CELLS = 2_000_000


@dataclass(frozen=True)
class Asking:
    """Applications alike: how many of them, for how many people, and which dates, best first.

    Dates are places in a list of dates, counted from 0.

    Raises
    ------
    ValueError
        No people, applications below 0, no date, or a date twice.
    """

    applications: int
    size: int
    choices: tuple[int, ...]

    def __post_init__(self) -> None:
        if self.applications < 0 or self.size < 1:
            raise ValueError("applications are 0 or more, and each is for at least one person")
        if not self.choices or min(self.choices) < 0 or len(set(self.choices)) < len(self.choices):
            raise ValueError("an application names at least one date, and none of them twice")


@dataclass(frozen=True, eq=False)
class FreeDates:
    """Which dates are free for the whole party when its application is looked at.

    ``share`` (cases,) sums to 1; ``free`` (cases, dates). ``exact`` where every order was counted, else the cases were
    drawn, as many as ``trials``.
    """

    share: Floats
    free: Flags
    exact: bool
    trials: int = 0


@dataclass(frozen=True, eq=False)
class ListChances:
    """The chance of each date of a list, ``by_choice`` (choices,), and of any; its standard error, 0 where exact."""

    by_choice: Floats
    any: float
    any_error: float


def free_dates(
    places: Sequence[int],
    others: Sequence[Asking],
    size: int,
    *,
    seed: int,
    own: int = 1,
    trials: int = USUAL_TRIALS,
    most_states: int = MOST_STATES,
) -> FreeDates:
    """Which dates are free for a party when it is first looked at: worked out where it can be, else simulated.

    Parameters
    ----------
    places : sequence of int
        Places on each date.
    others : sequence of Asking
        All other applications.
    size : int
        People in the party.
    seed, trials
        Of the simulation.
    own : int
        How many applications of one's own there are, each for the whole party and the same dates. The first of them
        that is looked at decides: what is full by then stays full for the others.
    most_states : int
        Beyond so many states it is simulated.

    Raises
    ------
    ValueError
        Places below 0, no party, a date without places in the list, no application of one's own, a seed below 0 or no
        trials.

    Sources: draw_theory, our_application_draw.
    """
    _refuse(places, others, size, own)
    if seed < 0 or trials < 1:
        raise ValueError("a seed is 0 or more, and there is at least one trial")
    exact = exact_free_dates(places, others, size, most_states, own=own)
    return exact if exact is not None else simulated_free_dates(places, others, size, seed=seed, trials=trials, own=own)


def exact_free_dates(
    places: Sequence[int], others: Sequence[Asking], size: int, most_states: int = MOST_STATES, *, own: int = 1
) -> FreeDates | None:
    """The same, by dynamic programming over who is still to come and what is left; None beyond ``most_states``.

    Who fits nowhere any more changes nothing and is left out, and the order of the rest stays by chance. So with R
    others to come, one of g applications of one's own is next with the chance g / (R + g), and one of a kind with its
    number over R + g.

    Sources: draw_theory.
    """
    _refuse(places, others, size, own)
    states = {_who_still_fits(tuple(kind.applications for kind in others), tuple(places), others): 1.0}
    free: dict[tuple[bool, ...], float] = defaultdict(float)
    visited = 0
    while states:
        visited += len(states)
        if visited > most_states:
            return None
        following: dict[_State, float] = defaultdict(float)
        for (to_come, left), chance in states.items():
            each = chance / (sum(to_come) + own)
            free[tuple(count >= size for count in left)] += each * own
            for number, kind in enumerate(others):
                if to_come[number]:
                    fewer = (*to_come[:number], to_come[number] - 1, *to_come[number + 1 :])
                    following[_who_still_fits(fewer, _served(left, kind), others)] += each * to_come[number]
        states = following
    sets = sorted(free)
    cases = np.array(sets, bool).reshape(len(sets), len(places))
    return FreeDates(np.array([free[one] for one in sets]), cases, exact=True)


def simulated_free_dates(
    places: Sequence[int], others: Sequence[Asking], size: int, *, seed: int, trials: int = USUAL_TRIALS, own: int = 1
) -> FreeDates:
    """The same, from orders drawn by chance, each of the same share.

    More trials leave the earlier ones as they were.

    Sources: draw_theory, our_application_draw.
    """
    _refuse(places, others, size, own)
    kind_of = np.repeat(np.arange(len(others)), [kind.applications for kind in others])
    free = np.empty((trials, len(places)), bool)
    at_once = max(1, _TRIALS_AT_ONCE_CELLS // max(kind_of.size, 1))
    generator = np.random.default_rng(seed)
    for first in range(0, trials, at_once):
        rows = slice(first, min(first + at_once, trials))
        before = _others_before(kind_of.size, own, rows.stop - rows.start, generator)
        free[rows] = _left_at_our_turn(np.asarray(places), others, kind_of, before, generator) >= size
    return FreeDates(np.full(trials, 1.0 / trials), free, exact=False, trials=trials)


def list_chances(met: FreeDates, choices: Sequence[int]) -> ListChances:
    """What a party's own ranked dates bring: it gets the first of them that is free.

    Parameters
    ----------
    met : FreeDates
        What its application meets.
    choices : sequence of int
        Dates, best first; none of them twice.

    Raises
    ------
    ValueError
        A date twice, or one that is not in the list of dates.
    """
    if len(set(choices)) < len(choices) or any(not 0 <= choice < met.free.shape[1] for choice in choices):
        raise ValueError("ranked dates are of the list of dates, none of them twice")
    free = met.free[:, list(choices)]
    first = free & (np.cumsum(free, axis=1) == 1)
    by_choice: Floats = met.share @ first
    chance = float(by_choice.sum())
    error = 0.0 if met.exact else float(np.sqrt(max(chance * (1.0 - chance), 0.0) / met.trials))
    return ListChances(by_choice, chance, error)


def until_full(places: int, others: Sequence[tuple[int, int]], size: int, *, own: int = 1) -> float:
    """Chance of a party where the drawing ends at the first application that no longer fits, exactly.

    P = sum over j of w(j) P(j of the n others ask for at most places - size together)

    with w(j), the chance that j others are looked at before the first of one's own g applications:
    w(0) = g / (n + g),  w(j + 1) = w(j) (n - j) / (n + g - 1 - j),  so 1 / (n + 1) each for one application

    and r(m, j, s), the chance that j picked of the first m others ask for s together:
    r(m, j, s) = (m - j) / m r(m - 1, j, s) + j / m r(m - 1, j - 1, s - size of the m-th)

    Parameters
    ----------
    places : int
        Places on the date.
    others : sequence of (int, int)
        How many other applications, and for how many people each.
    size : int
        People in the party.
    own : int
        How many applications of one's own there are, each for the whole party.

    Returns
    -------
    float
        Never more than where the drawing goes on, passing over who does not fit.

    Raises
    ------
    ValueError
        Places below 0, no party, applications of nobody, or no application of one's own.

    Sources: draw_theory.
    """
    _refuse([places], [Asking(count, people, (0,)) for count, people in others], size, own)
    room = places - size
    if room < 0:
        return 0.0
    asked = np.zeros((room + 1, room + 1))  # j others of at least one person each, s people; no more can fit
    asked[0, 0] = 1.0
    picked = np.arange(room + 1.0)[:, None]
    number = 0
    for count, people in others:
        for _ in range(count):
            number += 1
            taken = np.zeros_like(asked)
            if people <= room:
                taken[1:, people:] = asked[:-1, : room + 1 - people]
            # Where more are picked than there are, the chance is 0 already and stays so.
            asked = np.maximum(number - picked, 0.0) / number * asked + picked / number * taken
    before = np.arange(min(room, number))
    falls = (number - before) / (number + own - 1 - before)
    first_of_own = np.zeros(room + 1)
    first_of_own[: before.size + 1] = np.cumprod([own / (number + own), *falls])
    return float(first_of_own @ asked.sum(axis=1))


def simulated_until_full(
    places: int,
    others: Sequence[tuple[int, int]],
    size: int,
    *,
    seed: int,
    trials: int = USUAL_TRIALS,
    own: int = 1,
) -> tuple[float, float]:
    """The same from orders drawn by chance, and its standard error: for numbers that would take long exactly.

    Sources: draw_theory, our_application_draw.
    """
    _refuse([places], [Asking(count, people, (0,)) for count, people in others], size, own)
    people_of = np.repeat([people for _, people in others], [count for count, _ in others]).astype(np.int64)
    at_once = max(1, _TRIALS_AT_ONCE_CELLS // max(people_of.size, 1))
    generator = np.random.default_rng(seed)
    fits = np.empty(trials, bool)
    for first in range(0, trials, at_once):
        rows = min(first + at_once, trials) - first
        before = _others_before(people_of.size, own, rows, generator)
        order = generator.permuted(np.tile(people_of, (rows, 1)), axis=1)
        taken = np.concatenate([np.zeros((rows, 1), np.int64), np.cumsum(order, axis=1)], axis=1)
        # If all of these people find room together, so did each application among them in its turn.
        fits[first : first + rows] = taken[np.arange(rows), before] + size <= places
    chance = float(fits.mean())
    return chance, float(np.sqrt(chance * (1.0 - chance) / trials))


def _who_still_fits(to_come: tuple[int, ...], left: tuple[int, ...], others: Sequence[Asking]) -> _State:
    fits = (any(left[choice] >= kind.size for choice in kind.choices) for kind in others)
    return tuple(count if fit else 0 for count, fit in zip(to_come, fits, strict=True)), left


def _served(left: tuple[int, ...], kind: Asking) -> tuple[int, ...]:
    for choice in kind.choices:
        if left[choice] >= kind.size:
            return (*left[:choice], left[choice] - kind.size, *left[choice + 1 :])
    return left


def _left_at_our_turn(
    places: NDArray[np.int64],
    others: Sequence[Asking],
    kind_of: NDArray[np.int64],
    before: NDArray[np.int64],
    generator: np.random.Generator,
) -> NDArray[np.int64]:
    """Places left (trials, dates) when ``before`` others have been looked at, each trial with an order of its own."""
    left = np.tile(places, (before.size, 1))
    order = generator.permuted(np.tile(kind_of, (before.size, 1)), axis=1)
    smallest = min((kind.size for kind in others), default=1)
    for turn in range(int(before.max(initial=0))):
        waiting = before > turn
        if left[waiting].max(initial=0) < smallest:
            break  # nobody fits anywhere any more
        for number, kind in enumerate(others):
            open_to = waiting & (order[:, turn] == number)
            for choice in kind.choices:
                given = open_to & (left[:, choice] >= kind.size)
                left[given, choice] -= kind.size
                open_to &= ~given
    return left


def _others_before(others: int, own: int, trials: int, generator: np.random.Generator) -> NDArray[np.int64]:
    """How many others are looked at before the first application of one's own, in each trial."""
    if own == 1:
        return generator.integers(0, others + 1, size=trials)
    # As if everybody drew a moment between 0 and 1: the first of our own, and how many of the others are earlier.
    first = generator.random((trials, own)).min(axis=1)
    return generator.binomial(others, first)


def _refuse(places: Sequence[int], others: Sequence[Asking], size: int, own: int = 1) -> None:
    if own < 1:
        raise ValueError("there is at least one application of one's own")
    if size < 1 or any(count < 0 for count in places):
        raise ValueError("a party has at least one person, and a date 0 places or more")
    if any(choice >= len(places) for kind in others for choice in kind.choices):
        raise ValueError("an application names a date that has no places in the list")
