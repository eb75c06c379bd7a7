"""Forecasts written as CSV for the tests, and read back: what they say, or what is wrong with them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from handline.errors import InputError, Problem
from handline.weather.forecast import Forecast
from handline.weather.forecast_csv import read_forecast_csv

ZONE = "America/Denver"
WHOLE = """# issued: 2030-07-03T18:00-06:00
# source: a forecaster
time,place,elevation_m,temperature_C,humidity_pct,wind_km_h,gust_km_h,cloud_pct,rain_mm,rain_chance_pct,thunder_chance_pct
2030-07-04T06:00-06:00,Col,3000,4.5,60,18,36,25,0,5,0
2030-07-04T07:00-06:00,Col,3000,5.5,55,14.4,36,50,1.5,45,20
2030-07-04T06:00-06:00,Foot,2000,10,50,9,18,25,0,5,0
"""


def read(folder: Path, text: str | bytes, timezone: str = ZONE) -> Forecast:
    path = folder / "forecast.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_forecast_csv(path, timezone)


def problems(folder: Path, text: str | bytes, timezone: str = ZONE) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read(folder, text, timezone)
    assert all(problem.file == str(folder / "forecast.csv") for problem in caught.value.problems)
    return caught.value.problems


def utc(text: str) -> float:
    return dt.datetime.fromisoformat(text).timestamp()
