"""The rules of the rock's water in a plain loop of one-minute steps, one member at a time, with its own numbers.

Temperature, wind, cloud and vapour pressure go straight from hour to hour; the rock moves towards its heading by
Euler's rule; each minute dries, takes up what falls, then melts or freezes. Slow and simple: referee in the tests,
baseline in the benchmarks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.weather.hours import HourlyWeather
from handline.weather.rock_water import RockDrying

MINUTES = 60


@dataclass(frozen=True)
class PlainHour:
    """``state`` in words; ``film_mm`` and ``rock_C`` at the hour's start; ``nearest_mm`` to a limit within the hour."""

    state: str
    film_mm: float
    rock_C: float
    nearest_mm: float


def saturated_hPa(t: float) -> float:
    if t <= 0.0:
        return 6.112 * math.exp(22.46 * t / (272.62 + t))
    return over_water_hPa(t)


def over_water_hPa(t: float) -> float:
    return 6.112 * math.exp(17.62 * t / (243.12 + t))


def plain_rock(
    hours: HourlyWeather, sun_W_m2: NDArray[np.float64], member: int, slope_deg: float, drying: RockDrying,
    starts_dry: bool = False,
) -> list[PlainHour]:  # fmt: skip
    """Every hour of a member whose hours are all known."""
    air, damp = list(hours.temperature_C[member]), list(hours.humidity_share[member])
    wind, cloud = list(hours.wind_m_s[member]), list(hours.cloud_share[member])
    vapour = [share * over_water_hPa(t) for share, t in zip(damp, air, strict=True)]
    sky = (1.0 + math.cos(math.radians(slope_deg))) / 2.0
    lacking = over_water_hPa(drying.reference_C) * (1.0 - drying.reference_humidity_share)
    pull = (1.0 + 0.54 * drying.reference_wind_m_s) * lacking
    # Per minute and hPa of still air: from the full film to the dry limit in the typed time.
    own_rate = (drying.film_mm - 0.02) / (drying.drying_time_s / 60.0) / pull

    ice, water, rock = 0.0, 0.0 if starts_dry else drying.film_mm, air[0]
    found = []
    for hour in range(len(air)):
        film_at_start, rock_at_start = ice + water, rock
        worst, nearest = _slipperiness(ice, water), _to_a_limit(ice, water)
        after = min(hour + 1, len(air) - 1)
        for minute in range(MINUTES):
            part = (minute + 0.5) / MINUTES
            t, u, n, e = ((1.0 - part) * a[hour] + part * a[after] for a in (air, wind, cloud, vapour))
            h = 2.8 + 3.0 * u + 5.1
            gain = 0.6 * sun_W_m2[member, hour] - 60.0 * sky * (1.0 - n) - h * (rock - t)
            rock += gain * 60.0 / 1.5e5
            held = saturated_hPa(min(rock, t))
            if rock > t:
                held += over_water_hPa(t) * 17.62 * 243.12 / (243.12 + t) ** 2 * (rock - t)
            difference = (1.0 + 0.54 * u) * (held - e)
            falls = hours.rain_mm[member, hour] / MINUTES
            snow = falls * min(max((2.0 - t) / 2.0, 0.0), 1.0)
            comes = falls - snow
            if t > 0.0:
                comes += drying.melt_mm_h / MINUTES
            damp_at_least = falls > 0.0 or (t > 0.0 and drying.melt_mm_h > 0.0)
            gone = difference * (own_rate if difference > 0.0 else 0.26 / 1440.0)
            # What falls and dries in the same minute is one sum; water goes before ice.
            water, ice = water + comes - gone, ice + snow
            if water < 0.0:
                ice, water = max(ice + water, 0.0), 0.0
            can_freeze = h * (0.5 - rock) * 60.0 / 3.34e5
            moved = min(water, can_freeze) if can_freeze > 0.0 else -min(ice, -can_freeze)
            ice, water = min(ice + moved, 10.0), water - moved
            water = min(water, drying.film_mm, 10.0 - ice)
            worst = max(worst, _slipperiness(ice, water), int(damp_at_least))
            nearest = min(nearest, _to_a_limit(ice, water))
        found.append(PlainHour(("dry", "damp", "wet", "iced")[worst], film_at_start, rock_at_start, nearest))
    return found


def _slipperiness(ice: float, water: float) -> int:
    if ice > 0.02 + 1e-9:
        return 3
    film = ice + water
    return 2 if film > 0.1 + 1e-9 else 1 if film > 0.02 + 1e-9 else 0


def _to_a_limit(ice: float, water: float) -> float:
    film = ice + water
    return min(abs(ice - 0.02), abs(film - 0.02), abs(film - 0.1))
