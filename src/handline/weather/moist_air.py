"""Water vapour in air: how much it can hold, over water and over ice, and the dew point."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

# Magnus: e = 6.112 exp(a t / (b + t)) hPa, over water and over ice. [magnus_wmo]
AT_ZERO_HPA = 6.112
_WATER_A, _WATER_B_C = 17.62, 243.12
_ICE_A, _ICE_B_C = 22.46, 272.62


def vapour_over_water_hPa(temperature_C: npt.ArrayLike) -> FloatArray:
    """Vapour pressure of air saturated over water [hPa], same shape as the temperature [deg C].

    Equation: e = 6.112 exp(17.62 t / (243.12 + t)). Validity: -45 to 60 deg C. Sources: magnus_wmo.
    """
    t = np.asarray(temperature_C, float)
    return AT_ZERO_HPA * np.exp(_WATER_A * t / (_WATER_B_C + t))


def vapour_rise_hPa_K(temperature_C: npt.ArrayLike) -> FloatArray:
    """How saturation over water rises with temperature, de/dt = e 17.62 x 243.12 / (243.12 + t)^2 [hPa/K], same shape.

    Sources: magnus_wmo.
    """
    t = np.asarray(temperature_C, float)
    return vapour_over_water_hPa(t) * (_WATER_A * _WATER_B_C) / (_WATER_B_C + t) ** 2


def vapour_over_ice_hPa(temperature_C: npt.ArrayLike) -> FloatArray:
    """Vapour pressure of air saturated over ice [hPa], same shape as the temperature [deg C].

    Equation: e = 6.112 exp(22.46 t / (272.62 + t)). Validity: -65 to 0 deg C. Sources: magnus_wmo.
    """
    t = np.asarray(temperature_C, float)
    return AT_ZERO_HPA * np.exp(_ICE_A * t / (_ICE_B_C + t))


def vapour_over_surface_hPa(temperature_C: npt.ArrayLike) -> FloatArray:
    """Over water above 0 deg C, over ice at and below it [hPa], same shape. The two meet at 0. Sources: magnus_wmo."""
    t = np.asarray(temperature_C, float)
    frozen = t <= 0.0
    return AT_ZERO_HPA * np.exp(np.where(frozen, _ICE_A, _WATER_A) * t / (np.where(frozen, _ICE_B_C, _WATER_B_C) + t))
