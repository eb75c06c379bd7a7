"""handline weather as the tests ask it, and a small trip with a forecast file of its own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np

from tests.cli.command_line import run
from tests.day.downloads import a_trip

run_weather = partial(run, "weather")


def in_one_line(text: str) -> str:
    return " ".join(text.split())


def forecast_rows(
    offset: str = "-06:00", thunder: int = 0, keep: Callable[[dt.datetime], bool] = lambda at: True
) -> list[str]:
    """A fair forecast of three days, a row an hour, warmest at 15 on the clock of its offset."""
    rows = ["time,elevation_m,temperature_C,humidity_pct,wind_m_s,cloud_pct,rain_mm,rain_chance_pct,thunder_chance_pct"]
    for hour in range(72):
        at = dt.datetime(2027, 7, 16) + dt.timedelta(hours=hour)
        warm = float(np.cos((at.hour - 15) / 24.0 * 2.0 * np.pi))
        if keep(at):
            rows.append(f"{at:%Y-%m-%dT%H:%M}{offset},1870,{12 + 6 * warm:.1f},{55 - 20 * warm:.0f},3,20,0,0,{thunder}")
    return rows


def trip_with_forecast(folder: Path, rows: list[str], more: str = "") -> Path:
    trip = a_trip(folder, forecast="forecast.csv")
    text = trip.read_text(encoding="utf-8").replace('storm_chance = "20 %"\n', "")
    text = text.replace("[[route.legs]]", f"{more}\n[[route.legs]]", 1)
    trip.write_text(text.replace('angle = "44 deg"', 'angle = "44 deg"\nfacing = "SW"'), encoding="utf-8")
    (folder / "forecast.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")
    return trip
