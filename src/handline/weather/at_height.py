"""The same weather at another height.

Temperature falls with height by one lapse. Water stays in the air: its vapour pressure, and so the dew point, is kept,
and where the air gets too cold for it the humidity stops at 1: cloud. Going up, this leaves a little more water in the
air than there is (pressure falls by an eighth in the first 1000 m), so rock dries later than it may. Wind, cloud and
rain are kept as they are: a ridge has more wind than the valley it was forecast for, and rain may be snow.

Which lapse is careful depends on what is feared: a larger one upward (to 0.0098, dry air) for cold hands and ice, a
smaller one for heat. On still clear nights a valley may be colder than the slope above it, and no one lapse tells that.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from handline.errors import InputError, Problem
from handline.weather.hours import FloatArray, HourlyWeather
from handline.weather.indices import relative_humidity_share
from handline.weather.standard_air import LAPSE_K_M

HEIGHTS_M = (-500.0, 11_000.0)
"""Where the lapse holds: the standard atmosphere's lowest layer."""
MOST_LAPSE_C_M = 0.03
"""A larger one either way is a slip of the pen."""


def at_height(hours: HourlyWeather, elevation_m: float, lapse_C_m: float = LAPSE_K_M) -> HourlyWeather:
    """The hours at another height.

    T' = T - lapse (h' - h); H' = min(1, H e(T) / e(T')), e the saturation pressure; the rest kept

    Parameters
    ----------
    hours : HourlyWeather
        At its own height.
    elevation_m : float
        The height wanted, above the sea [m].
    lapse_C_m : float
        Fall of temperature with height [C/m]; the standard atmosphere's 6.5 C in 1000 m where none is given.

    Returns
    -------
    HourlyWeather
        Same shapes; NaN stays NaN. ``saturated_at_height`` tells where the humidity stopped at 1.

    Raises
    ------
    InputError
        The height of the hours is not known.
    ValueError
        A height outside ``HEIGHTS_M`` or a lapse beyond ``MOST_LAPSE_C_M``.

    Validity: free air, the same day and weather; no inversions. Sources: isa_1976, our_at_height, bom_wbgt.
    """
    temperature_C, humidity_share = _carried(hours, elevation_m, lapse_C_m)
    return replace(
        hours,
        elevation_m=float(elevation_m),
        temperature_C=temperature_C,
        humidity_share=np.minimum(humidity_share, 1.0),
    )


def saturated_at_height(
    hours: HourlyWeather, elevation_m: float, lapse_C_m: float = LAPSE_K_M
) -> npt.NDArray[np.bool_]:
    """Where the air would hold more water than it can at that height, and ``at_height`` says 1: shape (members, hours).

    Parameters and Raises as ``at_height``. Sources: our_at_height.
    """
    return _carried(hours, elevation_m, lapse_C_m)[1] > 1.0


def _carried(hours: HourlyWeather, elevation_m: float, lapse_C_m: float) -> tuple[FloatArray, FloatArray]:
    """Temperature, and humidity with all the water still in the air."""
    if not math.isfinite(hours.elevation_m):
        raise InputError(
            Problem(
                "the height of this forecast is not known, so it cannot be carried to another",
                mend="add a column elevation_m or elevation_ft",
            )
        )
    for height in (hours.elevation_m, elevation_m):
        if not HEIGHTS_M[0] <= height <= HEIGHTS_M[1]:
            raise ValueError(f"a height lies from {HEIGHTS_M[0]:g} to {HEIGHTS_M[1]:g} m, not {height:g}")
    if not abs(lapse_C_m) <= MOST_LAPSE_C_M:
        raise ValueError(f"a lapse lies within {MOST_LAPSE_C_M:g} C/m either way, not {lapse_C_m:g}")
    temperature_C = hours.temperature_C - lapse_C_m * (elevation_m - hours.elevation_m)
    # e(T) / e(T'): the saturation pressures, as if the air here were the dew point there.
    fuller = relative_humidity_share(temperature_C, hours.temperature_C)
    return temperature_C, hours.humidity_share * fuller
