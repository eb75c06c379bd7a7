"""The local horizon of a place: how high the ground stands in each direction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.sky.curve import FloatArray

LOWEST_DEG = -5.0
"""A horizon is nowhere lower: the sea seen from 9 km up lies 3 degrees below level. Sources: practice_horizon."""
HIGHEST_DEG = 90.0


@dataclass(frozen=True)
class Horizon:
    """Height of the horizon in the directions of ``azimuth_deg``, and straight between them around the circle.

    Azimuths are from north by east, rising in [0, 360); altitudes are what the eye sees, above level [deg]; both have
    shape (n,). ``notes`` say in words what the horizon does not know. Raises ValueError, with everything wrong with it.
    """

    azimuth_deg: FloatArray
    altitude_deg: FloatArray
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        problems = _problems(self.azimuth_deg, self.altitude_deg)
        if not problems and np.any(np.diff(self.azimuth_deg) <= 0.0):
            problems.append("azimuths of a horizon must rise")
        if problems:
            raise ValueError("; ".join(problems))

    def altitude_at(self, azimuth_deg: npt.ArrayLike) -> FloatArray:
        """Height of the horizon [deg] in any direction [deg], shape of ``azimuth_deg``; NaN gives NaN."""
        azimuth = np.asarray(azimuth_deg, dtype=np.float64)
        return np.asarray(np.interp(azimuth, self.azimuth_deg, self.altitude_deg, period=360.0))


def horizon_of_bearings(
    azimuth_deg: Sequence[float], altitude_deg: Sequence[float], notes: tuple[str, ...] = ()
) -> Horizon:
    """A horizon from a few bearings somebody has taken, in any order.

    Parameters
    ----------
    azimuth_deg : sequence of n floats
        From north by east, 0 to 360 [deg]; 360 is 0.
    altitude_deg : sequence of n floats
        Above level, ``LOWEST_DEG`` to ``HIGHEST_DEG`` [deg].
    notes : tuple of str

    Returns
    -------
    Horizon
        Straight between neighbouring bearings; one bearing alone is the horizon all around.

    Raises
    ------
    ValueError
        With everything that is wrong: counts that differ, no bearing, no numbers, out of the limits, a direction twice.

    Validity: a summit between two bearings is not seen; take one on every summit and in every gap.
    """
    bearings = np.asarray(azimuth_deg, dtype=float)
    altitudes = np.asarray(altitude_deg, dtype=float)
    full_circle = bearings == 360.0
    bearings = np.where(full_circle, 0.0, bearings)
    problems = _problems(bearings, altitudes)
    if bearings.ndim == 1:
        values, counts = np.unique(bearings, return_counts=True)
        problems += [
            f"direction {value:g} is given {count} times"
            for value, count in zip(values, counts, strict=True)
            if count > 1
        ]
    if problems:
        raise ValueError("; ".join(problems))
    order = np.argsort(bearings)
    return Horizon(bearings[order], altitudes[order], notes)


def _problems(azimuth_deg: FloatArray, altitude_deg: FloatArray) -> list[str]:
    """Everything wrong with the numbers, whatever their order."""
    if azimuth_deg.ndim != 1 or azimuth_deg.shape != altitude_deg.shape:
        return [f"{azimuth_deg.size} directions and {altitude_deg.size} altitudes: one altitude for each direction"]
    if not azimuth_deg.size:
        return ["a horizon needs one direction at least"]
    problems = [
        f"{value:g} is not a direction from 0 to 360 degrees"
        for value in azimuth_deg[~((azimuth_deg >= 0.0) & (azimuth_deg < 360.0))]
    ]
    return problems + [
        f"{value:g} is not the altitude of a horizon from {LOWEST_DEG:g} to {HIGHEST_DEG:g} degrees"
        for value in altitude_deg[~((altitude_deg >= LOWEST_DEG) & (altitude_deg <= HIGHEST_DEG))]
    ]


LEVEL = Horizon(np.array([0.0]), np.array([0.0]))
"""Nothing in the way: the horizon of a plain or the sea, seen from its surface."""
