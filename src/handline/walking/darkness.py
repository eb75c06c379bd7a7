"""The same work takes longer in the dark: from a start and the work to do, when it is done."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray


def arrive_clock_s(
    depart_clock_s: npt.ArrayLike, work_s: npt.ArrayLike, dark_spans: npt.ArrayLike, dark_factor: float
) -> FloatArray:
    """When work that would take so long in the light is done.

    Work goes on at rate 1 in the light and 1 / dark_factor in the dark; the clock is where the work done since
    departure reaches ``work_s``.

    Parameters
    ----------
    depart_clock_s : array_like
        Start [s after midnight].
    work_s : array_like, broadcast with ``depart_clock_s``
        What it would take in the light [s]. Negative looks back: when to have left so as to be there now.
    dark_spans : array_like, shape (k, 2)
        Start and end of each dark span on the same clock [s], in order and apart.
    dark_factor : float
        How many times longer the same work takes in the dark [1], above 0.

    Returns
    -------
    array, the broadcast shape
        Arrival [s after midnight]. Exact, also beyond the last span, where it is light.

    Raises
    ------
    ValueError
        The spans are not in order, or the factor is not a finite number above 0.

    Validity: any clock time. Sources: practice_dark.
    """
    edges_clock_s = _edges(dark_spans)
    if not (np.isfinite(dark_factor) and dark_factor > 0.0):
        raise ValueError(f"dark_factor is {dark_factor}: it must be a finite number above 0")
    # One rate per stretch: before the first edge it is light, then dark, light ... and light after the last.
    rate = np.where(np.arange(edges_clock_s.size + 1) % 2 == 1, 1.0 / dark_factor, 1.0)
    depart, work = np.broadcast_arrays(np.asarray(depart_clock_s, float), np.asarray(work_s, float))
    if edges_clock_s.size == 0:
        arrive: FloatArray = depart + work
        return arrive
    edges_done_s = np.concatenate(([0.0], np.cumsum(rate[1:-1] * np.diff(edges_clock_s))))
    done_s = _follow(depart, edges_clock_s, edges_done_s, rate) + work
    return _follow(done_s, edges_done_s, edges_clock_s, 1.0 / rate)


def _follow(x: FloatArray, edges_x: FloatArray, edges_y: FloatArray, slope: FloatArray) -> FloatArray:
    """The broken line through the edges at ``x``, going on straight at both ends; ``slope`` has one more entry."""
    low, high = float(np.min(x, initial=edges_x[0])), float(np.max(x, initial=edges_x[-1]))
    if not np.isfinite(low + high):
        known = np.isfinite(x)
        return np.where(known, _follow(np.where(known, x, edges_x[0]), edges_x, edges_y, slope), x)
    # Knots beyond every x carry the straight ends, so that one pass does it all.
    before, after = min(low - edges_x[0], 0.0) - 1.0, max(high - edges_x[-1], 0.0) + 1.0
    knots_x = np.concatenate(([edges_x[0] + before], edges_x, [edges_x[-1] + after]))
    knots_y = np.concatenate(([edges_y[0] + slope[0] * before], edges_y, [edges_y[-1] + slope[-1] * after]))
    return np.interp(x, knots_x, knots_y)


def _edges(dark_spans: npt.ArrayLike) -> FloatArray:
    spans = np.asarray(dark_spans, float)
    edges = spans.reshape(-1)
    if spans.size and (spans.ndim != 2 or spans.shape[1] != 2):
        raise ValueError(f"dark_spans has shape {spans.shape}: it must be (k, 2)")
    if not bool(np.all(np.isfinite(edges))) or bool(np.any(np.diff(edges) < 0.0)):
        raise ValueError("dark_spans must be finite, in order and apart")
    return edges
