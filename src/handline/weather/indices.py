"""What air feels like, and the water in it: the published formulas, without their limits.

``index_registry`` keeps each to its limits and is the way in. Everything is in SI at the door; a formula made for
km/h, mph or Fahrenheit turns into them inside.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handline.quantity import MILE_M

FloatArray = npt.NDArray[np.float64]

KM_H_PER_M_S = 3.6
MPH_PER_M_S = 3600.0 / MILE_M
# A converted 80 F may come out a rounding below 80; the steps of the heat index must not hang on that.
_ROUNDING_F = 1e-9
# Magnus: saturation over water [hPa, 1, C]. [bom_wbgt]
_MAGNUS_HPA, _MAGNUS_A, _MAGNUS_B_C = 6.105, 17.27, 237.7


def celsius(temperature_F: npt.ArrayLike) -> FloatArray:
    """C = (F - 32) / 1.8, same shape."""
    return (np.asarray(temperature_F, float) - 32.0) / 1.8


def fahrenheit(temperature_C: npt.ArrayLike) -> FloatArray:
    """F = 1.8 C + 32, same shape."""
    return np.asarray(temperature_C, float) * 1.8 + 32.0


# --- cold ----------------------------------------------------------------------------------------------------------


def wind_chill_C(temperature_C: npt.ArrayLike, wind_m_s: npt.ArrayLike) -> FloatArray:
    """The temperature of still air that would chill a bare face as much.

    W = 13.12 + 0.6215 T - 11.37 V^0.16 + 0.3965 T V^0.16, T in C and V in km/h

    Parameters
    ----------
    temperature_C : array_like
        Of the air [C].
    wind_m_s : array_like
        At 10 m above open ground [m/s]; broadcast together.

    Returns
    -------
    array, the broadcast shape
        Wind chill [C].

    Validity: T up to 10 C, V from 5 km/h. Sources: wind_chill_2001.
    """
    temperature = np.asarray(temperature_C, float)
    wind = (np.asarray(wind_m_s, float) * KM_H_PER_M_S) ** 0.16
    chill: FloatArray = 13.12 + 0.6215 * temperature - 11.37 * wind + 0.3965 * temperature * wind
    return chill


def wind_chill_us_C(temperature_C: npt.ArrayLike, wind_m_s: npt.ArrayLike) -> FloatArray:
    """The same as printed in the United States; its rounded coefficients differ by some hundredths of a degree.

    W = 35.74 + 0.6215 T - 35.75 V^0.16 + 0.4275 T V^0.16, T and W in F and V in mph

    Parameters and Returns as ``wind_chill_C``. Validity: T up to 50 F, V above 3 mph. Sources: wind_chill_us_2001.
    """
    temperature = fahrenheit(temperature_C)
    wind = (np.asarray(wind_m_s, float) * MPH_PER_M_S) ** 0.16
    return celsius(35.74 + 0.6215 * temperature - 35.75 * wind + 0.4275 * temperature * wind)


# --- heat ----------------------------------------------------------------------------------------------------------


def heat_index_C(temperature_C: npt.ArrayLike, humidity_share: npt.ArrayLike) -> FloatArray:
    """How hot it feels in shade and light wind.

    Simple form, in F and per cent: 0.5 (T + 61 + 1.2 (T - 68) + 0.094 R); where it reaches 80 the regression of
    Rothfusz stands instead, less ((13 - R) / 4) sqrt((17 - abs(T - 95)) / 17) below 13 % from 80 to 112 F, and more by
    ((R - 85) / 10) ((87 - T) / 5) above 85 % from 80 to 87 F.

    Parameters
    ----------
    temperature_C : array_like
        Of the air [C].
    humidity_share : array_like
        Relative humidity [1]; broadcast together.

    Returns
    -------
    array, the broadcast shape
        Heat index [C].

    Validity: 40 to 112 F, the highest the source names; in hot air near saturation it runs away upward.
    Notes: the two forms do not meet: the step where one takes over is the source's own. Full sun adds up to 15 F (from
    memory), which is not in it. Sources: heat_index_nws.
    """
    temperature, humidity = np.broadcast_arrays(fahrenheit(temperature_C), np.asarray(humidity_share, float) * 100.0)
    simple = 0.5 * (temperature + 61.0 + 1.2 * (temperature - 68.0) + 0.094 * humidity)
    full = _rothfusz_F(temperature, humidity) - _dry_F(temperature, humidity) + _damp_F(temperature, humidity)
    return celsius(np.where(simple >= 80.0 - _ROUNDING_F, full, simple))


def _rothfusz_F(temperature: FloatArray, humidity: FloatArray) -> FloatArray:
    """The regression in F and per cent."""
    regression: FloatArray = (
        -42.379
        + 2.04901523 * temperature
        + 10.14333127 * humidity
        - 0.22475541 * temperature * humidity
        - 0.00683783 * temperature**2
        - 0.05481717 * humidity**2
        + 0.00122874 * temperature**2 * humidity
        + 0.00085282 * temperature * humidity**2
        - 0.00000199 * temperature**2 * humidity**2
    )
    return regression


def _dry_F(temperature: FloatArray, humidity: FloatArray) -> FloatArray:
    """What dry air takes off [F]."""
    within = (humidity < 13.0) & (temperature >= 80.0 - _ROUNDING_F) & (temperature <= 112.0 + _ROUNDING_F)
    near = np.where(within, 17.0 - np.abs(temperature - 95.0), 0.0)
    # At 112 F itself a rounding may leave it a hair below nothing.
    return np.where(within, (13.0 - humidity) / 4.0 * np.sqrt(np.maximum(near, 0.0) / 17.0), 0.0)


def _damp_F(temperature: FloatArray, humidity: FloatArray) -> FloatArray:
    """What damp air adds [F]."""
    within = (humidity > 85.0) & (temperature >= 80.0 - _ROUNDING_F) & (temperature <= 87.0)
    return np.where(within, (humidity - 85.0) / 10.0 * (87.0 - temperature) / 5.0, 0.0)


def simple_wbgt_C(temperature_C: npt.ArrayLike, humidity_share: npt.ArrayLike) -> FloatArray:
    """An estimate of the wet bulb globe temperature where no globe hangs.

    W = 0.567 T + 0.393 e + 3.94, e in hPa

    Parameters and Returns as ``heat_index_C``, in C.

    Validity: moderate sun and light wind, which are assumed and not read: too high at night, under cloud and in wind; a
    little low in full sun and dry air (from memory). Sources: bom_wbgt.
    """
    vapour = vapour_pressure_hPa(temperature_C, humidity_share)
    return 0.567 * np.asarray(temperature_C, float) + 0.393 * vapour + 3.94


def apparent_temperature_C(
    temperature_C: npt.ArrayLike, humidity_share: npt.ArrayLike, wind_m_s: npt.ArrayLike
) -> FloatArray:
    """How warm it feels in the shade to a dressed walker, with the wind.

    A = T + 0.33 e - 0.70 v - 4.00, e in hPa and v in m/s at 10 m

    Parameters and Returns as ``heat_index_C``, with the wind [m/s]. Validity: shade. Sources: bom_apparent.
    """
    vapour = vapour_pressure_hPa(temperature_C, humidity_share)
    return np.asarray(temperature_C, float) + 0.33 * vapour - 0.70 * np.asarray(wind_m_s, float) - 4.00


# --- water in the air ----------------------------------------------------------------------------------------------


def vapour_pressure_hPa(temperature_C: npt.ArrayLike, humidity_share: npt.ArrayLike = 1.0) -> FloatArray:
    """The pressure of the water vapour in the air; at saturation where no humidity is given.

    e = H 6.105 exp(17.27 T / (237.7 + T))

    Parameters
    ----------
    temperature_C : array_like
        Of the air [C].
    humidity_share : array_like
        Relative humidity [1]; broadcast together.

    Returns
    -------
    array, the broadcast shape
        [hPa].

    Validity: over water, -45 to 60 C (from memory). Sources: bom_wbgt.
    """
    saturated = _MAGNUS_HPA * np.exp(_exponent(temperature_C))
    pressure: FloatArray = np.asarray(humidity_share, float) * saturated
    return pressure


def dew_point_C(temperature_C: npt.ArrayLike, humidity_share: npt.ArrayLike) -> FloatArray:
    """The temperature at which this air is saturated.

    D = 237.7 g / (17.27 - g), g = ln H + 17.27 T / (237.7 + T): the vapour pressure turned round exactly

    Parameters as ``vapour_pressure_hPa``. Returns [C], the broadcast shape. Validity: as there, and a humidity above 0.
    Sources: bom_wbgt.
    """
    exponent = np.log(np.asarray(humidity_share, float)) + _exponent(temperature_C)
    dew: FloatArray = _MAGNUS_B_C * exponent / (_MAGNUS_A - exponent)
    return dew


def relative_humidity_share(temperature_C: npt.ArrayLike, dew_point_C: npt.ArrayLike) -> FloatArray:
    """Relative humidity from the dew point.

    H = e(D) / e(T)

    Parameters
    ----------
    temperature_C, dew_point_C : array_like
        Of the air [C]; broadcast together.

    Returns
    -------
    array, the broadcast shape
        [1]; above 1 where the dew point is above the temperature, which air does not keep up.

    Validity: as ``vapour_pressure_hPa``. Sources: bom_wbgt.
    """
    humidity: FloatArray = np.exp(_exponent(dew_point_C) - _exponent(temperature_C))
    return humidity


def _exponent(temperature_C: npt.ArrayLike) -> FloatArray:
    temperature = np.asarray(temperature_C, float)
    return _MAGNUS_A * temperature / (_MAGNUS_B_C + temperature)
