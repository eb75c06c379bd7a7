"""A season of dates: 180 dates x 36 starts x 2 ways x 500 days, on one core and on two.

The baseline is the same season in one process with one thread, as each worker has. Nothing is kept from one run to the
next but the waits of the crowd and Python's own bytecode, as on any computer where it ran before: a first short run
makes both. Two workers are started anew: that is in their time.
"""

from __future__ import annotations

import datetime as dt
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from benchmarks.row import Row, noted

TRIP = Path(__file__).parents[1] / "examples" / "tamsin-dome" / "trip.toml"
FIRST, DATES = dt.date(2027, 5, 2), 180
REPEATS = 2
MEASURING = "BENCH_DATES_MEASURING"


@dataclass(frozen=True)
class Run:
    """One run: seconds on the clock, of the processors for this process and for its workers, and chances found."""

    took_s: float
    here_s: float
    workers_s: float
    chances: int

    @property
    def spent_s(self) -> float:
        return self.here_s + self.workers_s


def _once(dates: int, workers: int | None) -> Run:
    from handline.cache_folder import cache_folder
    from handline.choose.dates import dates_report
    from handline.choose.dates_asked import DatesAsked, DatesAsking, asked_dates
    from handline.day.file_checks import subject_problems
    from handline.trip.reading import read_trip

    shutil.rmtree(cache_folder() / "grids", ignore_errors=True)
    usual = asked_dates(DatesAsking())
    last = FIRST + dt.timedelta(days=dates - 1)
    asked = DatesAsked(FIRST, last, ("push", "night"), usual.start_clock_s, usual.days, workers)
    trip = read_trip(TRIP, subject_problems)
    began, here_s, workers_s = time.perf_counter(), _spent_s(resource.RUSAGE_SELF), _spent_s(resource.RUSAGE_CHILDREN)
    report = dates_report(trip, asked)
    return Run(
        time.perf_counter() - began,
        _spent_s(resource.RUSAGE_SELF) - here_s,
        _spent_s(resource.RUSAGE_CHILDREN) - workers_s,
        sum(len(way.chance) for row in report.rows for way in row.ways),
    )


def _spent_s(who: int) -> float:
    used = resource.getrusage(who)
    return used.ru_utime + used.ru_stime


def _measure() -> None:
    _once(60, 2)  # Both states of the line, so that the waits of both crowds are kept.
    one, two = (min((_once(DATES, n) for _ in range(REPEATS)), key=lambda run: run.took_s) for n in (1, 2))
    # Where others use the cores too the clock tells little: what two idle ones would take is what is done here
    # and half of what the workers do, their start with it.
    idle_s = two.here_s + two.workers_s / 2.0
    ratio = one.took_s / two.took_s
    noted(
        Row(
            f"{DATES} dates on two workers, their start included",
            f"{two.took_s:.1f} s; of processors {two.here_s:.1f} s here and {two.workers_s:.1f} s theirs, by which the "
            f"ratio is {one.spent_s / idle_s:.2f}",
            f"one process {one.took_s:.1f} s, {one.spent_s:.1f} s of processors",
            ratio,
            "at least 1.8",
            ratio >= 1.8,
        )
    )
    whole = _once(DATES, None)
    memory_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
    noted(
        Row(
            f"{DATES} dates x 36 starts x 2 ways x 500 days on all cores",
            f"{whole.took_s:.1f} s; {whole.spent_s:.1f} s of processors, {whole.chances:,} chances, "
            f"{whole.spent_s / (2 * DATES) * 1e3:.0f} ms a date and way; a worker held {memory_mb:.0f} MB at most",
            f"one process {one.took_s:.1f} s",
            one.took_s / whole.took_s,
            "under 30 s",
            whole.took_s < 30.0,
        )
    )


def main() -> None:
    """Measure in a process of its own, with a cache and a folder of bytecode of its own."""
    with tempfile.TemporaryDirectory() as folder:
        kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        own = {
            MEASURING: "1",
            "PYTHONPATH": str(Path(__file__).parents[1]),
            "HANDLINE_CACHE": folder,
            "PYTHONPYCACHEPREFIX": f"{folder}/bytecode",
        }
        one_thread = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
        subprocess.run([sys.executable, __file__], env=kept | own | one_thread, check=True)


if __name__ == "__main__":
    _measure() if MEASURING in os.environ else main()
