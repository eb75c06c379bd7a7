"""Temperature and pressure of the standard atmosphere by height."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

SEA_K, SEA_PA, LAPSE_K_M, PRESSURE_POWER = 288.15, 101325.0, 0.0065, 5.255876


def standard_temperature_K(elevation_m: npt.ArrayLike) -> FloatArray:
    """T = 288.15 - 0.0065 h [K], height above the sea [m]. Validity: to 11,000 m. Sources: isa_1976."""
    return SEA_K - LAPSE_K_M * np.asarray(elevation_m, float)


def standard_pressure_Pa(elevation_m: npt.ArrayLike) -> FloatArray:
    """p = 101325 (T / 288.15)^5.255876 [Pa], height above the sea [m]. Validity: to 11,000 m. Sources: isa_1976."""
    pressure: FloatArray = SEA_PA * (standard_temperature_K(elevation_m) / SEA_K) ** PRESSURE_POWER
    return pressure
