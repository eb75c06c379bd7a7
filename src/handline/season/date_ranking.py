"""Which dates of a season to ask for, and in what order: the ranked list worth most on average.

The worth of a date is what it brings once it is had, such as the chance on the mountain times how much the party likes
it; ``else_worth`` is what is left when no date is got. Three ways to know the chances, each with its own search:

- each date free or not by itself: ``best_list``; building the list up greedily is optimal here;
- a chance that hangs on the rank a date is asked for at: ``best_list_by_rank``; greedy may fail, so all is searched;
- cases of dates free together, as a draw leaves them (``application_draw.FreeDates``): ``best_list_in_cases``; greedy
  may fail, so all is searched. This is the way for a draw that looks at an application once: who comes late finds
  everything full, so the chances hang together and taking them by themselves promises too much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

MOST_LISTS = 200_000
"""After so many lists begun, a search hands back the best it has met and says that it is not proven."""
MOST_SETS = 5_000
"""The same for sets over cases: a few seconds with thousands of cases."""
_LAST_BIT = 1e-12
"""A gain no greater than this is rounding."""


@dataclass(frozen=True)
class RankedList:
    """Dates, best first, as places in what was given; their worth on average with what is left if none is got.

    ``chance`` is that of any of them; ``proven`` where no other list is worth more.
    """

    dates: tuple[int, ...]
    expected_worth: float
    chance: float
    proven: bool


def list_worth(worth: ArrayLike, chance: ArrayLike, dates: tuple[int, ...], else_worth: float = 0.0) -> RankedList:
    """What a given list is worth, each date free by itself.

    E = sum over i of w_i p_i product over j before i of (1 - p_j), and else_worth with the rest of the chance

    Parameters
    ----------
    worth : array_like, shape (season,)
        Of each date.
    chance : array_like, shape (season,) or (season, ranks)
        That it is got when asked for, those before it having failed; by the rank it is asked for at if so given.
    dates : tuple of int
        Best first.

    Returns
    -------
    RankedList
        Not proven.

    Raises
    ------
    ValueError
        Worths not finite, chances not from 0 to 1, shapes that do not fit, a date twice or not in the season.

    Sources: chade_smith_2006.
    """
    w, p = _checked(worth, chance)
    if len(set(dates)) < len(dates) or any(not 0 <= date < w.size for date in dates):
        raise ValueError("ranked dates are of the season, none of them twice")
    if p.ndim == 2 and len(dates) > p.shape[1]:
        raise ValueError("each rank has its chances")
    none, expected = 1.0, 0.0
    for rank, date in enumerate(dates):
        each = float(p[date] if p.ndim == 1 else p[date, rank])
        expected += none * each * float(w[date])
        none *= 1.0 - each
    return RankedList(tuple(dates), expected + none * else_worth, 1.0 - none, proven=False)


def best_list(worth: ArrayLike, chance: ArrayLike, most: int, else_worth: float = 0.0) -> RankedList:
    """The best list where each date is free or not by itself.

    Of two neighbours in a list the one worth more belongs first, whatever the chances: exchanging them changes E by
    p q (w_1 - w_2). So only the set is to be found, and adding again and again the date that adds most finds the best
    set (Chade and Smith). A date that adds nothing is left out.

    Parameters
    ----------
    worth, chance : array_like, shape (season,)
        As ``list_worth``.
    most : int
        How many dates may be listed, at least 1.

    Raises
    ------
    ValueError
        As ``list_worth``; or no date may be listed.

    Validity: chances independent of each other and of the rank.
    Sources: chade_smith_2006.
    """
    w, p = _checked(worth, chance)
    if p.ndim != 1 or most < 1:
        raise ValueError("each date has one chance, and at least one may be listed")
    order = np.argsort(-w, kind="stable")
    w, p = w[order], p[order]
    taken = np.zeros(w.size, bool)
    for _ in range(min(most, w.size)):
        held = np.where(taken, p, 0.0)
        # What comes before each place goes on with the chance that nothing is got; what comes after is worth this much.
        before = np.concatenate([[1.0], np.cumprod(1.0 - held)[:-1]])
        after = np.empty(w.size)
        ahead = else_worth
        for place in range(w.size - 1, -1, -1):
            after[place] = ahead
            ahead = held[place] * w[place] + (1.0 - held[place]) * ahead
        gain = np.where(taken, -np.inf, before * p * (w - after))
        best = int(np.argmax(gain))
        if not gain[best] > _LAST_BIT * np.max(np.abs(w)):
            break
        taken[best] = True
    dates = tuple(int(date) for date in order[taken])
    found = list_worth(worth, chance, dates, else_worth)
    return RankedList(found.dates, found.expected_worth, found.chance, proven=True)


def best_list_by_rank(
    worth: ArrayLike, chance: ArrayLike, most: int, else_worth: float = 0.0, *, most_lists: int = MOST_LISTS
) -> RankedList:
    """The best list where the chance of a date hangs on its rank, as where first choices are looked at before second.

    A search of all lists that leaves out those that cannot be the best: the rest of a list is worth no more than

    U_r = max over dates of (p_r w + (1 - p_r) U_(r+1)),  U_most = else_worth

    in which a date may come again.

    Parameters
    ----------
    worth : array_like, shape (season,)
        As ``list_worth``.
    chance : array_like, shape (season, ranks)
        As ``list_worth``, at least ``most`` ranks.
    most : int
        How many dates may be listed, at least 1.
    most_lists : int
        After so many lists begun the best so far is handed back, not proven.

    Raises
    ------
    ValueError
        As ``list_worth``; or no date may be listed.
    """
    w, p = _checked(worth, chance)
    if p.ndim != 2 or not 1 <= most <= p.shape[1]:
        raise ValueError("each date has a chance for each rank, and at least one may be listed")
    most = min(most, w.size)
    bound = np.empty(most + 1)
    bound[most] = else_worth
    for rank in range(most - 1, -1, -1):
        bound[rank] = max(else_worth, float(np.max(p[:, rank] * w + (1.0 - p[:, rank]) * bound[rank + 1])))
    best: tuple[float, tuple[int, ...]] = (else_worth, ())
    slack = _LAST_BIT * (abs(else_worth) + float(np.max(np.abs(w))))
    waiting: list[tuple[tuple[int, ...], float, float]] = [((), 0.0, 1.0)]
    begun = 0
    while waiting and begun < most_lists:
        dates, so_far, none = waiting.pop()
        rank = len(dates)
        if so_far + none * bound[rank] <= best[0] + slack:
            continue
        begun += 1
        got, missed = so_far + none * p[:, rank] * w, none * (1.0 - p[:, rank])
        open_to = np.ones(w.size, bool)
        open_to[list(dates)] = False
        closed = np.where(open_to, got + missed * else_worth, -np.inf)
        if closed.max() > best[0] + slack:
            best = (float(closed.max()), (*dates, int(np.argmax(closed))))
        if rank + 1 < most:
            hoped = got + missed * bound[rank + 1]
            # The most hopeful stands last, so it is taken up next.
            worth_it = [date for date in np.argsort(hoped) if open_to[date] and hoped[date] > best[0] + slack]
            waiting += [((*dates, int(date)), float(got[date]), float(missed[date])) for date in worth_it]
    found = list_worth(worth, chance, best[1], else_worth)
    open_hope = max((so_far + none * bound[len(dates)] for dates, so_far, none in waiting), default=-np.inf)
    return RankedList(found.dates, found.expected_worth, found.chance, proven=bool(open_hope <= best[0] + slack))


def best_list_in_cases(
    worth: ArrayLike,
    share: ArrayLike,
    free: ArrayLike,
    most: int,
    else_worth: float = 0.0,
    *,
    most_sets: int = MOST_SETS,
) -> RankedList:
    """The best list over cases of dates free together.

    In every case the best free date of a set is had by asking in the order of worth, so only the set is to be found:
    E = sum over cases of share max(else_worth, w of its free dates). What a date adds only falls as the set grows, so
    the rest of a set adds no more than its greatest single gains together, and sets that cannot be the best are left
    out.

    Parameters
    ----------
    worth : array_like, shape (season,)
        Of each date.
    share : array_like, shape (cases,)
        Of each case, summing to 1.
    free : array_like of bool, shape (cases, season)
        Which dates are free together.
    most : int
        How many dates may be listed, at least 1.
    most_sets : int
        After so many sets begun the best so far is handed back, not proven.

    Raises
    ------
    ValueError
        Worths not finite, shapes that do not fit, shares that do not sum to 1, or no date may be listed.
    """
    w, shares, open_dates = np.asarray(worth, float), np.asarray(share, float), np.asarray(free, bool)
    if w.ndim != 1 or open_dates.shape != (shares.size, w.size) or not bool(np.all(np.isfinite(w))) or most < 1:
        raise ValueError("each date has a worth and is free or not in each case, and at least one may be listed")
    if not bool(np.all(shares >= 0.0)) or not abs(float(shares.sum()) - 1.0) <= 1e-9:
        raise ValueError("shares of cases are 0 or more and sum to 1")
    gain_of = np.where(open_dates, np.maximum(w - else_worth, 0.0), 0.0)
    slack = _LAST_BIT * float(np.max(np.abs(w), initial=abs(else_worth)))
    best: tuple[float, tuple[int, ...]] = (0.0, ())
    # A set, what it brings over else_worth in each case, and the dates that may still be added.
    waiting: list[tuple[tuple[int, ...], Floats, NDArray[np.intp]]] = [((), np.zeros(shares.size), np.arange(w.size))]
    begun, unsettled = 0, False
    while waiting:
        dates, had, candidates = waiting.pop()
        base, gains = _gains(shares, had, gain_of, candidates)
        order = np.argsort(-gains, kind="stable")
        candidates, gains = candidates[order], gains[order]
        rest = most - len(dates)
        if not gains.size or base + gains[:rest].sum() <= best[0] + slack:
            continue
        if begun >= most_sets:
            unsettled = True
            break
        begun += 1
        if base + gains[0] > best[0] + slack:
            best = (float(base + gains[0]), (*dates, int(candidates[0])))
        if rest == 1:
            continue
        # Either the most gainful belongs to the set, looked at first, or it never does.
        first = int(candidates[0])
        waiting.append((dates, had, candidates[1:]))
        waiting.append(((*dates, first), np.maximum(had, gain_of[:, first]), candidates[1:]))
    listed = tuple(sorted(best[1], key=lambda date: (-w[date], date)))
    any_free = open_dates[:, list(listed)].any(axis=1)
    return RankedList(listed, best[0] + else_worth, float(shares @ any_free), proven=not unsettled)


def _gains(shares: Floats, had: Floats, gain_of: Floats, candidates: NDArray[np.intp]) -> tuple[float, Floats]:
    """What a set brings, and what each candidate would add to it."""
    added = np.maximum(gain_of[:, candidates] - had[:, None], 0.0)
    gains: Floats = shares @ added
    return float(shares @ had), gains


def _checked(worth: ArrayLike, chance: ArrayLike) -> tuple[Floats, Floats]:
    w, p = np.asarray(worth, float), np.asarray(chance, float)
    if w.ndim != 1 or w.size == 0 or p.ndim not in (1, 2) or p.shape[0] != w.size:
        raise ValueError("a season has at least one date, and each date a worth and a chance")
    if not bool(np.all(np.isfinite(w))) or not bool(np.all((p >= 0.0) & (p <= 1.0))):
        raise ValueError("worths are finite and chances lie from 0 to 1")
    return w, p
