"""Water and warmth of bare rock: what it takes up and gives off. Formulas only."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.weather.moist_air import vapour_over_surface_hPa, vapour_over_water_hPa, vapour_rise_hPa_K
from handline.weather.sunshine import sky_view_share

FloatArray = npt.NDArray[np.float64]

# Wind helps vapour away as 1 + 0.54 u, and 0.26 mm a day go over for each hPa of difference in still air. [penman_1948]
WIND_HELP_S_M, STILL_MM_DAY_HPA = 0.54, 0.26
# Warmth that goes over to the air: 2.8 + 3.0 u by the wind [watmuff_1977], and by radiation what a body at 10 deg C
# gives for each kelvin, 4 sigma T^3. [practice_rock]
STILL_W_M2_K, WIND_W_M2_K_S_M, RADIATED_W_M2_K = 2.8, 3.0, 5.1
# Share of the sun that granite keeps, low end; loss to a clear night sky, none to an overcast one; heat of the skin of
# rock that follows the day, as much as 7 cm of granite. [practice_rock]
SUN_KEPT_SHARE, CLEAR_NIGHT_W_M2, SKIN_J_M2_K = 0.60, 60.0, 1.5e5
# Heat to melt 1 mm of ice on a square metre. [practice_rock]
MELTING_J_M2_MM = 3.34e5
# A slab is not everywhere as warm as its mean: water begins to freeze on it, and ice to melt, at this. [practice_rock]
FREEZING_C = 0.5
# Air at or under the first brings snow, over the second rain, and between the two both. [practice_rock]
ALL_SNOW_C, ALL_RAIN_C = 0.0, 2.0
# A film up to this is dry; above the second it is wet, and damp between. Where ice alone would be damp, it is iced.
# [practice_rock]
DRY_UP_TO_MM, WET_ABOVE_MM = 0.02, 0.10
# What a steep slab holds as a film, and how long that takes to dry. [practice_rock]
USUAL_FILM_MM, USUAL_DRYING_S = 0.30, 3.0 * 3600.0
# Frozen water does not run off: rock may carry this much water with its ice and snow. [practice_rock]
MOST_HELD_MM = 10.0
HOUR_S = 3600.0


@dataclass(frozen=True)
class RockDrying:
    """How a slab holds water and dries.

    ``drying_time_s``: how long it takes from a full film to dry, in the shade under cloud, in steady air of the three
    reference values. ``film_mm``: what it holds as water. ``melt_mm_h``: what runs down from snow above it while the
    air is above 0 deg C; 0 where no snow lies there. Raises ValueError with every value that cannot be.
    """

    drying_time_s: float = USUAL_DRYING_S
    film_mm: float = USUAL_FILM_MM
    reference_C: float = 15.0
    reference_humidity_share: float = 0.50
    reference_wind_m_s: float = 3.0
    melt_mm_h: float = 0.0

    def __post_init__(self) -> None:
        limits = {"drying_time_s": (300.0, 10 * 86400.0), "film_mm": (0.15, 3.0), "reference_C": (0.1, 40.0),
                  "reference_humidity_share": (0.0, 0.95), "reference_wind_m_s": (0.0, 20.0),
                  "melt_mm_h": (0.0, 50.0)}  # fmt: skip
        wrong = [f"{key} of the rock lies from {low:g} to {high:g}, not {getattr(self, key)}"
                 for key, (low, high) in limits.items() if not low <= getattr(self, key) <= high]  # fmt: skip
        if wrong:
            raise ValueError("; ".join(wrong))

    @property
    def drying_mm_h_hPa(self) -> float:
        """Drying for each hPa of difference in still air [mm/h/hPa], so that the reference takes the typed time."""
        missing_hPa = (1.0 - self.reference_humidity_share) * float(vapour_over_water_hPa(self.reference_C))
        hours = self.drying_time_s / HOUR_S
        return (self.film_mm - DRY_UP_TO_MM) / (hours * float(wind_help(self.reference_wind_m_s)) * missing_hPa)


def wind_help(wind_m_s: npt.ArrayLike) -> FloatArray:
    """1 + 0.54 u, how much faster vapour goes in wind than in still air, same shape. Sources: penman_1948."""
    return 1.0 + WIND_HELP_S_M * np.asarray(wind_m_s, float)


def conductance_W_m2_K(wind_m_s: npt.ArrayLike) -> FloatArray:
    """h = 2.8 + 3.0 u + 5.1, from rock to air and surroundings, same shape. Sources: watmuff_1977, practice_rock."""
    return STILL_W_M2_K + RADIATED_W_M2_K + WIND_W_M2_K_S_M * np.asarray(wind_m_s, float)


def heading_C(
    air_C: npt.ArrayLike, h_W_m2_K: npt.ArrayLike, cloud_share: npt.ArrayLike, sun_W_m2: npt.ArrayLike, slope_deg: float
) -> FloatArray:
    """The temperature [deg C] that rock would come to if nothing changed, same shape.

    Equation: T + (0.60 S - 60 V (1 - N)) / h, V the share of the sky it sees. Sources: practice_rock.
    """
    lost = CLEAR_NIGHT_W_M2 * sky_view_share(slope_deg) * (1.0 - np.asarray(cloud_share, float))
    return np.asarray(air_C, float) + (SUN_KEPT_SHARE * np.asarray(sun_W_m2, float) - lost) / np.asarray(h_W_m2_K)


def kept_warmth_share(h_W_m2_K: npt.ArrayLike, time_s: float) -> FloatArray:
    """exp(-h t / C), what is left of a difference to ``heading_C`` after a time, same shape. Sources: practice_rock."""
    return np.exp(np.asarray(h_W_m2_K, float) * (-time_s / SKIN_J_M2_K))


def given_off_mm_h(
    rock_C: npt.ArrayLike,
    air_C: npt.ArrayLike,
    vapour_hPa: npt.ArrayLike,
    wind_m_s: npt.ArrayLike,
    drying_mm_h_hPa: float,
) -> FloatArray:
    """Water that wet rock gives to the air [mm/h], same shape; below 0 where dew or hoar settles on it.

    Equations: k (1 + 0.54 u)(E - e), k the slab's own while that is above 0, and 0.26 / 24 below. E is saturation at
    the rock where it is colder than the air, over ice at and under 0 deg C; where the sun has warmed it, saturation at
    the air and from there straight on, E = e_s(air) + de_s/dt (rock - air).

    Notes
    -----
    That evaporation cools the rock is not followed: it takes the same share in the reference and in the sun as long as
    saturation rises straight, which is Penman's own step. Along the curve full sun would dry twice as fast as it does.

    Sources
    -------
    penman_1948, magnus_wmo.
    """
    air, over_air = np.asarray(air_C, float), np.asarray(rock_C, float) - np.asarray(air_C, float)
    held_hPa = vapour_over_surface_hPa(air + np.minimum(over_air, 0.0))
    held_hPa = held_hPa + vapour_rise_hPa_K(air) * np.maximum(over_air, 0.0)
    difference = wind_help(wind_m_s) * (held_hPa - np.asarray(vapour_hPa, float))
    return difference * np.where(difference > 0.0, drying_mm_h_hPa, STILL_MM_DAY_HPA / 24.0)


def freezing_mm_h(rock_C: npt.ArrayLike, h_W_m2_K: npt.ArrayLike) -> FloatArray:
    """Water that can freeze on rock as fast as the warmth of freezing leaves it [mm/h]; below 0, ice that can melt.

    Equation: h (0.5 - T) / 3.34e5 J/m2/mm. Same shape. Sources: practice_rock.
    """
    return np.asarray(h_W_m2_K, float) * (FREEZING_C - np.asarray(rock_C, float)) * (HOUR_S / MELTING_J_M2_MM)


def snow_share(air_C: npt.ArrayLike) -> FloatArray:
    """Share of what falls that is snow, 1 to 0 deg C, 0 from 2, straight between; same shape.

    Sources: practice_rock.
    """
    return np.clip((ALL_RAIN_C - np.asarray(air_C, float)) / (ALL_RAIN_C - ALL_SNOW_C), 0.0, 1.0)
