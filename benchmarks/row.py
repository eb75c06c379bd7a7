"""One row of the table of benchmarks: what, against which baseline in the same run, and what was to be held."""

from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path

ROWS_VARIABLE = "HANDLINE_BENCH_ROWS"
"""Names a file that rows are added to, for whoever makes the table."""


@dataclass(frozen=True)
class Row:
    """``met`` is whether the target is held; None where the row has none."""

    what: str
    measured: str
    baseline: str
    ratio: float | None = None
    target: str = ""
    met: bool | None = None


def noted(row: Row) -> None:
    """Say a row, and leave it for the table where one is made."""
    ratio = "" if row.ratio is None else f"; ratio {row.ratio:.3g}"
    held = "" if row.met is None else f"; to hold: {row.target}: {'held' if row.met else 'MISSED'}"
    print(f"{row.what}: {row.measured}; {row.baseline}{ratio}{held}", flush=True)
    if named := os.environ.get(ROWS_VARIABLE):
        with Path(named).open("a", encoding="utf-8") as rows:
            rows.write(json.dumps(asdict(row)) + "\n")
