"""Short rests along the way: time owed for time walked."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray

_HOUR_S = 3600.0


def rest_owed_s(walk_s: npt.ArrayLike, rest_s_per_hour: npt.ArrayLike) -> FloatArray:
    """The rest that goes with some walking.

    rest = walk rest_per_hour / 3600

    Parameters
    ----------
    walk_s : array_like
        Time on the move [s].
    rest_s_per_hour : array_like, broadcast with ``walk_s``
        Rest for each hour on the move [s].

    Returns
    -------
    array, the broadcast shape
        Rest [s].

    Validity: any.
    Notes: in proportion, not in steps at full hours, so that it does not matter where a walk is cut into legs.
    Sources: practice_stops.
    """
    owed_s: FloatArray = np.asarray(walk_s, float) * (np.asarray(rest_s_per_hour, float) / _HOUR_S)
    return owed_s


def with_rests(walk_s: npt.ArrayLike, rest_s_per_hour: npt.ArrayLike) -> FloatArray:
    """Time on the move and its rests together [s]; parameters, validity and sources as ``rest_owed_s``."""
    return rest_owed_s(walk_s, rest_s_per_hour) + np.asarray(walk_s, float)
