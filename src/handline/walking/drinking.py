"""How much of the water that is lost may be drunk, and what is then missing from the body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.quantity import QUART_L, Units, show_water
from handline.walking.grade_models import FloatArray
from handline.walking.sweat import MOST_QT_DAY, MOST_QT_H

MOST_L_H, MOST_L_DAY = MOST_QT_H * QUART_L, MOST_QT_DAY * QUART_L
MOST_LOSS_SHARE = 0.02
"""Of body mass: past this loss people do worse. [acsm_2007]"""

KG_PER_L = 1.0
"""Water to carry, cold and without its bottle. [practice_water]"""

_HOUR_S = 3600.0


def overdrinking(units: Units) -> str:
    """Why nobody is planned to drink more than ``MOST_L_H`` and ``MOST_L_DAY``, in words. Sources: tb_med_507."""
    hour, day = show_water(MOST_L_H, units), show_water(MOST_L_DAY, units)
    return (
        f"Never drink more than you lose, nor more than {hour} in an hour or {day} in a day: too much water makes "
        "people ill and has killed."
    )


@dataclass(frozen=True, eq=False)
class Drinking:
    """What is drunk of what is lost, by pieces of time.

    ``drunk_L``, ``missed_L`` (lost and not drunk) and ``capped`` have the shape of the need; ``missed_L`` is never
    below 0.
    """

    drunk_L: FloatArray
    missed_L: FloatArray
    capped: npt.NDArray[np.bool_]
    flags: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Loss:
    """Water missing from the body as a share of body mass [1], and whether it is over the careful limit of 2 %."""

    share: FloatArray
    over: npt.NDArray[np.bool_]
    flags: tuple[str, ...]


def drink(need_L: npt.ArrayLike, duration_s: npt.ArrayLike, day: npt.ArrayLike = 0) -> Drinking:
    """Drink what is lost, but never more than the caps.

    drunk = min(need, 1.5 quarts an hour); where that makes more than 12 quarts of a day, of each piece the same share

    Parameters
    ----------
    need_L : array_like, pieces of time along the last axis, in their order
        Water lost in each piece [L].
    duration_s : array_like, broadcast with it
        How long each piece is [s].
    day : array_like of int, one for each piece
        Which day it belongs to; the day's cap begins anew with each. Left out: all of one day.

    Returns
    -------
    Drinking
        [L], the broadcast shape. What a day may have is shared out over all of it: drunk as it is lost it would be used
        up before the way home. ``capped`` where less is drunk than lost; NaN and ``need_unknown`` on a day on which a
        need is missing.

    Raises
    ------
    ValueError
        A need below 0, or a duration that is not finite or below 0.

    Validity: grown people. Notes: ``overdrinking`` says why in words. Sources: tb_med_507, acsm_2007.
    """
    need, duration = np.asarray(need_L, float), np.asarray(duration_s, float)
    if bool(np.any(need < 0.0)):
        raise ValueError("need_L must be 0 or more")
    if not bool(np.all(np.isfinite(duration) & (duration >= 0.0))):
        raise ValueError("duration_s must be finite and 0 or more")
    # A single piece of time needs an axis to be added up along.
    shape = np.broadcast_shapes(need.shape, duration.shape, (1,))
    need, duration = np.broadcast_to(need, shape), np.broadcast_to(duration, shape)
    days = np.broadcast_to(np.asarray(day), shape[-1:])
    drunk = np.minimum(need, MOST_L_H / _HOUR_S * duration)
    for one in np.unique(days):
        here = days == one
        whole = drunk[..., here].sum(axis=-1, keepdims=True)
        drunk[..., here] *= MOST_L_DAY / np.maximum(whole, MOST_L_DAY)
    capped = drunk < need
    flags = {"need_unknown": np.isnan(need), "capped": capped}
    return Drinking(drunk, need - drunk, capped, tuple(flag for flag, where in flags.items() if bool(np.any(where))))


def loss_of_body(missed_L: npt.ArrayLike, body_mass_kg: npt.ArrayLike) -> Loss:
    """What water that is lost and not drunk is to the body.

    share = missed / W, over where it is more than 2 %

    Parameters
    ----------
    missed_L, body_mass_kg : array_like
        All that is missing [L]; [kg]; broadcast together.

    Returns
    -------
    Loss
        The broadcast shape; ``loss_over_limit`` where it is over, ``need_unknown`` where it is missing.

    Raises
    ------
    ValueError
        A loss below 0, or a body mass that is not above 0.

    Validity: any. Sources: acsm_2007, practice_water.
    """
    missed, body = np.asarray(missed_L, float), np.asarray(body_mass_kg, float)
    if bool(np.any(missed < 0.0)):
        raise ValueError("missed_L must be 0 or more")
    if not bool(np.all(np.isfinite(body) & (body > 0.0))):
        raise ValueError("body_mass_kg must be finite and above 0")
    share = missed * KG_PER_L / body
    over = share > MOST_LOSS_SHARE
    flags = {"loss_over_limit": over, "need_unknown": np.isnan(share)}
    return Loss(share, over, tuple(flag for flag, where in flags.items() if bool(np.any(where))))
