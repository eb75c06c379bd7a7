"""Measures what large jobs take on this machine, and writes the figures of docs/scale.md with what follows from them.

Run it where nothing else runs. Each figure is of the example at Tamsin Dome; nothing is kept from run to run but the
waits of its crowd and compiled code, as on any computer where it ran before.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import platform
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "scale.md"
TRIP = ROOT / "examples" / "tamsin-dome" / "trip.toml"
MEASURING = "SCALE_FIGURES_MEASURING"
FIRST, DATES, WAYS = dt.date(2027, 7, 1), 40, ("push", "night")
STARTS, DAYS = 36, 500
BEGIN, END = "<!-- figures: made by docs/scale_figures.py -->", "<!-- end of figures -->"

LINES, SEASON, PARTIES, QUOTAS = 40, 180, 6, 12
"""The agency on paper: lines it looks after, dates of a season, kinds of party, numbers of people a day."""
CORES = (2, 16, 64, 256)


@dataclass(frozen=True)
class Figures:
    """Seconds of a core, unless a name says wall; memory in MB."""

    plan_s: float
    date_and_way_s: float
    season_wall_1_s: float
    season_wall_2_s: float
    job_MB: float
    kept_MB: float
    again_wall_s: float
    quota_s: float
    memory_MB: float
    load_before: float


def measured() -> Figures:
    """Every figure, in this process and in workers of its own."""
    from handline.cache_folder import cache_folder
    from handline.choose import dates as room
    from handline.choose.dates_asked import DatesAsked, DatesAsking, asked_dates
    from handline.choose.piece import packed
    from handline.day.file_checks import subject_problems
    from handline.day.planning import make_plan
    from handline.day.quota_reporting import quota_report
    from handline.trip.reading import read_trip

    load = os.getloadavg()[0]
    trip, usual = read_trip(TRIP, subject_problems), asked_dates(DatesAsking())
    if len(usual.start_clock_s) != STARTS or usual.days != DAYS:
        raise AssertionError("the usual season is not the one this page tells of")
    sizes: dict[str, float] = {}
    own_spread = room.spread

    def spread(work, do, shared, **others):  # type: ignore[no-untyped-def]
        sizes["job"] = len(packed(do, shared)) / 1e6
        began = time.process_time()
        found = own_spread(work, do, shared, **others)
        sizes["pieces_s"] = time.process_time() - began
        return found

    room.spread = spread

    def season(dates: int, workers: int, *, anew: bool = True) -> float:
        if anew:
            shutil.rmtree(cache_folder() / "grids", ignore_errors=True)
        last = FIRST + dt.timedelta(days=dates - 1)
        asked = DatesAsked(FIRST, last, WAYS, usual.start_clock_s, usual.days, workers)
        return _wall_s(lambda: room.dates_report(trip, asked))

    season(4, 1)
    wall_1 = season(DATES, 1)
    date_and_way = sizes["pieces_s"] / (DATES * len(WAYS))
    kept = sum(file.stat().st_size for file in (cache_folder() / "grids").rglob("*.npz")) / 1e6
    again, wall_2 = season(DATES, 1, anew=False), season(DATES, 2)
    quota_report(trip, days=20)
    quota = _core_s(lambda: quota_report(trip))
    make_plan(trip)
    return Figures(
        plan_s=_core_s(lambda: make_plan(trip)),
        date_and_way_s=date_and_way,
        season_wall_1_s=wall_1,
        season_wall_2_s=wall_2,
        job_MB=sizes["job"],
        kept_MB=kept,
        again_wall_s=again,
        quota_s=quota,
        memory_MB=resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024,
        load_before=load,
    )


def _wall_s(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _core_s(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def told(found: Figures) -> str:
    """The figures, and the agency on paper, as Markdown."""
    day_us = found.date_and_way_s / (STARTS * DAYS) * 1e6
    busy = "" if found.load_before < 0.5 else " **Others used it meanwhile: times by the clock are too long.**"
    rows = [
        f"Measured on {dt.date.today()} with {_machine()}; Handline {version('handline')}, Python "
        f"{platform.python_version()}, numpy {version('numpy')}, numba {version('numba')}; load before "
        f"{found.load_before:.1f}.{busy}\n",
        "| what | figure |\n|---|---|",
        f"| one plan, 10,000 days, without its brief | {found.plan_s:.2f} s of a core |",
        f"| one date in one way: {STARTS} starts x {DAYS} days | {found.date_and_way_s * 1e3:.0f} ms of a core |",
        f"| one simulated day in it | {day_us:.1f} µs of a core |",
        f"| {DATES} dates in both ways, one process | {found.season_wall_1_s:.1f} s by the clock |",
        f"| the same, two workers, their start included | {found.season_wall_2_s:.1f} s by the clock |",
        f"| the same again, all pieces kept | {found.again_wall_s:.1f} s by the clock |",
        f"| what a worker is sent once | {found.job_MB:.1f} MB |",
        f"| what {DATES} dates leave on disk | {found.kept_MB:.2f} MB |",
        f"| what a worker holds at most | {found.memory_MB:.0f} MB |",
        f"| `handline quota`: {QUOTAS} numbers of people, five ways of passing, 60 days each | "
        f"{found.quota_s:.1f} s of a core |",
        "\n## On paper: a whole land agency\n",
        f"An agency looks after {LINES} lines like that of Tamsin Dome. It asks of each, for a season of {SEASON} "
        f"dates, from {STARTS} starts, in one push and with a night out, {DAYS} days each. Core-hours follow from the "
        "figures above; nothing in this table was run. Preparing a trip file, its way and its crowd, takes seconds for "
        "each file and is left out.\n",
        "| job | simulated days | core-hours |\n|---|---|---|",
    ]
    units = LINES * SEASON * len(WAYS)
    jobs = (
        (f"every date of the season, {LINES} lines", units),
        (f"the same for {PARTIES} kinds of party, slow to quick", units * PARTIES),
        (f"the same for {QUOTAS} numbers of people a day", units * QUOTAS),
        (f"for {PARTIES} kinds of party at {QUOTAS} numbers of people a day", units * PARTIES * QUOTAS),
    )
    for words, count in jobs:
        rows.append(
            f"| {words} | {count * STARTS * DAYS / 1e6:,.0f} million | {_hours(count * found.date_and_way_s)} |"
        )
    crowds_s = LINES * found.quota_s
    rows.append(f"| `quota` for each line, on one date | | {_hours(crowds_s)} |")
    rows.append(f"| `quota` for each line, on every date | | {_hours(crowds_s * SEASON)} |")
    whole_s = units * PARTIES * QUOTAS * found.date_and_way_s + crowds_s * SEASON
    rows.append(f"| the two largest together | | {_hours(whole_s)} |")
    rows.append("\n| cores | the two largest together, if every core is kept busy |\n|---|---|")
    rows += [f"| {cores} | {whole_s / 3600 / cores:,.1f} h |" for cores in CORES]
    return "\n".join(rows) + "\n"


def _hours(seconds: float) -> str:
    hours = seconds / 3600
    return f"{hours:.2f}" if hours < 1 else f"{hours:,.0f}" if hours >= 10 else f"{hours:.1f}"


def _machine() -> str:
    info = Path("/proc/cpuinfo")
    name = re.search(r"model name\s*:\s*(.+)", info.read_text()) if info.exists() else None
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return f"{cores} cores ({name[1].strip() if name else platform.machine()})"


def main() -> int:
    """Measure in a process of its own, with one thread and an empty cache; then write."""
    if MEASURING in os.environ:
        print(json.dumps(asdict(measured())))
        return 0
    with tempfile.TemporaryDirectory() as folder:
        one_thread = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
        env = {**os.environ, MEASURING: "1", "HANDLINE_CACHE": folder, **one_thread}
        done = subprocess.run([sys.executable, __file__], env=env, check=True, stdout=subprocess.PIPE, text=True)
    text = PAGE.read_text(encoding="utf-8")
    before, after = text.partition(BEGIN)[0], text.partition(END)[2]
    figures = Figures(**json.loads(done.stdout))
    PAGE.write_text(f"{before}{BEGIN}\n\n{told(figures)}\n{END}{after}", encoding="utf-8")
    print(f"written: {PAGE.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
