"""A season of usual weather from a climate table, a forecast as 200 courses, and the rock of 200 for 84 hours."""

from __future__ import annotations

import datetime as dt
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from benchmarks.row import Row, noted  # noqa: E402
from handline.weather.climate import climate_hours  # noqa: E402
from handline.weather.climate_months import MonthClimate  # noqa: E402
from handline.weather.forecast_spread import with_spread  # noqa: E402
from handline.weather.hours import HourlyWeather  # noqa: E402
from handline.weather.rock_state import rock_states  # noqa: E402
from handline.weather.rock_water import RockDrying  # noqa: E402
from handline.weather.sunshine import sun_on_plane_W_m2  # noqa: E402
from tests.referees.plain_rock import plain_rock  # noqa: E402

DAYS, SEASON_MEMBERS, MEMBERS, HOURS, REPEATS, PLAIN_MEMBERS = 180, 20, 200, 84, 7, 4
MONTHS = [MonthClimate(month, -2.0 + month, 8.0 + month, 3.5, 9.0, 70.0, 5.0, 0.6, 3.5, 0.5) for month in range(1, 13)]


def _usual(date: dt.date, members: int, hours: int) -> HourlyWeather:
    return climate_hours(MONTHS, date, 2_400.0, 5.6 * 3600.0, 20.4 * 3600.0, members, 1, hours)


def _best_s(work: Callable[[], object]) -> float:
    took = []
    for _ in range(REPEATS):
        began = time.perf_counter()
        work()
        took.append(time.perf_counter() - began)
    return min(took)


def main() -> None:
    first = dt.date(2027, 5, 1)
    dates = [first + dt.timedelta(days=day) for day in range(DAYS)]
    season_s = _best_s(lambda: [_usual(date, SEASON_MEMBERS, 72) for date in dates])

    hours = _usual(first, MEMBERS, HOURS)
    clock_h = np.arange(HOURS) % 24.0
    altitude_deg = 60.0 * np.sin((clock_h + 0.5 - 18.0) / 24.0 * 2.0 * np.pi)
    facing = np.clip(np.sin(np.radians(altitude_deg)), 0.0, 1.0)
    sun = sun_on_plane_W_m2(altitude_deg, facing, np.ones(HOURS), 45.0, hours.cloud_share)
    drying = RockDrying()
    sun_s = _best_s(lambda: sun_on_plane_W_m2(altitude_deg, facing, np.ones(HOURS), 45.0, hours.cloud_share))
    rock_s = _best_s(lambda: rock_states(hours, sun, 45.0, drying))
    began = time.perf_counter()
    for member in range(PLAIN_MEMBERS):
        plain_rock(hours, sun, member, 45.0, drying)
    plain_s = (time.perf_counter() - began) / PLAIN_MEMBERS * MEMBERS
    noted(
        Row(
            f"rock of {MEMBERS} courses of weather x {HOURS} h",
            f"{rock_s * 1e3:.1f} ms, sun on it {sun_s * 1e3:.1f} ms; {DAYS} dates x {SEASON_MEMBERS} courses x 72 h "
            f"from a climate {season_s * 1e3:.0f} ms",
            f"plain loop in minutes {plain_s * 1e3:.0f} ms",
            plain_s / rock_s,
        )
    )

    one = _usual(first, 1, 72)
    chance = np.full(72, 0.3)
    spread_s = _best_s(lambda: with_spread(one, chance, MEMBERS, np.random.default_rng(1)))
    print(f"a forecast of 72 h as {MEMBERS} members: {spread_s * 1e3:.1f} ms")


if __name__ == "__main__":
    main()
