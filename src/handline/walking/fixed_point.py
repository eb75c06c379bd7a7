"""A loop that feeds on itself, gone through until it stands still."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray


@dataclass(frozen=True, eq=False)
class Settled:
    """Where the loop came to.

    ``values`` is what the last step gave, ``residual`` the largest change that step made, ``residuals`` those of all
    steps. ``ratio`` is how many times smaller a step's change was than the one before, the worst of the last two; NaN
    before there are two. ``error_bound`` is how far the values can be from standing still, if that ratio holds; NaN
    where it is 1 or more or not known. ``words`` says it in a sentence, also when the loop did not settle.
    """

    values: FloatArray
    iterations: int
    residual: float
    residuals: tuple[float, ...]
    ratio: float
    settled: bool
    words: str

    @property
    def error_bound(self) -> float:
        """residual ratio / (1 - ratio): what the steps that were not made could still add up to."""
        if self.residual == 0.0:
            return 0.0
        return self.residual * self.ratio / (1.0 - self.ratio) if self.ratio < 1.0 else float("nan")


def settle(step: Callable[[FloatArray], npt.ArrayLike], start: npt.ArrayLike, tolerance: float, most: int) -> Settled:
    """Values that a step leaves as they are.

    x(k+1) = step(x(k)), until max abs(x(k+1) - x(k)) <= tolerance

    Parameters
    ----------
    step : callable
        Array in, array of the same shape out.
    start : array_like, any shape
        Where to begin.
    tolerance : float
        The change that is small enough, in the unit of the values.
    most : int
        Steps after which to give up.

    Returns
    -------
    Settled
        ``settled`` is False, with the reason in words, where a step gives something that is no number, or where
        ``most`` steps do not do: no exception, for the caller has to tell somebody.

    Raises
    ------
    ValueError
        A start that is not finite, a tolerance that is not above 0, ``most`` below 1, or a step that changes the shape.

    Validity: any; it settles where a step moves two values less far apart than they were.
    Notes: for packs the loop is weight -> pace -> hours -> water -> weight. A kilogram more makes the walk 1 to 5 %
    longer (d pace / d load, of ``load_factor``, most for a light body under a heavy pack). Each hour asks for half to
    one litre (d water / d hours). What a stretch asks for is therefore up by 1 to 5 % of its water for each kilogram
    carried more, and only about half of that water is carried on the mean: 5 L to the next source give a ratio of
    at most about 0.13 between one step's change and the last. That is below 1, so the changes fall off like a geometric
    series and come to the same answer whatever the start. It would reach 1 only where a stretch asks for some 40 L.
    Sources: our_settling.
    """
    values = np.asarray(start, float)
    if not bool(np.all(np.isfinite(values))):
        raise ValueError("start must be finite")
    if not (np.isfinite(tolerance) and tolerance > 0.0):
        raise ValueError(f"tolerance is {tolerance}: it must be finite and above 0")
    if most < 1:
        raise ValueError(f"most is {most}: at least one step is needed")
    residuals: list[float] = []
    for _ in range(most):
        after = np.asarray(step(values), float)
        if after.shape != values.shape:
            raise ValueError(f"a step made shape {after.shape} of {values.shape}: it must keep the shape")
        residuals.append(float(np.max(np.abs(after - values), initial=0.0)))
        values = after
        if not np.isfinite(residuals[-1]):
            return _result(values, residuals, False, "a step gave something that is no number")
        if residuals[-1] <= tolerance:
            return _result(values, residuals, True, "it stands still")
    return _result(values, residuals, False, f"{most} steps were not enough")


def _result(values: FloatArray, residuals: list[float], settled: bool, why: str) -> Settled:
    ratio = _ratio(residuals)
    how_fast = "" if np.isnan(ratio) else f"; each change is {ratio:.2g} of the one before"
    words = (
        f"{'Settled' if settled else 'Not settled'} after {len(residuals)} steps: {why}; "
        f"the last change was {residuals[-1]:.2g}{how_fast}."
    )
    return Settled(values, len(residuals), residuals[-1], tuple(residuals), ratio, settled, words)


def _ratio(residuals: list[float]) -> float:
    """The worst of the last two ratios of a change to the one before; NaN where there is none."""
    last = residuals[-3:]
    ratios = [after / before for before, after in pairwise(last) if before > 0.0]
    return max(ratios) if ratios else float("nan")
