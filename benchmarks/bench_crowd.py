"""The crowd on the line: the kernel against SimPy on the same draws, and 1,000 days of 300 people on 45 bays."""

from __future__ import annotations

import resource
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from benchmarks.row import Row, noted  # noqa: E402
from handline.crowd.draws import draw_climbers  # noqa: E402
from handline.crowd.rules import Arrivals, Climbers, CrowdLine  # noqa: E402
from handline.crowd.simulate import follow_days, simulate_chunks  # noqa: E402
from handline.crowd.tables import crowd_tables  # noqa: E402
from tests.referees.simpy_line import simpy_day  # noqa: E402

DAYS, PEOPLE, BAYS, SIMPY_DAYS, REPEATS = 1_000, 300, 45, 2, 3
CLIMBERS = Climbers(
    up_m_s=10.0 / 60.0, down_m_s=12.0 / 60.0, rate_sigma=0.2, changeover_s=7.0, changeover_sigma=0.3,
    rest_chance=0.2, rest_s=60.0, rest_sigma=0.4, freeze_chance=0.01, freeze_s=300.0, freeze_sigma=0.5,
    top_s=2_400.0, top_sigma=0.3,
)  # fmt: skip


def _line() -> CrowdLine:
    places = np.zeros(BAYS + 1, np.int64)
    places[9:BAYS:9] = 3
    return CrowdLine(np.full(BAYS, 96.0 / BAYS), places, pass_s=8.0)


def _arrivals(first: int, days: int) -> Arrivals:
    clocks = [np.random.default_rng([1, day]).normal(36_000.0, 5_400.0, PEOPLE) for day in range(first, first + days)]
    return Arrivals(np.concatenate(clocks), np.arange(days + 1) * PEOPLE)


def _against_simpy(line: CrowdLine) -> None:
    few, some = _arrivals(0, SIMPY_DAYS), _arrivals(0, 50)
    drawn, drawn_some = (draw_climbers(line, CLIMBERS, arrivals, seed=1) for arrivals in (few, some))
    ours = follow_days(line, few, drawn, keep_bays=True)
    took, worst_s = 0.0, 0.0
    for day in range(SIMPY_DAYS):
        rows = slice(day * PEOPLE, (day + 1) * PEOPLE)
        order = np.argsort(few.clock_s[rows], kind="stable")
        given = (few.clock_s[rows][order], drawn.service_s[rows][order], drawn.top_s[rows][order], line.places)
        given_lists = [array.tolist() for array in given]
        began = time.process_time()
        climbers = simpy_day(*given_lists, line.pass_s, None)
        took += time.process_time() - began
        theirs = [[[climber.leave[way][k] for k in range(BAYS)] for way in range(2)] for climber in climbers]
        assert ours.bay_times is not None
        worst_s = max(worst_s, float(np.abs(ours.bay_times.leave_clock_s[rows][order] - theirs).max()))
    assert worst_s < 1e-6, worst_s
    simpy_s = took / SIMPY_DAYS
    ours_s = min(_process_s(lambda: follow_days(line, some, drawn_some)) for _ in range(REPEATS)) / some.days
    events = 2 * PEOPLE * BAYS
    noted(
        Row(
            f"one day of {PEOPLE} people on {BAYS} bays, drawing left out",
            f"{ours_s * 1e3:.1f} ms of one processor, {ours_s / events * 1e9:.0f} ns a bay",
            f"SimPy on the same draws {simpy_s * 1e3:.0f} ms, exit times apart by {worst_s:.0e} s at most",
            simpy_s / ours_s,
            "at least 100",
            simpy_s / ours_s >= 100.0,
        )
    )


def _process_s(work: object) -> float:
    began = time.process_time()
    work()  # type: ignore[operator]
    return time.process_time() - began


def main() -> None:
    line = _line()
    follow_days(line, _arrivals(0, 1), draw_climbers(line, CLIMBERS, _arrivals(0, 1), seed=1))
    _against_simpy(line)
    for workers in (1, 2):
        with ThreadPoolExecutor(workers) as pool:
            began, spent = time.perf_counter(), time.process_time()
            for _ in simulate_chunks(line, CLIMBERS, _arrivals, days=DAYS, seed=1, executor=pool):
                pass
            print(f"{DAYS} days on {workers} workers: {time.perf_counter() - began:.2f} s on the clock, "
                  f"{time.process_time() - spent:.2f} s of processors")  # fmt: skip
    for days in (DAYS, 3 * DAYS):
        with ThreadPoolExecutor(2) as pool:
            began = time.perf_counter()
            crowd_tables(simulate_chunks(line, CLIMBERS, _arrivals, days=days, seed=1, executor=pool))
            most_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1_024.0
            print(
                f"{days} days with tables: {time.perf_counter() - began:.2f} s, memory at most {most_mb:.0f} MB so far"
            )


if __name__ == "__main__":
    main()
