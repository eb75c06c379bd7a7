"""Treating water before it is drunk: how long each way takes, and what it leaves in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.errors import InputError, unknown_choice
from handline.walking.grade_models import FloatArray


@dataclass(frozen=True)
class Treatment:
    """A way of treating water.

    ``hands_s_per_L`` keeps somebody busy for each litre [s/L]; ``wait_s`` goes by before it may be drunk, once for all
    of it, also while walking [s]. ``leaves_in`` says what it does not deal with.
    """

    key: str
    words: str
    hands_s_per_L: float
    wait_s: float
    leaves_in: str
    source: str = "treatment_memory"


@dataclass(frozen=True, eq=False)
class TreatmentTime:
    """Time at the source with hands full, and how long after it the water may be drunk [s]."""

    hands_s: FloatArray
    wait_s: FloatArray


_MIN = 60.0
_TREATMENTS = (
    Treatment("none", "nothing: a tap, or water from home", 0.0, 0.0, "whatever is in it"),
    Treatment(
        "boiling", "a rolling boil of three minutes", 6.0 * _MIN, 3.0 * _MIN,
        "dirt and poisons; it takes fuel, and time to cool that is not counted",
    ),
    Treatment("filter", "a pressed or pumped filter", 2.0 * _MIN, 0.0, "viruses and poisons; frost ruins it"),
    Treatment(
        "chlorine", "chlorine drops or tablets", 0.5 * _MIN, 30.0 * _MIN,
        "dirt, poisons and some hardy parasites; cold or cloudy water needs longer",
    ),
    Treatment(
        "chlorine dioxide", "chlorine dioxide drops or tablets", 0.5 * _MIN, 240.0 * _MIN,
        "dirt and poisons; half an hour leaves some hardy parasites, four hours are for those",
    ),
    Treatment("ultraviolet", "an ultraviolet lamp", 1.5 * _MIN, 0.0, "dirt, poisons and what cloudy water hides"),
)  # fmt: skip

TREATMENTS: Mapping[str, Treatment] = MappingProxyType({one.key: one for one in _TREATMENTS})


def treatment(key: str) -> Treatment:
    """The way of treating water with this key. Raises InputError that lists the choices and the near miss."""
    try:
        return TREATMENTS[key]
    except KeyError:
        raise InputError(unknown_choice("water treatment", key, tuple(TREATMENTS))) from None


def treatment_time(key: str, litres: npt.ArrayLike) -> TreatmentTime:
    """How long treating some water takes with one device.

    hands = litres hands_s_per_L; wait = wait_s where there is any water

    Parameters
    ----------
    key : str
        A key of ``TREATMENTS``.
    litres : array_like, any shape
        [L].

    Returns
    -------
    TreatmentTime
        [s], shape of ``litres``.

    Raises
    ------
    InputError
        There is no such treatment.
    ValueError
        Litres missing or below 0.

    Validity: the treatment's own directions come first. Sources: treatment_memory.
    """
    way, water = treatment(key), np.asarray(litres, float)
    if not bool(np.all(np.isfinite(water) & (water >= 0.0))):
        raise ValueError("litres must be finite and 0 or more")
    return TreatmentTime(water * way.hands_s_per_L, np.where(water > 0.0, way.wait_s, 0.0))
