"""Makes the invented forecast of the example trip: a shower in the evening, a clear night, thunder after noon.

``make_examples.py`` calls it. Values stand at a few hours of the day and go straight from one to the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

DATES = ("2027-07-16", "2027-07-17", "2027-07-18")
OFFSET = "-06:00"
COLUMNS = (
    "time", "place", "elevation_ft", "temperature_F", "humidity_pct", "wind_mph", "gust_mph", "cloud_pct", "rain_in",
    "rain_chance_pct", "thunder_chance_pct",
)  # fmt: skip
HEAD = """\
# INVENTED: made by examples/make_weather.py. There is no such place, and nobody forecast this.
# issued: 2027-07-16T17:00-06:00
# source: invented for this example
"""
EVERY_H = 3

Row = tuple[float, ...]


@dataclass(frozen=True)
class Place:
    """One place of the forecast. Each row has a value every three hours, from the first midnight to the last."""

    name: str
    elevation_ft: int
    temperature_F: Row
    humidity_pct: Row
    wind_mph: Row
    cloud_pct: Row


# fmt: off
LANDING = Place(
    name="Larch Landing",
    elevation_ft=4140,
    temperature_F=(58, 55, 53, 65, 77, 82, 74, 62, 55, 51, 50, 64, 77, 83, 78, 66, 59, 56, 54, 65, 76, 80, 76, 66, 60),
    humidity_pct=(62, 68, 72, 54, 37, 31, 52, 74, 80, 86, 88, 60, 40, 33, 40, 56, 66, 72, 76, 56, 42, 36, 42, 56, 64),
    wind_mph=(3, 3, 3, 4, 6, 9, 9, 4, 3, 2, 2, 3, 5, 7, 7, 4, 3, 3, 3, 4, 6, 8, 7, 4, 3),
    cloud_pct=(20, 20, 25, 30, 50, 70, 85, 60, 15, 5, 5, 10, 25, 55, 60, 40, 25, 20, 20, 30, 50, 65, 55, 35, 25),
)
SUMMIT = Place(
    name="Tamsin summit",
    elevation_ft=8688,
    temperature_F=(47, 46, 45, 50, 57, 60, 52, 47, 44, 43, 43, 49, 56, 60, 56, 50, 48, 46, 45, 50, 56, 58, 54, 50, 48),
    humidity_pct=(60, 64, 66, 58, 48, 50, 72, 78, 76, 72, 68, 56, 48, 46, 54, 62, 66, 68, 70, 62, 54, 52, 58, 64, 66),
    wind_mph=(9, 9, 8, 8, 10, 13, 14, 10, 8, 7, 7, 8, 9, 12, 12, 9, 8, 8, 8, 9, 11, 13, 12, 10, 9),
    cloud_pct=(20, 20, 25, 35, 55, 75, 90, 65, 15, 5, 5, 10, 30, 60, 65, 45, 25, 20, 20, 35, 55, 70, 60, 40, 25),
)
# Hours of some rain, on both places: (rain in hundredths of an inch, its chance, that of thunder), by day and hour.
SHOWERS = {
    (0, 14): (0, 10, 4), (0, 15): (1, 20, 8), (0, 16): (2, 35, 12), (0, 17): (6, 55, 14), (0, 18): (5, 50, 10),
    (0, 19): (1, 30, 4), (0, 20): (0, 10, 1),
    (1, 11): (0, 2, 1), (1, 12): (0, 4, 2), (1, 13): (0, 8, 4), (1, 14): (0, 12, 6), (1, 15): (1, 16, 7),
    (1, 16): (1, 16, 6), (1, 17): (1, 14, 5), (1, 18): (0, 10, 4), (1, 19): (0, 4, 0),
    (2, 12): (0, 8, 3), (2, 13): (0, 14, 6), (2, 14): (1, 20, 9), (2, 15): (1, 25, 11), (2, 16): (1, 25, 11),
    (2, 17): (1, 20, 8), (2, 18): (0, 12, 5), (2, 19): (0, 8, 3),
}
# fmt: on


def forecast_csv() -> str:
    """The forecast as the CSV that the example names."""
    rows = [row for place in (LANDING, SUMMIT) for row in _rows(place)]
    return HEAD + "".join(",".join(row) + "\n" for row in (COLUMNS, *rows))


def _rows(place: Place) -> list[tuple[str, ...]]:
    hours = np.arange(24 * len(DATES))
    temperature, humidity, wind, cloud = (
        _hourly(row, hours) for row in (place.temperature_F, place.humidity_pct, place.wind_mph, place.cloud_pct)
    )
    rows = []
    for i in hours:
        day, hour = divmod(int(i), 24)
        rain_hundredths, rain_chance, thunder_chance = SHOWERS.get((day, hour), (0, 0, 0))
        values = (
            place.elevation_ft, temperature[i], humidity[i], wind[i], round(1.6 * wind[i]), cloud[i],
            f"{rain_hundredths / 100:.2f}", rain_chance, thunder_chance,
        )  # fmt: skip
        rows.append((f"{DATES[day]}T{hour:02d}:00{OFFSET}", place.name, *map(str, values)))
    return rows


def _hourly(row: Sequence[float], hours: np.ndarray) -> list[int]:
    """Whole numbers at every hour; halves go up."""
    at = EVERY_H * np.arange(len(row))
    return [int(value) for value in np.floor(np.interp(hours, at, row) + 0.5)]
