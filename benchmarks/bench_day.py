"""10,000 whole days, drawing included: against days lived one by one in SimPy, and against a plain loop.

Times are those of one processor.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from benchmarks.row import Row, noted  # noqa: E402
from handline.day.limits import kept_share  # noqa: E402
from handline.day.setting import set_up  # noqa: E402
from handline.day.simulation import draw_days, walk  # noqa: E402
from handline.trip.reading import read_trip  # noqa: E402
from tests.referees.plain_day import plain_day  # noqa: E402
from tests.referees.simpy_day import lived_days  # noqa: E402

DAYS, PLAIN_DAYS, LIVED_DAYS, REPEATS, LIVED_REPEATS = 10_000, 300, 400, 20, 5
# What the simulation is built to hold.
LEAST_RATIO, MOST_S = 300, 0.5


def main() -> None:
    setting = set_up(read_trip(ROOT / "examples" / "tamsin-dome" / "trip.toml"))
    itinerary, limits, storm, start = setting.itinerary, setting.limits, setting.storm, setting.trip.depart_clock_s

    def ours() -> None:
        days = walk(itinerary, draw_days(itinerary, DAYS, 1), np.array([start]))
        kept_share(limits, itinerary, days, storm)

    ours()
    ours_s = _best_s(ours, REPEATS)
    lived_s = _best_s(lambda: lived_days(itinerary, limits, storm, start, LIVED_DAYS, 1), LIVED_REPEATS)
    lived_s *= DAYS / LIVED_DAYS
    noted(
        Row(
            f"{DAYS:,} whole days of {itinerary.legs} legs, drawing and limits included",
            f"{ours_s * 1e3:.1f} ms of one processor",
            f"SimPy {lived_s:.2f} s, scaled from {LIVED_DAYS} days",
            lived_s / ours_s,
            f"at least {LEAST_RATIO}, under {MOST_S:g} s",
            lived_s / ours_s >= LEAST_RATIO and ours_s < MOST_S,
        )
    )

    draws = draw_days(itinerary, DAYS, 1)
    days = walk(itinerary, draws, np.array([start]))
    walk_s = _best_s(lambda: walk(itinerary, draws, np.array([start])), REPEATS)
    given = [
        (draws.movement_s[:, i].tolist(), draws.wait_normal[:, i].tolist(), start, int(draws.member[i]))
        for i in range(PLAIN_DAYS)
    ]
    began = time.process_time()
    plain = [plain_day(itinerary, *one) for one in given]
    plain_s = (time.process_time() - began) / PLAIN_DAYS * DAYS
    assert np.allclose(np.array(plain).T, np.stack(days.arrive_clock_s)[:, :PLAIN_DAYS])
    noted(
        Row(
            f"{DAYS:,} days on the same draws, walking only",
            f"{walk_s * 1e3:.1f} ms of one processor",
            f"plain loop {plain_s:.2f} s, scaled from {PLAIN_DAYS} days",
            plain_s / walk_s,
        )
    )


def _best_s(work: Callable[[], object], repeats: int) -> float:
    took = []
    for _ in range(repeats):
        began = time.process_time()
        work()
        took.append(time.process_time() - began)
    return min(took)


if __name__ == "__main__":
    main()
