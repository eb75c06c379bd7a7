"""A forecast as it came: its places, each with its own times and values."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class ForecastPlace:
    """What a forecast says for one place.

    ``name`` is empty where the forecast has one place without a name; ``elevation_m`` is NaN where it is not said.
    ``time_s`` (n,) rises [s after 1970-01-01 00:00 UTC]; every other array has the same shape and is NaN where the
    forecast says nothing. ``rain_mm`` is what falls from each time to the next one, as water; ``rain_chance`` is the
    chance of any rain in it and ``thunder_chance`` of any thunder.
    """

    name: str
    elevation_m: float
    time_s: FloatArray
    temperature_C: FloatArray
    humidity_share: FloatArray
    wind_m_s: FloatArray
    gust_m_s: FloatArray
    cloud_share: FloatArray
    rain_mm: FloatArray
    rain_chance: FloatArray
    thunder_chance: FloatArray


@dataclass(frozen=True)
class Forecast:
    """A whole forecast.

    ``issued_s`` is when it was made [s UTC], NaN where it is not said; ``notes`` say what was mended.
    """

    places: tuple[ForecastPlace, ...]
    issued_s: float
    said_by: str
    notes: tuple[str, ...] = ()
