"""Hourly weather at one place: many equally likely courses of the same hours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

HOUR_S = 3600.0


@dataclass(frozen=True)
class HourlyWeather:
    """The weather at one height, hour by hour.

    ``clock_s`` (hours,) is the start of each hour, evenly an hour apart [s after local midnight of the trip's date].
    Every other array has shape (members, hours): each member is one course the weather may take, all equally likely.
    Temperature, humidity, wind and cloud are those of the hour's start; ``rain_mm`` is what falls in the hour, as
    water.
    NaN where an hour is not known; then it is NaN in every array and member.
    """

    clock_s: FloatArray
    elevation_m: float
    temperature_C: FloatArray
    humidity_share: FloatArray
    wind_m_s: FloatArray
    cloud_share: FloatArray
    rain_mm: FloatArray

    @property
    def members(self) -> int:
        return int(self.temperature_C.shape[0])

    @property
    def known(self) -> NDArray[np.bool_]:
        """Which hours are known, shape (hours,)."""
        return np.isfinite(self.temperature_C[0])

    def quantiles(self, values: FloatArray, probabilities: tuple[float, ...]) -> FloatArray:
        """Quantiles of one of the arrays over the members, shape (probabilities, hours)."""
        return np.quantile(values, probabilities, axis=0)
