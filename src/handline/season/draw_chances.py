"""The chance of a permit in closed forms: one draw, many draws, two permits at once, a rate of other years, walk-up.

Chances are shares from 0 to 1. What cannot be is NaN and has a flag (``FLAGS``).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Flagged = NDArray[np.bool_]

FLAGS: Mapping[str, str] = MappingProxyType(
    {
        "not_whole": "applications, places and people are whole numbers of 0 or more",
        "more_own_than_all": "one's own applications are among all of them, so they cannot be more",
        "not_a_chance": "a chance lies between 0 and 1",
        "more_granted_than_asked": "no more applications are granted than were made",
        "nobody_asked": "a rate needs at least one application",
        "no_party": "a party has at least one person",
        "not_a_number_of_people": "people expected ahead are 0 or more",
    }
)
"""Every flag of the chances, in words."""


@dataclass(frozen=True, eq=False)
class Chances:
    """Chances in the shape of what was asked, NaN where there is none, and the flags that say why."""

    chance: Floats
    flags: tuple[str, ...] = ()


def at_least_one(applications: ArrayLike, places: ArrayLike, own: ArrayLike) -> Chances:
    """Chance that at least one of one's own applications is among those drawn, without putting any back.

    P = 1 - C(N - g, k) / C(N, k) = 1 - product over i < g of (1 - k / (N - i))

    Parameters
    ----------
    applications, places, own : array_like
        All applications N, how many of them are drawn k, and how many of them are one's own g. Any shapes that fit.
        More places than applications draw every one.

    Returns
    -------
    Chances
        In the common shape. Flags: ``not_whole``, ``more_own_than_all``.

    Validity: every application counts the same and one permit is enough for the party, so an application asks for one
    place; for parties of several sizes see ``application_draw``.
    Sources: draw_theory.
    """
    n, k, g = (np.asarray(given, float) for given in np.broadcast_arrays(applications, places, own))
    whole = _whole(n) & _whole(k) & _whole(g)
    too_many = whole & (g > n)
    n, k, g = (np.where(whole & ~too_many, value, 0.0) for value in (n, k, g))
    # C(N - g, k) / C(N, k) is the same with g and k exchanged: so the shorter product will do.
    fewer, more = np.minimum(g, k), np.maximum(g, k)
    log_none = np.zeros(n.shape)
    with np.errstate(divide="ignore"):
        for step in range(int(fewer.max(initial=0.0))):
            left = np.where(step < fewer, n - step, np.inf)
            # Where no more are left than are drawn, one of them is one's own for certain.
            log_none += np.log1p(-np.minimum(more / left, 1.0))
    chance = np.where(whole & ~too_many, 0.0 - np.expm1(log_none), np.nan)
    return Chances(chance, _raised({"not_whole": ~whole, "more_own_than_all": too_many}))


def over_days(chances: ArrayLike) -> Chances:
    """Chance of at least one permit up to each of some days, when every day is drawn anew.

    P(n) = 1 - product up to n of (1 - p)

    Parameters
    ----------
    chances : array_like, shape (..., days)
        The chance on each day.

    Returns
    -------
    Chances
        (..., days), rising along the last axis. A day without a chance (NaN) leaves none for the days after it. Flag:
        ``not_a_chance``.

    Validity: days independent of each other. Where the same people ask again each day, see ``over_days_span``.
    Sources: draw_theory.
    """
    p, wrong = _checked(chances)
    with np.errstate(divide="ignore"):
        return Chances(0.0 - np.expm1(np.cumsum(np.log1p(-p), axis=-1)), _raised({"not_a_chance": wrong}))


def over_days_span(chances: ArrayLike) -> tuple[Chances, Chances]:
    """The lowest and highest chance up to each of some days, whatever hangs together.

    max(p) <= P <= min(1, sum(p))

    Arguments and flag as ``over_days``. The lowest is met where the best day decides for all.

    Sources: frechet_bounds.
    """
    p, wrong = _checked(chances)
    flags = _raised({"not_a_chance": wrong})
    low = np.maximum.accumulate(p, axis=-1)
    return Chances(low, flags), Chances(np.minimum(np.cumsum(p, axis=-1), 1.0), flags)


def _independent(one: Floats, other: Floats) -> Floats:
    return one * other


def _nested(one: Floats, other: Floats) -> Floats:
    return np.minimum(one, other)


def _unknown(one: Floats, other: Floats) -> Floats:
    return np.maximum(one + other - 1.0, 0.0)


BOTH: Mapping[str, Callable[[Floats, Floats], Floats]] = MappingProxyType(
    {"independent": _independent, "nested": _nested, "unknown": _unknown}
)
"""How two permits hang together: chance of both.

- ``independent``: two draws that know nothing of each other, P = p q. Also where the second is drawn only among holders
  of the first and q is the chance among those.
- ``nested``: who gets the rarer one gets the other with it, P = min(p, q). The highest there can be.
- ``unknown``: the lowest there can be, P = max(0, p + q - 1). The careful side.
"""


def both(one: ArrayLike, other: ArrayLike, how: str) -> Chances:
    """Chance of getting two permits that are needed together.

    Parameters
    ----------
    one, other : array_like
        The chance of each. Any shapes that fit.
    how : str
        A key of ``BOTH``.

    Returns
    -------
    Chances
        In the common shape. Flag: ``not_a_chance``.

    Raises
    ------
    KeyError
        Another word for ``how``.

    Sources: draw_theory (independent), frechet_bounds (nested, unknown).
    """
    first, second = np.broadcast_arrays(*map(_floats, (one, other)))
    (p, wrong), (q, q_wrong) = _checked(first), _checked(second)
    return Chances(BOTH[how](p, q), _raised({"not_a_chance": wrong | q_wrong}))


def either(one: ArrayLike, other: ArrayLike) -> Chances:
    """Chance of a permit by the draw or, that failing, by a second way such as walk-up.

    P = 1 - (1 - p) (1 - q), q the chance of the second way once the first has failed

    Arguments, result and flag as ``both``.

    Sources: draw_theory.
    """
    first, second = np.broadcast_arrays(*map(_floats, (one, other)))
    (p, wrong), (q, q_wrong) = _checked(first), _checked(second)
    return Chances(p + (1.0 - p) * q, _raised({"not_a_chance": wrong | q_wrong}))


@dataclass(frozen=True, eq=False)
class RateMet:
    """Share of applications granted in other years, and the span around it that counting so few leaves."""

    share: Floats
    low: Floats
    high: Floats
    flags: tuple[str, ...] = ()


def rate_met(granted: ArrayLike, asked: ArrayLike, sure_share: float = 0.9) -> RateMet:
    """The chance that other years show, with Wilson's score interval.

    centre = (p + z^2 / 2n) / (1 + z^2 / n),  half = z / (1 + z^2 / n) sqrt(p (1 - p) / n + z^2 / 4n^2)

    Parameters
    ----------
    granted, asked : array_like
        Applications granted, and made n. Any shapes that fit.
    sure_share : float
        How surely the span holds the chance, between 0 and 1: half of the rest lies on either side.

    Returns
    -------
    RateMet
        In the common shape. Flags: ``not_whole``, ``more_granted_than_asked``, ``nobody_asked``.

    Raises
    ------
    ValueError
        ``sure_share`` not between 0 and 1.

    Validity: a year like the others. What changes from year to year comes on top.
    Sources: wilson_1927.
    """
    from statistics import NormalDist

    if not 0.0 < sure_share < 1.0:
        raise ValueError("sureness lies between 0 and 1")
    got, n = (np.asarray(given, float) for given in np.broadcast_arrays(granted, asked))
    whole = _whole(got) & _whole(n)
    nobody, more = whole & (n == 0.0), whole & (n > 0.0) & (got > n)
    fine = whole & ~nobody & ~more
    got, n = np.where(fine, got, np.nan), np.where(fine, n, np.nan)
    z2, p = NormalDist().inv_cdf(0.5 + 0.5 * sure_share) ** 2, got / n
    centre = (p + z2 / (2.0 * n)) / (1.0 + z2 / n)
    half = np.sqrt(z2 * (p * (1.0 - p) / n + z2 / (4.0 * n**2))) / (1.0 + z2 / n)
    # At none and all the ends are 0 and 1 but for the last bit.
    low, high = np.where(got == 0.0, 0.0, centre - half), np.where(got == n, 1.0, centre + half)
    low, high = (np.where(fine, value, np.nan) for value in (low, high))
    return RateMet(
        p, low, high, _raised({"not_whole": ~whole, "more_granted_than_asked": more, "nobody_asked": nobody})
    )


def walk_up(places: ArrayLike, people_ahead: ArrayLike, size: ArrayLike, parties_of: ArrayLike = 1) -> Chances:
    """Chance that a whole party still finds places behind those who stand in front of it.

    P = sum over j <= (places - size) / s of e^-m m^j / j!,  m = people_ahead / s, s = people to a party ahead

    Parameters
    ----------
    places, people_ahead, size, parties_of : array_like
        Places given out that morning; people expected ahead, on average; people in the party; people in each party
        ahead. Any shapes that fit.

    Returns
    -------
    Chances
        In the common shape. Flags: ``not_whole``, ``no_party``, ``not_a_number_of_people``.

    Validity: parties come by chance and not together (Poisson), all ahead of the same size, and nobody ahead is passed
    over. A morning when many heard the same forecast is worse: expect more ahead then.
    Sources: draw_theory.
    """
    given = np.broadcast_arrays(places, people_ahead, size, parties_of)
    k, ahead, g, s = (np.asarray(value, float) for value in given)
    whole = _whole(k) & _whole(g) & _whole(s)
    no_party = whole & ((g < 1.0) | (s < 1.0))
    unknown = ~(np.isfinite(ahead) & (ahead >= 0.0))
    fine = whole & ~no_party & ~unknown
    mean = np.where(fine, ahead, 0.0) / np.where(fine, s, 1.0)
    most = np.where(fine, np.floor((k - g) / np.where(fine, s, 1.0)), -1.0)
    chance, log_term = np.zeros(mean.shape), -mean
    with np.errstate(divide="ignore"):
        log_mean = np.log(mean)
    for j in range(int(most.max(initial=-1.0)) + 1):
        if j:
            log_term = log_term + log_mean - math.log(j)
        chance = chance + np.where(j <= most, np.exp(log_term), 0.0)
    chance = np.where(fine, np.minimum(chance, 1.0), np.nan)  # the sum may pass 1 by the last bit
    return Chances(chance, _raised({"not_whole": ~whole, "no_party": no_party, "not_a_number_of_people": unknown}))


def _floats(given: ArrayLike) -> Floats:
    return np.asarray(given, float)


def _whole(value: Floats) -> Flagged:
    return np.isfinite(value) & (value >= 0.0) & (np.floor(value) == value)


def _checked(chances: ArrayLike) -> tuple[Floats, Flagged]:
    p = _floats(chances)
    fine = (p >= 0.0) & (p <= 1.0)
    return np.where(fine, p, np.nan), ~fine


def _raised(flags: Mapping[str, Flagged]) -> tuple[str, ...]:
    return tuple(flag for flag, where in flags.items() if bool(np.any(where)))
