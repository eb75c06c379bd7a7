"""What a day's walking burns: metabolic rate and energy, as a range over the models that know the ground."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.quantity import KCAL_J
from handline.walking.effort import effort
from handline.walking.effort_models import LCDA_REST_W_KG, acsm_walk_ml_kg_min, pandolf_1977_W
from handline.walking.effort_registry import EFFORT_MODELS
from handline.walking.grade_models import FloatArray
from handline.walking.spread import Spread

OXYGEN_J_PER_ML = 5.0 * KCAL_J / 1000.0
"""Energy from oxygen taken up: 5 kcal a litre. [practice_oxygen]"""

CENTRE_MODEL = "lcda_load_2022"
_MINUTE_S = 60.0

_InW = Callable[[FloatArray, FloatArray, FloatArray], FloatArray]


def _oxygen_W(uptake_ml_kg_min: FloatArray, body_mass_kg: FloatArray) -> FloatArray:
    return uptake_ml_kg_min * body_mass_kg * (OXYGEN_J_PER_ML / _MINUTE_S)


# Unit of a model -> its value, body mass [kg] and speed [m/s] as a rate [W], rest included.
_IN_W: Mapping[str, _InW] = MappingProxyType(
    {
        "W": lambda value, body_kg, speed_m_s: value,
        "W per kg of body mass": lambda value, body_kg, speed_m_s: value * body_kg,
        "J per kg of body mass and m": lambda value, body_kg, speed_m_s: (LCDA_REST_W_KG + value * speed_m_s) * body_kg,
        "ml of oxygen per kg of body mass and minute": lambda value, body_kg, speed_m_s: _oxygen_W(value, body_kg),
    }
)


@dataclass(frozen=True, eq=False)
class Rate:
    """Metabolic rate, rest included.

    ``rate_W`` is NaN where no model was made for the walk. ``model_W`` has what each model says, NaN where it was not
    made for it; ``left_out`` names the models that are not used somewhere, with the flags of ``effort`` that say why.
    """

    rate_W: Spread
    model_W: Mapping[str, FloatArray]
    left_out: Mapping[str, tuple[str, ...]]
    flags: tuple[str, ...]

    @property
    def models_used(self) -> npt.NDArray[np.int_]:
        """How many models each value stands on."""
        return np.sum([~np.isnan(of_one) for of_one in self.model_W.values()], axis=0)


@dataclass(frozen=True, eq=False)
class Energy:
    """What a stretch of time burns.

    ``unknown_s`` is how much of it no model was made for, ``one_model_s`` how much only one was.
    """

    energy_J: Spread
    time_s: FloatArray
    unknown_s: FloatArray
    one_model_s: FloatArray
    flags: tuple[str, ...]


def metabolic_rate(
    *,
    speed_m_s: npt.ArrayLike,
    grade: npt.ArrayLike,
    body_mass_kg: npt.ArrayLike,
    load_kg: npt.ArrayLike = 0.0,
    terrain_n: npt.ArrayLike = 1.0,
) -> Rate:
    """Metabolic rate of a walk by every effort model that was made for it.

    Parameters
    ----------
    speed_m_s, grade, body_mass_kg, load_kg, terrain_n : array_like
        As ``effort``; all broadcast together.

    Returns
    -------
    Rate
        [W], the broadcast shape. Low and high are the least and the most of the models inside their limits; the
        middle is the equation for packs, or, outside its limits, half way between low and high (``centre_of_others``).
        ``one_effort_model`` where low and high are one model's; NaN and ``effort_unknown`` where there is none.

    Raises
    ------
    ValueError
        As ``effort``.

    Validity: the models' own.
    Notes: an uptake of oxygen is counted at 5 kcal a litre; a cost above rest gets the rest of the equation for packs.
    Without any load three more models speak, so the range may be wider than with a light pack.
    Sources: the models' own, practice_oxygen, our_energy_range.
    """
    walk = np.broadcast_arrays(
        *(np.asarray(part, float) for part in (speed_m_s, grade, body_mass_kg, load_kg, terrain_n))
    )
    speed, slope, body, load, ground = walk
    model_W: dict[str, FloatArray] = {}
    left_out: dict[str, tuple[str, ...]] = {}
    for key in EFFORT_MODELS:
        found = effort(key, speed_m_s=speed, grade=slope, body_mass_kg=body, load_kg=load, terrain_n=ground)
        model_W[key] = _IN_W[found.unit](found.value, body, speed)
        if found.flags:
            left_out[key] = found.flags
    every_W = np.stack(list(model_W.values()))
    known = ~np.isnan(every_W)
    any_known = known.any(axis=0)
    low_W = np.where(any_known, np.min(every_W, axis=0, where=known, initial=np.inf), np.nan)
    high_W = np.where(any_known, np.max(every_W, axis=0, where=known, initial=-np.inf), np.nan)
    by_packs = ~np.isnan(model_W[CENTRE_MODEL])
    centre_W = np.where(by_packs, model_W[CENTRE_MODEL], low_W + 0.5 * (high_W - low_W))
    flags = {
        "effort_unknown": ~any_known,
        "one_effort_model": known.sum(axis=0) == 1,
        "centre_of_others": any_known & ~by_packs,
    }
    return Rate(
        Spread(low_W, centre_W, high_W),
        MappingProxyType(model_W),
        MappingProxyType(left_out),
        tuple(flag for flag, where in flags.items() if bool(np.any(where))),
    )


def walk_energy(
    length_m: npt.ArrayLike,
    grade: npt.ArrayLike,
    speed_m_s: npt.ArrayLike,
    *,
    body_mass_kg: npt.ArrayLike,
    load_kg: npt.ArrayLike = 0.0,
    terrain_n: npt.ArrayLike = 1.0,
) -> Energy:
    """What a leg burns, from the pieces of its profile.

    E = sum of M(v, G, W, L, n) length / v

    Parameters
    ----------
    length_m, grade, speed_m_s : array_like, pieces along the last axis
        Along the slope [m]; rise over run, signed [1]; along the slope [m/s].
    body_mass_kg, load_kg, terrain_n : array_like
        As ``effort``. All broadcast together: one row for each walker is masses of shape (walkers, 1).

    Returns
    -------
    Energy
        [J] and [s], the broadcast shape without its last axis. Low, middle and high are added up each for itself.

    Raises
    ------
    ValueError
        A length that is not finite or below 0, a speed that is not finite or not above 0, or as ``effort``.

    Validity: the models' own. Where no model knows a piece, it burns at the mean rate of the rest of its leg, is
    counted in ``unknown_s`` and flagged (``effort_unknown``); a leg of which nothing is known is NaN.
    Sources: as ``metabolic_rate``.
    """
    length, speed = np.asarray(length_m, float), np.asarray(speed_m_s, float)
    if not bool(np.all(np.isfinite(length) & (length >= 0.0))):
        raise ValueError("length_m must be finite and 0 or more")
    if not bool(np.all(np.isfinite(speed) & (speed > 0.0))):
        raise ValueError("speed_m_s must be finite and above 0")
    rate = metabolic_rate(speed_m_s=speed, grade=grade, body_mass_kg=body_mass_kg, load_kg=load_kg, terrain_n=terrain_n)
    time_s = np.broadcast_to(length / speed, np.broadcast_shapes(rate.rate_W.centre.shape, np.shape(length)))
    known = np.broadcast_to(~np.isnan(rate.rate_W.centre), time_s.shape)
    alone = np.broadcast_to(rate.models_used == 1, time_s.shape)
    whole_s, known_s = time_s.sum(axis=-1), np.sum(time_s, axis=-1, where=known)
    drawn_on = np.divide(whole_s, known_s, out=np.full_like(whole_s, np.nan), where=known_s > 0.0)
    drawn_on = np.where(whole_s > 0.0, drawn_on, 0.0)
    low_J, centre_J, high_J = (
        np.sum(part_W * time_s, axis=-1, where=known)
        for part_W in (rate.rate_W.low, rate.rate_W.centre, rate.rate_W.high)
    )
    return Energy(
        Spread(low_J, centre_J, high_J).times(drawn_on),
        whole_s,
        whole_s - known_s,
        np.sum(time_s, axis=-1, where=alone),
        rate.flags,
    )


def rest_energy(time_s: npt.ArrayLike, *, body_mass_kg: npt.ArrayLike) -> Energy:
    """What stops and a night burn.

    E = rest W t: rest of the equation for packs in the middle, Pandolf's standing still high, ACSM's rest low

    Parameters
    ----------
    time_s, body_mass_kg : array_like
        [s] and [kg], broadcast together.

    Returns
    -------
    Energy
        [J], the broadcast shape.

    Raises
    ------
    ValueError
        A time that is not finite or below 0, or a body mass that is not above 0.

    Validity: sitting or standing still, pack off, not cold. Sources: lcda_load_2022, pandolf_1977, acsm_walk,
    practice_oxygen.
    """
    time, body = np.broadcast_arrays(np.asarray(time_s, float), np.asarray(body_mass_kg, float))
    if not bool(np.all(np.isfinite(time) & (time >= 0.0))):
        raise ValueError("time_s must be finite and 0 or more")
    if not bool(np.all(np.isfinite(body) & (body > 0.0))):
        raise ValueError("body_mass_kg must be finite and above 0")
    standing_W = pandolf_1977_W(0.0, 0.0, body_mass_kg=body, load_kg=0.0, terrain_n=1.0)
    rate_W = Spread(_oxygen_W(acsm_walk_ml_kg_min(0.0, 0.0), body), LCDA_REST_W_KG * body, standing_W)
    return Energy(rate_W.times(time), time, np.zeros_like(time), np.zeros_like(time), ())


def day_energy(parts: Iterable[Energy]) -> Energy:
    """Legs and stops of one shape added up, low with low and high with high. Raises ValueError without any.

    Sources: our_energy_range.
    """
    listed = list(parts)
    return Energy(
        Spread.total(part.energy_J for part in listed),
        np.sum([part.time_s for part in listed], axis=0),
        np.sum([part.unknown_s for part in listed], axis=0),
        np.sum([part.one_model_s for part in listed], axis=0),
        tuple(dict.fromkeys(flag for part in listed for flag in part.flags)),
    )
