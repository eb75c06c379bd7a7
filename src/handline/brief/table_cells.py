"""Rows of dataclasses as comma-separated values (RFC 4180), for spreadsheets and scripts.

Columns are named as the fields of the Plan, with their SI unit. Beside each clock time in seconds stands the same as a
clock shows it. Numbers are written so that they read back as the very same; what is not there is empty.

A spreadsheet takes text that begins like a formula for one, and so would run what somebody typed as a name: such text
gets an apostrophe in front. Numbers are left alone.

Sources: rfc_4180, csv_formulas.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

from handline.quantity import show_clock

# What a spreadsheet may take for the beginning of a formula, and what it may skip before that. [csv_formulas]
_FORMULA = ("=", "+", "-", "@")
_SKIPPED = ("\t", "\r", "\n")
_CLOCK = "clock_s"


@dataclass(frozen=True)
class Table:
    """Columns and rows of cells: str, bool, int, float, None, or a tuple of str."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]


@dataclass(frozen=True)
class Shape:
    """How a dataclass lies in a row: field after field.

    ``spread`` are fields of several values and their columns, ``inside`` fields that hold a dataclass, or None, whose
    columns begin with the field's name; ``apart`` are fields that are not in this table.
    """

    of: type
    spread: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    inside: Mapping[str, Shape] = field(default_factory=dict)
    apart: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        found: list[str] = []
        for name in self._names():
            if name in self.inside:
                found += [f"{name}_{column}" for column in self.inside[name].columns]
            else:
                found += self.spread.get(name, (name,))
        return tuple(found)

    def cells(self, item: Any) -> tuple[Any, ...]:
        """The cells of one row. Raises ValueError where a field has not as many values as columns."""
        found: list[Any] = []
        for name in self._names():
            value = getattr(item, name)
            if name in self.inside:
                inner = self.inside[name]
                found += (None,) * len(inner.columns) if value is None else inner.cells(value)
            elif name in self.spread:
                found += [one for _, one in zip(self.spread[name], value, strict=True)]
            else:
                found.append(value)
        return tuple(found)

    def _names(self) -> list[str]:
        return [part.name for part in fields(self.of) if part.name not in self.apart]


def spread(template: str, labels: Iterable[str]) -> tuple[str, ...]:
    """Columns of a field of several values: "arrive_{}_clock_s" and their labels."""
    return tuple(template.format(label) for label in labels)


def table(shape: Shape, items: Iterable[Any], before: Mapping[str, Sequence[Any]] | None = None) -> Table:
    """A table with a row for each item; ``before`` are columns that stand first."""
    rows = [shape.cells(item) for item in items]
    first = before or {}
    heads = list(zip(*first.values(), strict=True)) if first else [()] * len(rows)
    return Table((*first, *shape.columns), tuple((*head, *row) for head, row in zip(heads, rows, strict=True)))


def csv_of(written: Table) -> bytes:
    """A table as comma-separated values in UTF-8, the first row the names of the columns."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    clocks = [column.endswith(_CLOCK) for column in written.columns]
    writer.writerow(_with_clocks(written.columns, clocks, lambda column: column.removesuffix("_s")))
    for row in written.rows:
        writer.writerow([_cell(value) for value in _with_clocks(row, clocks, _shown)])
    return text.getvalue().encode("utf-8")


def _with_clocks(row: Sequence[Any], clocks: Sequence[bool], shown: Any) -> list[Any]:
    found: list[Any] = []
    for value, is_clock in zip(row, clocks, strict=True):
        found += [value, shown(value)] if is_clock else [value]
    return found


def _shown(clock_s: float | None) -> str | None:
    return None if clock_s is None or not math.isfinite(clock_s) else show_clock(clock_s)


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return repr(float(value)) if math.isfinite(value) else ""
    if isinstance(value, tuple):
        value = "; ".join(value)
    if not isinstance(value, str):
        raise TypeError(f"{type(value).__name__} has no place in a table")
    return harmless(value)


def harmless(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    begins = text.lstrip()[:1]
    return f"'{text}" if begins in _FORMULA or text.startswith(_SKIPPED) else text
