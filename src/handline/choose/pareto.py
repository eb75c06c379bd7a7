"""Which of several ways no other beats in everything that counts."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Two values that differ by a whole step differ by it whatever the last bit of a float says.
_ROUNDING = 1e-9


def steps_behind(values: ArrayLike, more_is_better: Sequence[bool], least: Sequence[float]) -> Floats:
    """How many whole smallest differences each way lies behind the best one, thing by thing.

    s = floor(|value - best| / least): what lies behind the best by less than the smallest difference that matters does
    not lie behind it at all, and ways are told apart by whole steps from there.

    Parameters
    ----------
    values : array_like, (ways, things)
        NaN where a way does not tell; infinite where nothing is worse, or better.
    more_is_better : sequence of bool
        One for each thing.
    least : sequence of float
        The smallest difference that matters of each, above 0.

    Returns
    -------
    ndarray, (ways, things)
        0 for the best; NaN where the way does not tell.

    Raises
    ------
    ValueError
        A smallest difference that is not positive, or not one for each thing.
    """
    told, step = np.array(values, float), np.asarray(least, float)
    if told.ndim != 2 or step.shape != told.shape[1:] or len(more_is_better) != step.size or not np.all(step > 0.0):
        raise ValueError("each thing that counts has a direction and a smallest difference above 0")
    worse = np.where(np.asarray(more_is_better, bool), -told, told)
    best = np.fmin.reduce(worse, axis=0, initial=np.inf)
    with np.errstate(invalid="ignore"):
        behind = np.where(worse == best, 0.0, np.floor((worse - best) / step + _ROUNDING))
    return np.where(np.isnan(told), np.nan, behind)


def beaten_by(behind: ArrayLike) -> tuple[int | None, ...]:
    """For each way the first unbeaten one that beats it, None where none does.

    One beats another that lies no less behind in anything and farther behind in something. Where only one of two tells
    a thing, neither beats the other.

    Parameters
    ----------
    behind : array_like, (ways, things)
        As ``steps_behind`` gives it: less is better, NaN where a way does not tell.

    Notes
    -----
    That is an order: who is beaten is beaten by somebody who is not. Sources: pareto_order.
    """
    told = np.asarray(behind, float)
    one, other = told[:, None, :], told[None, :, :]
    neither = np.isnan(one) & np.isnan(other)
    beats = np.all((one <= other) | neither, axis=2) & np.any(one < other, axis=2)
    unbeaten = ~beats.any(axis=0)
    found: list[int | None] = []
    for way in range(told.shape[0]):
        by = np.flatnonzero(beats[:, way] & unbeaten)
        found.append(int(by[0]) if by.size else None)
    return tuple(found)
