"""A quantity nobody knows to the digit: its low, middle and high value, kept together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist
from typing import Self

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray


@dataclass(frozen=True, eq=False)
class Spread:
    """Low, middle and high of one quantity, arrays of one shape, in the unit of the field that holds them.

    Raises ValueError where they are not in order. NaN stands for unknown.
    """

    low: FloatArray
    centre: FloatArray
    high: FloatArray

    def __post_init__(self) -> None:
        parts = np.broadcast_arrays(*(np.asarray(part, float) for part in (self.low, self.centre, self.high)))
        for name, part in zip(("low", "centre", "high"), parts, strict=True):
            object.__setattr__(self, name, part)
        if bool(np.any(self.low > self.centre)) or bool(np.any(self.centre > self.high)):
            raise ValueError("low, centre and high must be in this order")

    @classmethod
    def total(cls, parts: Iterable[Self]) -> Self:
        """All added up, low with low and high with high: what is high at one hour is high at the next.

        That makes a wider sum than parts that know nothing of each other would.
        """
        listed = list(parts)
        if not listed:
            raise ValueError("there is nothing to add up")
        return cls(
            np.sum([part.low for part in listed], axis=0),
            np.sum([part.centre for part in listed], axis=0),
            np.sum([part.high for part in listed], axis=0),
        )

    def times(self, factor: npt.ArrayLike) -> Spread:
        """Each of the three times a factor of 0 or more, broadcast."""
        by = np.asarray(factor, float)
        if bool(np.any(by < 0.0)):
            raise ValueError("factor must be 0 or more")
        return Spread(self.low * by, self.centre * by, self.high * by)

    def along_last(self) -> Spread:
        """The sums along the last axis."""
        return Spread(self.low.sum(axis=-1), self.centre.sum(axis=-1), self.high.sum(axis=-1))

    def at(self, quantile: float) -> FloatArray:
        """The value that is enough with this chance.

        centre + z (high - centre), z of the standard normal

        Parameters
        ----------
        quantile : float
            From 0.5 to below 1: a plan is made at the middle or above it.

        Returns
        -------
        array, the shape of the three

        Raises
        ------
        ValueError
            A quantile outside.

        Notes: low and high are taken as one standard deviation from the middle.
        Sources: our_spread.
        """
        if not 0.5 <= quantile < 1.0:
            raise ValueError(f"quantile is {quantile}: it must be 0.5 or more and below 1")
        value: FloatArray = self.centre + NormalDist().inv_cdf(quantile) * (self.high - self.centre)
        return value
