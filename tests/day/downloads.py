"""A trip, and answers of a forecast service for its slab, that tests of downloads share. Invented."""

from __future__ import annotations

import datetime as dt
import json
import math
from pathlib import Path
from typing import Any

from handline.weather.live.asking import Patience
from handline.weather.live.met_norway import MetNorway
from tests.day.trips import SHORT_WAY
from tests.weather.live.replaying import Reply, Service

TRIP = f"""\
# Ours.
[trip]
name = "Three legs"
date = 2027-07-17   # the day
start = "06:00"
days = 200

[route]
timezone = "America/Denver"
latitude = 46.6
longitude = -113.4
start_elevation = "1200 m"

{SHORT_WAY}

[weather]   # nothing typed yet
storm_chance = "20 %"

# The limits are a matter of taste.
[limits]
"""
SLAB_QUERY = "lat=46.6000&lon=-113.4000&altitude=1870"
NOW_S = dt.datetime(2027, 7, 16, 18, 30, tzinfo=dt.UTC).timestamp()
FIRST = dt.datetime(2027, 7, 16, 18, 0, tzinfo=dt.UTC)
UNITS = {
    "air_temperature": "celsius", "cloud_area_fraction": "%", "precipitation_amount": "mm",
    "probability_of_precipitation": "%", "probability_of_thunder": "%", "relative_humidity": "%", "wind_speed": "m/s",
    "wind_speed_of_gust": "m/s",
}  # fmt: skip


def a_trip(folder: Path, **weather: str) -> Path:
    """The trip file, with more keys in [weather] as typed."""
    keys = "".join(f'{key} = "{value}"\n' for key, value in weather.items())
    path = folder / "trip.toml"
    path.write_text(TRIP.replace('storm_chance = "20 %"\n', f'storm_chance = "20 %"\n{keys}'), encoding="utf-8")
    return path


def answer(first: dt.datetime = FIRST, hours: int = 48, warmer_C: float = 0.0) -> Reply:
    """An answer for the slab with so many hours; it holds no longer than it takes to read."""
    body = {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-113.4, 46.6, 1870]},
        "properties": {
            "meta": {"updated_at": "2027-07-16T17:00:00Z", "units": UNITS},
            "timeseries": [_step(first + dt.timedelta(hours=hour), warmer_C) for hour in range(hours)],
        },
    }
    return Reply(200, json.dumps(body).encode())


def _step(at: dt.datetime, warmer_C: float) -> dict[str, Any]:
    warm = math.cos((at.hour - 21) / 24.0 * 2.0 * math.pi)
    hour = {"precipitation_amount": 0.0, "probability_of_precipitation": 2.0, "probability_of_thunder": 1.0}
    now = {
        "air_temperature": round(12.0 + 6.0 * warm + warmer_C, 1), "relative_humidity": round(55.0 - 20.0 * warm, 1),
        "wind_speed": 3.0, "wind_speed_of_gust": 6.0, "cloud_area_fraction": 20.0,
    }  # fmt: skip
    return {
        "time": f"{at:%Y-%m-%dT%H:%M:%SZ}",
        "data": {"instant": {"details": now}, "next_1_hours": {"details": hour}},
    }


def asked_of(service: Service, folder: Path, now_s: float = NOW_S, contact: str = "") -> MetNorway:
    """The service on this machine, its answers kept in the folder."""
    return MetNorway(folder / "kept", now_s, contact, service.address, Patience(silence_s=5.0))
