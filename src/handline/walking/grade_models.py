"""Pace models of the form "speed by grade": the plain formulas, without their limits.

Grade is rise over run and signed: uphill is positive. Speed is over the ground as a map shows it (horizontal).
The limits of each model, and what it was made for, stand in ``registry.py``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

_KM_H = 1000.0 / 3600.0  # m/s

TOBLER_OFF_PATH = 0.6
IRMISCHER_WOMEN = 0.95


def tobler_1993_m_s(grade: npt.ArrayLike) -> FloatArray:
    """Walking speed on a path.

    v[km/h] = 6 exp(-3.5 abs(S + 0.05))

    Parameters
    ----------
    grade : array_like, any shape
        S, rise over run [1].

    Returns
    -------
    array, shape of ``grade``
        Speed [m/s].

    Validity: about S = -0.6 to 0.6. Sources: tobler_1993.
    """
    return 6.0 * np.exp(-3.5 * np.abs(np.asarray(grade, float) + 0.05)) * _KM_H


def tobler_1993_off_path_m_s(grade: npt.ArrayLike) -> FloatArray:
    """Walking speed off the path: 0.6 of that on it.

    Parameters, Returns and Validity as ``tobler_1993_m_s``. Sources: tobler_1993.
    """
    return TOBLER_OFF_PATH * tobler_1993_m_s(grade)


def rees_2004_m_s(grade: npt.ArrayLike) -> FloatArray:
    """Walking speed on mountain routes.

    pace[s/m] = 0.75 + 0.09 abs(S) + 14.6 S^2, and v = 1 / pace

    Parameters
    ----------
    grade : array_like, any shape
        S, rise over run [1]. Down is as slow as up.

    Returns
    -------
    array, shape of ``grade``
        Speed [m/s].

    Validity: not stated by the source. Sources: rees_2004.
    """
    steepness = np.abs(np.asarray(grade, float))
    pace_s_m: FloatArray = 0.75 + 0.09 * steepness + 14.6 * steepness**2
    return 1.0 / pace_s_m


def marquez_2017_m_s(grade: npt.ArrayLike) -> FloatArray:
    """Walking speed on trails.

    v[km/h] = 4.8 exp(-5.3 abs(0.7 S + 0.03))

    Parameters
    ----------
    grade : array_like, any shape
        S, rise over run [1].

    Returns
    -------
    array, shape of ``grade``
        Speed [m/s].

    Validity: not stated by the source. Sources: marquez_2017.
    """
    return 4.8 * np.exp(-5.3 * np.abs(0.7 * np.asarray(grade, float) + 0.03)) * _KM_H


def irmischer_2018_m_s(grade: npt.ArrayLike, *, women: bool = False) -> FloatArray:
    """Walking speed on a path, of people who find their way by map.

    v[m/s] = 0.11 + exp(-(G + 5)^2 / 1800), for women times 0.95

    Parameters
    ----------
    grade : array_like, any shape
        Rise over run [1]; G is the same in per cent.
    women : bool
        The speed of the women measured; else of the men.

    Returns
    -------
    array, shape of ``grade``
        Speed [m/s].

    Validity: not stated by the source.
    Notes: G is signed. Second-hand copies with abs(G) make descents as slow as climbs.
    Sources: irmischer_2018.
    """
    return _irmischer_m_s(grade, height_m_s=1.0, offset_percent=5.0, women=women)


def irmischer_2018_off_path_m_s(grade: npt.ArrayLike, *, women: bool = False) -> FloatArray:
    """Walking speed off the path, of people who find their way by map.

    v[m/s] = 0.11 + 0.67 exp(-(G + 2)^2 / 1800), for women times 0.95

    Parameters, Returns, Validity and Notes as ``irmischer_2018_m_s``. Sources: irmischer_2018.
    """
    return _irmischer_m_s(grade, height_m_s=0.67, offset_percent=2.0, women=women)


def _irmischer_m_s(grade: npt.ArrayLike, *, height_m_s: float, offset_percent: float, women: bool) -> FloatArray:
    percent = 100.0 * np.asarray(grade, float)
    speed_m_s: FloatArray = 0.11 + height_m_s * np.exp(-((percent + offset_percent) ** 2) / 1800.0)
    return (IRMISCHER_WOMEN if women else 1.0) * speed_m_s


@dataclass(frozen=True)
class SlopeCurve:
    """A peak over the slope angle with a straight line under it; ``speed_m_s`` gives the equation."""

    a_deg: float
    b_deg: float
    c: float
    d_m_s: float
    e_m_s_deg: float

    def speed_m_s(self, grade: npt.ArrayLike) -> FloatArray:
        """Walking speed by slope angle.

        v[m/s] = c / (pi b (1 + ((theta - a) / b)^2)) + d + e theta, theta in degrees

        Parameters
        ----------
        grade : array_like, any shape
            Rise over run [1]; theta is its angle.

        Returns
        -------
        array, shape of ``grade``
            Speed [m/s].

        Validity: theta = -30 to 30 degrees. Sources: sullivan_2020, campbell_2019.
        """
        slope_deg = np.degrees(np.arctan(np.asarray(grade, float)))
        peak_m_s = self.c / (np.pi * self.b_deg * (1.0 + ((slope_deg - self.a_deg) / self.b_deg) ** 2))
        speed_m_s: FloatArray = peak_m_s + self.d_m_s + self.e_m_s_deg * slope_deg
        return speed_m_s


SULLIVAN_2020: Mapping[str, SlopeCurve] = MappingProxyType(
    {
        "low": SlopeCurve(-3.3717, 25.8255, 92.6594, -0.1624, 0.0019),
        "moderate": SlopeCurve(-2.8292, 20.9482, 77.6346, 0.2228, -0.0004),
        "high": SlopeCurve(-2.2893, 19.4024, 65.3577, 0.6226, -0.0020),
    }
)
"""Loaded crews on trails, by how hard they went."""

CAMPBELL_2019: Mapping[int, SlopeCurve] = MappingProxyType(
    {
        1: SlopeCurve(-2.100, 12.273, 21.816, 0.263, -0.00193),
        5: SlopeCurve(-1.527, 14.041, 36.813, 0.320, -0.00273),
        10: SlopeCurve(-1.568, 13.328, 38.892, 0.404, -0.00323),
        15: SlopeCurve(-1.626, 11.847, 38.231, 0.481, -0.00356),
    }
)
"""By percentile of people who walk and run. The faster percentiles run, so they are left out."""
