"""Many dates drawn in one order: how free they are together for an application that names several.

Every application is looked at once, in an order that chance gives, and each other one asks for one date. What our own
meets is a matter of its turn: early in the order all dates are free, late all are full. So the chances of dates hang
together, and a second date on the list saves less than it seems to.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from handline.season.application_draw import FreeDates

Floats = NDArray[np.float64]

PASSED_OVER, ENDS, ONE_PLACE = "passed over", "ends", "one place each"
RULES = (PASSED_OVER, ENDS, ONE_PLACE)
"""What becomes of who asks for more people than places are left; or each application takes one place."""

USUAL_TURNS = 2000
_ORDERS = 1000


def even_turns(turns: int = USUAL_TURNS, own: int = 1) -> Floats:
    """Turns of one's own application spread evenly over its chances: the share of the others that come before it.

    u = 1 - (1 - v)^(1 / g),  v evenly from 0 to 1

    the first of g applications of one's own, each of which has its turn anywhere.

    Returns
    -------
    array, shape (turns,), rising from 0 to 1

    Raises
    ------
    ValueError
        No turns, or no application of one's own.

    Sources: draw_theory.
    """
    if turns < 1 or own < 1:
        raise ValueError("there is at least one turn, and at least one application of one's own")
    even = (np.arange(turns) + 0.5) / turns
    return np.asarray(1.0 - (1.0 - even) ** (1.0 / own))


def free_after(
    places: int, others: Sequence[tuple[int, int]], size: int, rule: str = PASSED_OVER, *, seed: int
) -> Floats:
    """The chance that a date still has room for a party, by how many of the others that ask for it come before.

    Parameters
    ----------
    places : int
        Places on the date.
    others : sequence of (int, int)
        How many other applications, and for how many people each.
    size : int
        People in the party.
    rule : str
        One of ``RULES``.
    seed : int
        Of the orders drawn, where applications are of several sizes.

    Returns
    -------
    array, shape (others + 1,), falling
        Exact where all others are of one size.

    Raises
    ------
    ValueError
        Places or applications below 0, nobody in a party, or an unknown rule.

    Sources: draw_theory, our_application_draw.
    """
    if places < 0 or size < 1 or any(count < 0 or people < 1 for count, people in others):
        raise ValueError("places and applications are 0 or more, and a party has at least one person")
    if rule not in RULES:
        raise ValueError(f"a rule is one of {', '.join(RULES)}")
    people = np.repeat([people for _, people in others], [count for count, _ in others]).astype(np.int64)
    if rule == ONE_PLACE:
        return np.asarray(np.arange(people.size + 1) < places, float)
    one_size = len(set(people.tolist())) < 2
    order = people[None] if one_size else np.random.default_rng(seed).permuted(np.tile(people, (_ORDERS, 1)), axis=1)
    if rule == ENDS:
        # If all of these people find room together with ours, so did each application among them in its turn.
        taken = np.concatenate([np.zeros((len(order), 1), np.int64), np.cumsum(order, axis=1)], axis=1)
        return np.asarray((taken + size <= places).mean(axis=0))
    left = np.full(len(order), places)
    free = [np.mean(left >= size)]
    for turn in range(people.size):
        asks = order[:, turn]
        left = np.where(left >= asks, left - asks, left)
        free.append(np.mean(left >= size))
    return np.array(free)


def at_turns(free_after_others: Floats, turn: Floats) -> Floats:
    """The chance that a date is free at a turn, each of the others having come before it by chance.

    P(u) = sum over b of C(n, b) u^b (1 - u)^(n - b) q(b)

    Parameters
    ----------
    free_after_others : array, shape (n + 1,)
        As ``free_after`` gives it.
    turn : array, shape (turns,)
        Strictly between 0 and 1, as ``even_turns`` gives them.

    Returns
    -------
    array, shape (turns,)

    Sources: draw_theory.
    """
    n = free_after_others.size - 1
    before = np.arange(n + 1)
    log_ways = np.array([math.lgamma(n + 1) - math.lgamma(b + 1) - math.lgamma(n - b + 1) for b in range(n + 1)])
    weight = np.exp(log_ways + np.outer(np.log(turn), before) + np.outer(np.log1p(-turn), n - before))
    return np.clip(weight @ free_after_others, 0.0, 1.0)


def at_turns_of_chance(chance: float, turns: int = USUAL_TURNS) -> Floats:
    """The same where only the chance of a date is known: free at the earliest turns, as many as make that chance.

    Nothing is more careful: with it a list of dates has the chance of the likeliest of them and no more.

    Sources: our_one_order.
    """
    # At the turn where it is no longer free it is so for what is left of the chance.
    return np.clip(chance * turns - np.arange(turns), 0.0, 1.0)


def free_in_one_order(free_at: Floats, kind_of: Sequence[int], *, seed: int) -> FreeDates:
    """Cases of dates free together for one application.

    Parameters
    ----------
    free_at : array, shape (kinds, turns)
        For each kind of date the chance that it is free at each turn, all turns being as likely.
    kind_of : sequence of int
        The kind of each date.
    seed : int
        At one turn the dates are free or not by themselves, and drawn so.

    Sources: our_one_order.
    """
    turns = free_at.shape[1]
    drawn = np.random.default_rng(seed).random((turns, len(kind_of)))
    free = drawn < free_at[list(kind_of)].T
    return FreeDates(np.full(turns, 1.0 / turns), free, exact=False, trials=turns)
