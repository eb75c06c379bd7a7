"""10,000 whole days: all at once against the plain loop of the same rules, on the same draws."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from handline.day.setting import set_up  # noqa: E402
from handline.day.simulation import draw_days, walk  # noqa: E402
from handline.trip.reading import read_trip  # noqa: E402
from tests.referees.plain_day import plain_day  # noqa: E402

DAYS, PLAIN_DAYS, REPEATS = 10_000, 300, 5


def main() -> None:
    setting = set_up(read_trip(ROOT / "examples" / "tamsin-dome" / "trip.toml"))
    itinerary, start = setting.itinerary, setting.trip.about.start_clock_s
    draws = draw_days(itinerary, DAYS, 1)
    walk(itinerary, draws, np.array([start]))

    took = []
    for _ in range(REPEATS):
        began = time.perf_counter()
        days = walk(itinerary, draw_days(itinerary, DAYS, 1), np.array([start]))
        took.append(time.perf_counter() - began)
    ours_s = min(took)

    began = time.perf_counter()
    plain = [
        plain_day(itinerary, list(draws.movement_s[:, i]), list(draws.wait_s[:, i]), start, int(draws.member[i]))
        for i in range(PLAIN_DAYS)
    ]
    plain_s = (time.perf_counter() - began) / PLAIN_DAYS * DAYS
    assert np.allclose(np.array(plain).T, np.stack(days.arrive_clock_s)[:, :PLAIN_DAYS])
    print(f"{DAYS} days: {ours_s:.3f} s, drawing included; plain loop {plain_s:.2f} s without drawing; "
          f"ratio {plain_s / ours_s:.0f}")  # fmt: skip


if __name__ == "__main__":
    main()
