"""Tables of published values, read strictly."""

from __future__ import annotations

import csv
from pathlib import Path

TABLES = Path(__file__).parent
REQUIRED = ("expected", "unit", "tolerance", "source", "locator", "kind")
KINDS = ("published", "independent", "regression", "common practice", "from memory")


def read_table(name: str) -> list[dict[str, str]]:
    """The rows of tests/tables/<name>.csv. A row without its source, kind or tolerance is refused."""
    with (TABLES / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for number, row in enumerate(rows, start=2):
        missing = [column for column in REQUIRED if not (row.get(column) or "").strip()]
        if missing:
            raise ValueError(f"{name}.csv line {number}: no {', '.join(missing)}")
        if row["kind"] not in KINDS:
            raise ValueError(f"{name}.csv line {number}: kind {row['kind']!r} is not one of {KINDS}")
    if not rows:
        raise ValueError(f"{name}.csv has no rows")
    return rows
