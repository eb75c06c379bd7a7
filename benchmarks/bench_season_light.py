"""All events of sun and moon of 180 days at one place: at once, a day at a time, and by another ephemeris.

The other ephemeris, ephem, is compiled and looks for the same four events of the sun and two of the moon.
"""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Callable

import ephem
import numpy as np

from benchmarks.row import Row, noted
from handline.sky.events import day_light
from handline.sky.season_light import season_light
from handline.sky.zones import midnight_utc_s

PLACE, ZONE = (46.62, -113.41), "America/Denver"
DATES = [dt.date(2027, 4, 20) + dt.timedelta(days=day) for day in range(180)]
REPEATS = 3
DAY_S = 86_400.0


def _of_ephem() -> np.ndarray:
    """Sunrise, sunset, civil dawn and dusk, moonrise and moonset of each date [s], shape (days, 6)."""
    place, zero = ephem.Observer(), ephem.Date("1970/1/1")
    place.lat, place.lon, place.elevation, place.pressure = str(PLACE[0]), str(PLACE[1]), 0.0, 0.0
    rows = []
    for date in DATES:
        midnight_s = midnight_utc_s(date, ZONE)
        events = []
        for horizon in ("-0.833", "-6"):
            place.horizon, place.date = horizon, zero + (midnight_s + 0.5 * DAY_S) / DAY_S
            events += [search(ephem.Sun(), use_center=True) for search in (place.previous_rising, place.next_setting)]
        place.horizon, place.date = "-0:34", zero + midnight_s / DAY_S
        events += [search(ephem.Moon()) for search in (place.next_rising, place.next_setting)]
        rows.append([(event - zero) * DAY_S - midnight_s for event in events])
    return np.array(rows)


def _fastest_s(task: Callable[[], object], repeats: int) -> float:
    took = []
    for _ in range(repeats):
        began = time.perf_counter()
        task()
        took.append(time.perf_counter() - began)
    return min(took)


def main() -> None:
    lights = season_light(*PLACE, DATES, ZONE)
    names = ("sunrise", "sunset", "civil_dawn", "civil_dusk", "moonrise", "moonset")
    ours = np.array([[getattr(light, f"{name}_clock_s") for name in names] for light in lights])
    daily = [day_light(*PLACE, date, ZONE) for date in DATES]
    alone = np.array([[getattr(light, f"{name}_clock_s") for name in names] for light in daily])
    theirs = np.where(np.isnan(ours), np.nan, _of_ephem())
    off_daily_s, off_ephem_s = (float(np.nanmax(np.abs(ours - other))) for other in (alone, theirs))
    assert off_daily_s < 0.01
    assert off_ephem_s < 5.0
    season_s = _fastest_s(lambda: season_light(*PLACE, DATES, ZONE), REPEATS)
    for name, seconds, off_s in (
        ("day by day", _fastest_s(lambda: [day_light(*PLACE, date, ZONE) for date in DATES], 1), off_daily_s),
        ("ephem", _fastest_s(_of_ephem, REPEATS), off_ephem_s),
    ):
        theirs_words = f"{name} {seconds:.2f} s, events within {off_s:.4f} s"
        what = f"sun and moon of {len(DATES)} days at one place"
        noted(Row(what, f"{season_s:.2f} s", theirs_words, seconds / season_s))


if __name__ == "__main__":
    main()
