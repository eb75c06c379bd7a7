"""Long days: after some hours every further hour is slower."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray

_HOUR_S = 3600.0

FRESH_S = 6.0 * _HOUR_S
PER_HOUR = 0.02


def tired_s(work_s: npt.ArrayLike, fresh_s: npt.ArrayLike = FRESH_S, per_hour: npt.ArrayLike = PER_HOUR) -> FloatArray:
    """The walking time of each leg of a day, with tiring.

    D(w) = w + per_hour / (2 h) max(w - fresh, 0)^2, w the fresh walking time since the start of the day; a leg takes
    the difference of D at its two ends. Past ``fresh`` the pace rate is 1 + per_hour times the hours walked since.

    Parameters
    ----------
    work_s : array_like, shape (legs, ...)
        What each leg would take a fresh party [s], in the order of the day.
    fresh_s : array_like, broadcast with one leg
        Walking before tiring begins [s].
    per_hour : array_like, broadcast with one leg
        How much slower each further hour of fresh walking time makes the pace [1].

    Returns
    -------
    array, shape of ``work_s``
        [s], never less than ``work_s``.

    Raises
    ------
    ValueError
        Work, fresh time or share below 0.

    Validity: one day; a night's rest starts a new one.
    Notes: exact, so that it does not matter where a walk is cut into legs.
    Sources: practice_tiring.
    """
    work, fresh, share = np.asarray(work_s, float), np.asarray(fresh_s, float), np.asarray(per_hour, float)
    if bool(np.any(work < 0.0)) or not bool(np.all(fresh >= 0.0)) or not bool(np.all(share >= 0.0)):
        raise ValueError("work_s, fresh_s and per_hour must be 0 or more")
    # Leg by leg, in pieces that stay near: much faster than arrays of all legs.
    walked_s, extra_before_s = np.zeros(()), np.zeros(())
    tired = np.empty(work.shape)
    for leg, leg_s in enumerate(work):
        walked_s = walked_s + leg_s
        extra_s = share / _HOUR_S / 2.0 * np.maximum(walked_s - fresh, 0.0) ** 2
        tired[leg] = leg_s + (extra_s - extra_before_s)
        extra_before_s = extra_s
    return tired
