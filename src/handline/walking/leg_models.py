"""Pace models of the form "so much for distance, so much for climb": the plain rules.

``Ground`` says what a rule needs to know of a leg, or of each of its segments.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from handline.quantity import FOOT_M, MILE_M

FloatArray = npt.NDArray[np.float64]

_HOUR_S = 3600.0

LANGMUIR_GENTLE_FROM_DEG = 5.0
LANGMUIR_STEEP_ABOVE_DEG = 12.0


@dataclass(frozen=True)
class Ground:
    """Distance, climb and descent of a leg (floats) or of each segment (arrays of one shape).

    ``down_m`` is all descent; ``gentle_down_m`` the part at 5 to 12 degrees, ``steep_down_m`` the part steeper.
    """

    distance_m: FloatArray
    up_m: FloatArray
    down_m: FloatArray
    gentle_down_m: FloatArray
    steep_down_m: FloatArray

    def total(self) -> Ground:
        """The same ground as one leg."""
        return Ground(*(np.sum(getattr(self, field.name)) for field in fields(self)))


def ground_of(run_m: npt.ArrayLike, rise_m: npt.ArrayLike) -> Ground:
    """The ground of each segment.

    Parameters
    ----------
    run_m, rise_m : array_like, one shape
        Horizontal length and signed height gained of each segment [m].

    Returns
    -------
    Ground
        Arrays of that shape. Climb is the sum of what rises and descent of what falls: the profile given should
        already be smoothed, or its noise is counted as climb.

    Sources: langmuir_1984 (the classes of descent; 5 and 12 degrees themselves are gentle).
    """
    run, rise = np.asarray(run_m, float), np.asarray(rise_m, float)
    down_m = np.maximum(-rise, 0.0)
    slope_deg = np.degrees(np.arctan2(down_m, run))
    steep = slope_deg > LANGMUIR_STEEP_ABOVE_DEG
    gentle = (slope_deg >= LANGMUIR_GENTLE_FROM_DEG) & ~steep
    return Ground(run, np.maximum(rise, 0.0), down_m, np.where(gentle, down_m, 0.0), np.where(steep, down_m, 0.0))


def naismith_1892_s(ground: Ground) -> FloatArray:
    """Three miles an hour, and an hour for each 2,000 ft of climb.

    t[h] = distance[mi] / 3 + climb[ft] / 2000

    Parameters
    ----------
    ground : Ground
        A leg or segments [m].

    Returns
    -------
    array, shape of the ground
        Time [s].

    Validity: fit walkers, easy ground, no stops; descent counts as level.
    Notes: the habit of 5 km/h and 600 m/h is not this rule: it is 3.6 % faster on the level and 1.6 % slower up.
    Sources: naismith_1892.
    """
    return (ground.distance_m / MILE_M / 3.0 + ground.up_m / FOOT_M / 2000.0) * _HOUR_S


def langmuir_1984_s(ground: Ground) -> FloatArray:
    """Naismith's rule with descents: gentle ones save time, steep ones cost it.

    t[s] = 0.72 distance + 6.0 up - 2.0 down (5 to 12 deg) + 2.0 down (steeper than 12 deg), all in m

    Parameters
    ----------
    ground : Ground
        A leg or segments [m].

    Returns
    -------
    array, shape of the ground
        Time [s].

    Validity: on foot, on paths.
    Notes: the base is 5 km/h; another account says 4 km/h. On long gentle descents the rule, kept as published, is
    faster than people walk: 12 km/h at 12 degrees.
    Sources: langmuir_1984.
    """
    return 0.72 * ground.distance_m + 6.0 * ground.up_m - 2.0 * ground.gentle_down_m + 2.0 * ground.steep_down_m


def din_33466_s(ground: Ground) -> FloatArray:
    """The rule of marked trails: the longer of the times for distance and height, plus half the shorter.

    tH[h] = distance[km] / 4; tV[h] = up[m] / 300 + down[m] / 500; t = max(tH, tV) + min(tH, tV) / 2

    Parameters
    ----------
    ground : Ground
        A whole leg [m]: the rule is for totals.

    Returns
    -------
    array, shape of the ground
        Time [s].

    Validity: signposted trails, slow walkers, no stops.
    Notes: legs timed one by one add up to at least the time of the whole, so cutting a route errs to the slow side.
    Sources: din_33466.
    """
    return _longer_and_half_the_shorter_s(ground, level_km_h=4.0, up_m_h=300.0, down_m_h=500.0)


def sac_rule_s(ground: Ground) -> FloatArray:
    """The same rule as DIN 33466 with faster climbs: 4 km/h, 400 m/h up, 800 m/h down.

    Parameters, Returns and Notes as ``din_33466_s``.

    Validity: trails, no stops. Sources: sac_rule.
    """
    return _longer_and_half_the_shorter_s(ground, level_km_h=4.0, up_m_h=400.0, down_m_h=800.0)


def _longer_and_half_the_shorter_s(ground: Ground, *, level_km_h: float, up_m_h: float, down_m_h: float) -> FloatArray:
    level_h = ground.distance_m / 1000.0 / level_km_h
    height_h = ground.up_m / up_m_h + ground.down_m / down_m_h
    time_h: FloatArray = np.maximum(level_h, height_h) + np.minimum(level_h, height_h) / 2.0
    return time_h * _HOUR_S
