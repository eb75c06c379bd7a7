"""Trips with a forecast or with months, for the tests of sky, weather and rock. Invented."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

from handline.trip.model import Trip
from handline.trip.reading import read_trip_text
from tests.day.trips import LEGS

HEAD = "time,place,elevation_m,temperature_C,humidity_pct,wind_m_s,cloud_pct,rain_mm,rain_chance_pct,thunder_chance_pct"
JULY = """
[[weather.months]]
month = 7
low = "6 C"
high = "21 C"
rain_days = 8
rain = "40 mm"
storm_days = 6
humidity = "55 %"
wind = "4 m/s"
cloud = "40 %"
"""

Hour = Callable[[int], tuple[float, float, float, float, float, float, float]]
"""Temperature [C], humidity [%], wind [m/s], cloud [%], rain [mm], chances of rain and thunder [%] in an hour."""


def fair(hour: int) -> tuple[float, float, float, float, float, float, float]:
    """A warm dry day: coldest at 05:00, hours counted from midnight of the date."""
    return 14.0 - 7.0 * math.cos((hour - 5) / 24 * 2 * math.pi), 50.0, 3.0, 20.0, 0.0, 2.0, 0.0


def write_forecast(
    folder: Path, hour: Hour = fair, *, first: int = -36, last: int = 60, issued: str = "2027-07-16T18:00-06:00"
) -> Path:
    """A forecast of one place at 1,200 m by the hour, in local times of the trip."""
    rows = [f"# issued: {issued}", "# source: invented", HEAD] if issued else ["# source: invented", HEAD]
    for number in range(first, last):
        values = ",".join(f"{value:g}" for value in hour(number))
        rows.append(f"2027-07-{17 + number // 24:02d}T{number % 24:02d}:00-06:00,Gate,1200,{values}")
    path = folder / "forecast.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def weather_trip(
    folder: Path, weather: str = 'forecast = "forecast.csv"', *, start: str = "06:00", **changes: str
) -> Trip:
    """The trip of typed legs with a weather of its own instead of a typed rock."""
    given = {"days": 500, "seed": 1, "route": "", "line": "", "party": "", "tether": "absorbing lanyard"}
    given |= {"wait": "5 min", "crowd": "", "limits": "", "rock": "", "weather": weather} | changes
    text = LEGS.format(**given).replace('rock = ""\n', "").replace('start = "06:00"', f'start = "{start}"')
    return read_trip_text(text, folder / "trip.toml")
