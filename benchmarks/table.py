"""Run every benchmark, one after the other, and write docs/benchmarks.md.

    python -m benchmarks.table [NAME ...]

With names such as "day web" only those are run, and their rows take the place of the old ones.
"""

from __future__ import annotations

import datetime as dt
import json
import os
import platform
import subprocess
import sys
import tempfile
from importlib.metadata import version
from pathlib import Path

from benchmarks.row import ROWS_VARIABLE

HERE = Path(__file__).parent
PAGE = HERE.parent / "docs" / "benchmarks.md"
KEPT = HERE / "rows.json"
"""The rows of the last run of each benchmark, from which the page is made."""
PACKAGES = (
    "numpy", "numba", "pydantic", "skyfield", "simpy", "scipy", "vl-convert-python", "typst", "starlette", "playwright",
)  # fmt: skip
HEAD = """# Benchmarks

`make bench` measures everything here again and writes this page. Each row is a ratio against a named baseline in the
same run on the same machine; a time alone says little on another one. Targets are those of the design.
"""


def main(names: list[str]) -> int:
    kept = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    failed = []
    for bench in sorted(HERE.glob("bench_*.py")):
        name = bench.stem.removeprefix("bench_")
        if names and name not in names:
            continue
        print(f"--- {name}", flush=True)
        rows = _rows_of(bench)
        if rows is None:
            failed.append(name)
        else:
            kept[name] = {"about": _about(), "rows": rows}
            KEPT.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
            PAGE.write_text(_page(kept), encoding="utf-8")
    missed = [row["what"] for one in kept.values() for row in one["rows"] if row["met"] is False]
    print(f"written: {PAGE.name}; targets missed: {', '.join(missed) or 'none'}; failed: {', '.join(failed) or 'none'}")
    return 1 if failed else 0


def _rows_of(bench: Path) -> list[dict[str, object]] | None:
    """The rows that a benchmark noted; None where it failed."""
    with tempfile.TemporaryDirectory() as folder:
        rows = Path(folder) / "rows"
        # A person's bytecode is kept.
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        environment |= {ROWS_VARIABLE: str(rows), "PYTHONPATH": str(HERE.parent)}
        if subprocess.run([sys.executable, str(bench)], env=environment, check=False).returncode != 0:
            return None
        return [json.loads(line) for line in rows.read_text(encoding="utf-8").splitlines()] if rows.exists() else []


def _about() -> str:
    """The machine, the day and how busy it was."""
    load, python = os.getloadavg()[0], platform.python_version()
    return f"{os.cpu_count()} cores, {_processor()}; Python {python}; {dt.date.today()}; load before {load:.1f}"


def _processor() -> str:
    lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines() if Path("/proc/cpuinfo").exists() else []
    return next((line.partition(": ")[2] for line in lines if line.startswith("model name")), platform.processor())


def _page(kept: dict[str, dict[str, object]]) -> str:
    parts = [HEAD, "| what | measured | baseline in the same run | ratio | to hold | |\n|---|---|---|---|---|---|"]
    for name in sorted(kept):
        for row in kept[name]["rows"]:  # type: ignore[attr-defined]
            ratio = "" if row["ratio"] is None else f"{row['ratio']:.3g}"
            met = {None: "", True: "held", False: "**missed**"}[row["met"]]
            cells = (row["what"], row["measured"], row["baseline"], ratio, row["target"], met)
            parts.append(f"| {' | '.join(str(cell) for cell in cells)} |")
    parts.append("\n## Where and when\n")
    parts += [f"- {name}: {kept[name]['about']}" for name in sorted(kept)]
    parts.append(f"\nVersions of the last run: {', '.join(f'{name} {version(name)}' for name in PACKAGES)}.")
    return "\n".join(parts) + "\n"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
