"""Several pace models at once: how far they disagree is how little we know before the party has walked.

The default mix and why:

- crews who carry loads on trails are nearest to our parties, so they hold half: moderate 0.30, low 0.20;
- the other half is spread evenly over six models made from other people, on other ground, in other ways;
- Naismith is left out: it is for fit walkers who do not stop;
- Langmuir is left out: on a descent of 12 degrees it runs at 12 km/h, and accounts of its base speed disagree;
- of Campbell's people the tenth percentile is taken, because the middle ones run.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.errors import InputError, Problem
from handline.walking.grade_models import FloatArray
from handline.walking.pace import walking_time
from handline.walking.registry import pace_model

_LOADED_CREWS = {"sullivan_2020_moderate": 0.30, "sullivan_2020_low": 0.20}
_OTHERS = (
    "tobler_1993",
    "din_33466",
    "rees_2004",
    "marquez_2017",
    "irmischer_2018",
    "campbell_2019_p10",
)
_OTHERS_SHARE = 0.50

DEFAULT_MIX: Mapping[str, float] = MappingProxyType(
    _LOADED_CREWS | {key: _OTHERS_SHARE / len(_OTHERS) for key in _OTHERS}
)
"""Model key -> weight. Sources: our_pace_mix."""


@dataclass(frozen=True)
class MixTimes:
    """Walking time of each leg by each model, without stops.

    ``time_s`` and ``outside_m`` have shape (models, legs); ``weights`` has shape (models,) and sums to one.
    ``flags`` has every flag raised by any model on any leg.
    """

    keys: tuple[str, ...]
    weights: FloatArray
    time_s: FloatArray
    outside_m: FloatArray
    flags: tuple[str, ...]


def mix_times(legs: Sequence[tuple[npt.ArrayLike, npt.ArrayLike]], mix: Mapping[str, float] = DEFAULT_MIX) -> MixTimes:
    """The walking time of each leg by each model of a mix.

    Parameters
    ----------
    legs : sequence of (run_m, rise_m)
        The segments of each leg: horizontal length and signed height gained [m].
    mix : mapping
        Model key -> weight [1].

    Returns
    -------
    MixTimes
        [s] and [m], in the order of ``mix`` and ``legs``.

    Raises
    ------
    InputError
        An unknown model, a weight that is not above zero, or weights that do not sum to one.

    Validity: each model's own. Sources: each model's own; our_pace_mix.
    """
    weights = _checked_weights(mix)
    walked = [[walking_time(key, run_m, rise_m) for run_m, rise_m in legs] for key in mix]
    shape = (len(mix), len(legs))
    return MixTimes(
        keys=tuple(mix),
        weights=weights,
        time_s=np.array([[leg.time_s for leg in row] for row in walked], float).reshape(shape),
        outside_m=np.array([[leg.outside_m for leg in row] for row in walked], float).reshape(shape),
        flags=tuple(sorted({flag for row in walked for leg in row for flag in leg.flags})),
    )


def _checked_weights(mix: Mapping[str, float]) -> FloatArray:
    for key in mix:
        pace_model(key)
    weights = np.array(list(mix.values()), float)
    if not bool(np.all(weights > 0.0)) or not abs(float(np.sum(weights)) - 1.0) <= 1e-9:
        raise InputError(
            Problem(
                what="the weights of the pace models do not make a whole",
                read=", ".join(f"{key} {weight:g}" for key, weight in mix.items()) or "none",
                allowed="weights above 0 that sum to 1",
                mend="leave a model out instead of giving it 0, and share 1 among the rest",
            )
        )
    return weights
