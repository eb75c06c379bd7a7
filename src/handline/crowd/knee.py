"""Where a curve that rises ever more steeply begins to do so."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike


def knee(x: ArrayLike, y: ArrayLike) -> int | None:
    """The point of a curve farthest below the straight line between both of its ends.

    below = (x - x0) / (x1 - x0) - (y - y0) / (y1 - y0)

    Parameters
    ----------
    x : array_like, shape (n,)
        Ascending.
    y : array_like, shape (n,)
        Of any unit.

    Returns
    -------
    int or None
        Its index; None where the curve ends no higher than it begins, or nowhere lies below that line.

    Raises
    ------
    ValueError
        Fewer than three points, arrays that do not fit, values that are not finite, or x that does not ascend.

    Validity: a curve whose end is part of the question: another end may move the knee.
    Sources: our_crowd_knee.
    """
    along, up = np.asarray(x, float), np.asarray(y, float)
    if along.ndim != 1 or along.shape != up.shape or along.size < 3:
        raise ValueError("a curve with a knee has at least three points, each with two values")
    if not bool(np.all(np.isfinite(along)) and np.all(np.isfinite(up))) or not bool(np.all(np.diff(along) > 0.0)):
        raise ValueError("the points of a curve are finite and go forward")
    if not up[-1] > up[0]:
        return None
    below = (along - along[0]) / (along[-1] - along[0]) - (up - up[0]) / (up[-1] - up[0])
    at = int(np.argmax(below))
    # A straight line is below itself by what rounding leaves.
    return at if below[at] > 1e-9 else None
