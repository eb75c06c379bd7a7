"""A season of dates: 180 dates x 36 starts x 2 ways x 500 days, on one core and on two.

The baseline is the same season in one process. Nothing is kept from one run to the next but the waits of the crowd,
which a first short run makes. The processes of two workers are started anew: that is in their time.
"""

from __future__ import annotations

import datetime as dt
import os
import resource
import tempfile
import time
from pathlib import Path

TRIP = Path(__file__).parents[1] / "examples" / "tamsin-dome" / "trip.toml"
FIRST, DATES, FEWER = dt.date(2027, 5, 2), 180, 120
REPEATS = 2


def _once(dates: int, workers: int | None) -> tuple[float, float, int]:
    """Seconds on the clock, seconds of processors in all, and chances found."""
    import shutil

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
    began, spent = time.perf_counter(), _processors_s()
    report = dates_report(trip, asked)
    took = time.perf_counter() - began
    return took, _processors_s() - spent, sum(len(way.chance) for row in report.rows for way in row.ways)


def _processors_s() -> float:
    """What this process and its ended children have used."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["HANDLINE_CACHE"] = folder
        _once(100, 1)  # Both states of the line, so that the waits of both crowds are kept.
        best = {workers: min(_once(FEWER, workers) for _ in range(REPEATS)) for workers in (1, 2)}
        one, two = best[1], best[2]
        print(
            f"{FEWER} dates: one process {one[0]:.1f} s ({one[1]:.1f} s of processors), two workers {two[0]:.1f} s "
            f"({two[1]:.1f} s of processors, their start included), ratio {one[0] / two[0]:.2f}"
        )
        took, spent, chances = _once(DATES, None)
        memory_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
        print(
            f"{DATES} dates x 36 starts x 2 ways x 500 days on all cores: {took:.1f} s on the clock, {spent:.1f} s of "
            f"processors, {chances:,} chances, {spent / (2 * DATES) * 1e3:.0f} ms a date and way; a worker held "
            f"{memory_mb:.0f} MB at most"
        )


if __name__ == "__main__":
    main()
