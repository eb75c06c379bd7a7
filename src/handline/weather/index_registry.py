"""Every weather index by name, with its inputs, unit, limits and source; and the one way to ask for it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.errors import InputError, unknown_choice
from handline.weather import indices
from handline.weather.indices import KM_H_PER_M_S, MPH_PER_M_S, FloatArray

Range = tuple[float, float]

ROUNDING = 1e-9
"""By how much a humidity may pass 1: what is left of a dew point turned to and fro."""


def _above(limit: float) -> float:
    """The lowest number above a limit that is itself not allowed."""
    return math.nextafter(limit, math.inf)


_F = indices.celsius
_HUMIDITY: Range = (0.0, 1.0 + ROUNDING)
# Where the vapour formula holds over water. From memory.
_VAPOUR: Range = (-45.0, 60.0)

INDEX_FLAGS: Mapping[str, str] = MappingProxyType(
    {
        "beyond_index_temperature": "the temperature is outside what the formula was made for",
        "beyond_index_humidity": "the humidity is outside what the formula was made for",
        "beyond_index_wind": "the wind is outside what the formula was made for",
        "beyond_index_dew_point": "the dew point is outside what the formula was made for",
        "dew_point_above_air": "the dew point is above the temperature of the air",
    }
)
"""Words of every flag."""

_FLAG_OF: Mapping[str, str] = MappingProxyType(
    {
        "temperature_C": "beyond_index_temperature",
        "humidity_share": "beyond_index_humidity",
        "wind_m_s": "beyond_index_wind",
        "dew_point_C": "beyond_index_dew_point",
    }
)


@dataclass(frozen=True)
class Index:
    """One published index. ``limits`` has, for each input, the lowest and highest it was made for, both included."""

    name: str
    title: str
    unit: str
    limits: Mapping[str, Range]
    source: str
    function: Callable[..., FloatArray]

    @property
    def inputs(self) -> tuple[str, ...]:
        """Names of what it reads."""
        return tuple(self.limits)


@dataclass(frozen=True)
class IndexValue:
    """An index in ``unit``: NaN where ``out_of_range``, and the flags that say why (words in ``INDEX_FLAGS``)."""

    value: FloatArray
    out_of_range: npt.NDArray[np.bool_]
    unit: str
    flags: tuple[str, ...]
    source: str


_INDICES = (
    Index(
        name="wind_chill",
        title="Wind chill",
        unit="C",
        limits={"temperature_C": (-math.inf, 10.0), "wind_m_s": (5.0 / KM_H_PER_M_S, math.inf)},
        source="wind_chill_2001",
        function=indices.wind_chill_C,
    ),
    Index(
        name="wind_chill_us",
        title="Wind chill, as printed in the United States",
        unit="C",
        limits={"temperature_C": (-math.inf, float(_F(50.0))), "wind_m_s": (_above(3.0 / MPH_PER_M_S), math.inf)},
        source="wind_chill_us_2001",
        function=indices.wind_chill_us_C,
    ),
    Index(
        name="heat_index",
        title="Heat index",
        unit="C",
        limits={"temperature_C": (float(_F(40.0)), float(_F(112.0))), "humidity_share": _HUMIDITY},
        source="heat_index_nws",
        function=indices.heat_index_C,
    ),
    Index(
        name="simple_wbgt",
        title="Wet bulb globe temperature, simple estimate",
        unit="C",
        limits={"temperature_C": _VAPOUR, "humidity_share": _HUMIDITY},
        source="bom_wbgt",
        function=indices.simple_wbgt_C,
    ),
    Index(
        name="apparent_temperature",
        title="Apparent temperature in the shade",
        unit="C",
        limits={"temperature_C": _VAPOUR, "humidity_share": _HUMIDITY, "wind_m_s": (0.0, math.inf)},
        source="bom_apparent",
        function=indices.apparent_temperature_C,
    ),
    Index(
        name="vapour_pressure",
        title="Vapour pressure",
        unit="hPa",
        limits={"temperature_C": _VAPOUR, "humidity_share": _HUMIDITY},
        source="bom_wbgt",
        function=indices.vapour_pressure_hPa,
    ),
    Index(
        name="dew_point",
        title="Dew point",
        unit="C",
        limits={"temperature_C": _VAPOUR, "humidity_share": (_above(0.0), _HUMIDITY[1])},
        source="bom_wbgt",
        function=indices.dew_point_C,
    ),
    Index(
        name="relative_humidity",
        title="Relative humidity from the dew point",
        unit="1",
        # A dew point lies far below the air where the air is dry.
        limits={"temperature_C": _VAPOUR, "dew_point_C": (-100.0, _VAPOUR[1])},
        source="bom_wbgt",
        function=indices.relative_humidity_share,
    ),
)

INDICES: Mapping[str, Index] = MappingProxyType({entry.name: entry for entry in _INDICES})


def index(name: str, **inputs: npt.ArrayLike) -> IndexValue:
    """A weather index, kept to its limits.

    Parameters
    ----------
    name : str
        A key of ``INDICES``.
    **inputs : array_like
        What ``INDICES[name].inputs`` lists, by name; broadcast together.

    Returns
    -------
    IndexValue
        In the broadcast shape; NaN and out of range where an input is missing or outside its limits, or where a dew
        point is above the temperature.

    Raises
    ------
    InputError
        There is no such index.
    TypeError
        Inputs that are not those of the index.

    Validity: the index's own. Sources: the index's own.

    Example
    -------
    >>> round(float(index("wind_chill", temperature_C=-25.0, wind_m_s=20.0 / 3.6).value))
    -37
    """
    entry = INDICES.get(name)
    if entry is None:
        raise InputError(unknown_choice("weather index", name, tuple(INDICES)))
    if set(inputs) != set(entry.inputs):
        raise TypeError(f"{name} reads {', '.join(entry.inputs)}; given: {', '.join(inputs) or 'nothing'}")
    arrays = np.broadcast_arrays(*(np.asarray(inputs[part], float) for part in entry.inputs))
    values = dict(zip(entry.inputs, arrays, strict=True))
    outside = {_FLAG_OF[part]: _not_within(values[part], entry.limits[part]) for part in entry.inputs}
    inside = ~np.any(list(outside.values()), axis=0)
    # A formula is asked only inside its limits: outside, a power of a negative number would be no number at all.
    value = np.full(inside.shape, np.nan)
    value[inside] = entry.function(**{part: array[inside] for part, array in values.items()})
    if name == "relative_humidity":
        outside["dew_point_above_air"] = value > _HUMIDITY[1]
        value = np.where(outside["dew_point_above_air"], np.nan, value)
    flags = tuple(flag for flag, where in outside.items() if bool(np.any(where)))
    return IndexValue(value, np.any(list(outside.values()), axis=0), entry.unit, flags, entry.source)


def _not_within(value: FloatArray, limits: Range) -> npt.NDArray[np.bool_]:
    """Where a value is missing or outside the limits."""
    return ~((value >= limits[0]) & (value <= limits[1]) & np.isfinite(value))
