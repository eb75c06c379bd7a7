"""The whole job for the example: `handline plan` as a process, the brief by itself, and how large it all is.

The baseline is the first run of all on a machine: nothing compiled, nothing kept.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from benchmarks.row import Row, noted

EXAMPLES = Path(__file__).parents[1] / "examples"
TRIPS = ("tamsin-dome", "petrel-slab")
REPEATS = 5
PLAN_S, BRIEF_S, PDF_S, BRIEF_MB, MEMORY_MB = 3.0, 2.0, 1.0, 1.6, 500.0


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name in TRIPS:
            trip = Path(folder) / name
            shutil.copytree(EXAMPLES / name, trip, ignore=shutil.ignore_patterns("brief"))
            _plan(name, trip, Path(folder))
            _brief(name, trip, Path(folder))


def _plan(name: str, trip: Path, folder: Path) -> None:
    """From the shell, with a cache and bytecode that only this benchmark uses."""
    own = {"HANDLINE_CACHE": f"{folder}/cache-{name}", "NUMBA_CACHE_DIR": f"{folder}/numba-{name}"}
    environment = {**os.environ, **own, "PYTHONPYCACHEPREFIX": f"{folder}/bytecode-{name}"}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [sys.executable, "-m", "handline", "plan", str(trip / "trip.toml"), "--out", str(trip / "brief")]

    def once() -> tuple[float, float]:
        begun_s = time.perf_counter()
        process = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        return time.perf_counter() - begun_s, used.ru_maxrss / 1024.0

    first_s, first_mb = once()
    again = [once() for _ in range(REPEATS)]
    again_s, memory_mb = min(took_s for took_s, _ in again), max(held_mb for _, held_mb in again)
    noted(
        Row(
            f"`handline plan` {name}, brief and all",
            f"{again_s:.2f} s, {memory_mb:.0f} MB at most",
            f"the first run of all {first_s:.1f} s and {first_mb:.0f} MB",
            first_s / again_s,
            f"under {PLAN_S:g} s and {MEMORY_MB:g} MB",
            again_s < PLAN_S and memory_mb < MEMORY_MB,
        )
    )


def _brief(name: str, trip: Path, folder: Path) -> None:
    """In this process, after a first one."""
    from handline.brief.card import card_pdf
    from handline.brief.stills import drawing_apart
    from handline.brief.writing import write_brief
    from handline.day.file_checks import subject_problems
    from handline.day.planning import make_plan
    from handline.trip.reading import read_trip

    read = read_trip(trip / "trip.toml", subject_problems)
    plan = make_plan(read, today=date.today())
    plan_s = min(_timed(lambda: make_plan(read, today=date.today())) for _ in range(REPEATS))
    out = folder / f"brief-{name}"

    def write() -> None:
        with drawing_apart() as draw:
            write_brief(plan, out, draw)

    write()
    brief_s = min(_timed(write) for _ in range(REPEATS))
    pdf_s = min(_timed(lambda: card_pdf(plan)) for _ in range(REPEATS))
    size_mb = (out / "brief.html").stat().st_size / 1e6
    held = brief_s < BRIEF_S and pdf_s < PDF_S and size_mb < BRIEF_MB
    noted(
        Row(
            f"the brief of {name}, all its files",
            f"{brief_s:.2f} s; the card alone {pdf_s:.2f} s; the page {size_mb:.2f} MB",
            f"the plan itself, warm {plan_s:.2f} s",
            plan_s / brief_s,
            f"under {BRIEF_S:g} s, card under {PDF_S:g} s, page under {BRIEF_MB:g} MB",
            held,
        )
    )


def _timed(work: Callable[[], object]) -> float:
    begun_s = time.perf_counter()
    work()
    return time.perf_counter() - begun_s


if __name__ == "__main__":
    main()
