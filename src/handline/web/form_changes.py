"""What a form that came back changes in a trip file: keys to set and to take away, and nothing that says the same."""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from handline.trip.writing import Value
from handline.web.form_fields import Field, Fields, Rows, trip_fields
from handline.web.form_values import can_show, is_same, typed_value

REMOVE, COUNT = "remove:", "rows:"
"""Before the key of a row: it was ticked to be taken away. Before that of a list: how many rows the form began with."""
MOST_ROWS = 500

_INDEX = re.compile(r"\[(\d{1,4})\]")

Posted = Mapping[str, Sequence[str]]
"""What was typed, by key; a key that was not sent stays as it is in the file."""


@dataclass
class Changes:
    """Values to set, in their order; ``rows`` has for each list which row of the form each of its tables is."""

    values: dict[str, Value] = field(default_factory=dict)
    rows: dict[str, list[int]] = field(default_factory=dict)

    def key_in_form(self, key: str) -> str:
        """Where the form has a key of the changed file: rows that are taken away move those below them up."""
        found = ""
        for part in re.split(r"(\[\d+\])", key):
            if index := _INDEX.fullmatch(part):
                shown = self.rows.get(found, [])
                number = int(index[1])
                part = f"[{shown[number]}]" if number < len(shown) else part
            found += part
        return found


def changes(posted: Posted, typed: Mapping[str, Any]) -> Changes:
    """What a form changes in what the file says."""
    found = Changes()
    _table(trip_fields(), "", typed, posted, rows_posted(posted), found)
    return found


def rows_posted(posted: Posted) -> dict[str, set[int]]:
    """The rows of each list that were sent."""
    rows: dict[str, set[int]] = {}
    for name in posted:
        if ":" not in name:
            for index in _INDEX.finditer(name):
                rows.setdefault(name[: index.start()], set()).add(int(index[1]))
    return {key: set(sorted(numbers)[:MOST_ROWS]) for key, numbers in rows.items()}


def _table(
    fields: Fields, key: str, typed: Mapping[str, Any], posted: Posted, sent: Mapping[str, set[int]], found: Changes
) -> None:
    for part in fields.inside:
        at = f"{key}.{part.name}".removeprefix(".")
        value = typed.get(part.name)
        if isinstance(part, Field):
            if at in posted:
                _field(part, at, value, posted[at], found)
        elif isinstance(part, Rows):
            if value is None or is_list_of_tables(value):
                _rows(part, at, value or [], posted, sent, found)
        elif value is None or isinstance(value, Mapping):
            _inner(part, at, value or {}, posted, sent, found)


def _inner(
    fields: Fields, key: str, typed: Mapping[str, Any], posted: Posted, sent: Mapping[str, set[int]], found: Changes
) -> None:
    """A table inside: taken away with its last key, where it is not a section of its own."""
    inside = Changes(rows=found.rows)
    _table(fields, key, typed, posted, sent, inside)
    gone = {name for name, value in inside.values.items() if value is None}
    if typed and "." in key and gone == set(inside.values) == {f"{key}.{name}" for name in typed}:
        found.values[key] = None
    else:
        found.values |= inside.values


def _field(field: Field, key: str, value: object, texts: Sequence[str], found: Changes) -> None:
    if (value is not None and not can_show(value, field)) or is_same(texts, field, value):
        return
    new = typed_value(texts, field)
    if field.kind == "ticks" and isinstance(new, list) and isinstance(value, list):
        new = [one for one in value if one in new] + [one for one in new if one not in value]
    if new != value or type(new) is not type(value):
        found.values[key] = new


def _rows(
    rows: Rows, key: str, typed: Sequence[Any], posted: Posted, sent: Mapping[str, set[int]], found: Changes
) -> None:
    begun_with = _count(posted.get(COUNT + key), len(typed))
    gone, kept = [], []
    for i, row in enumerate(typed):
        if f"{REMOVE}{key}[{i}]" in posted or i >= begun_with:
            gone.append(i)
        else:
            _table(rows.row, f"{key}[{i}]", row, posted, sent, found)
            kept.append(i)
    added: list[Value] = []
    for i in sorted(sent.get(key, ())):
        if (
            i >= len(typed)
            and f"{REMOVE}{key}[{i}]" not in posted
            and (new := _new_table(rows.row, f"{key}[{i}]", posted, sent))
        ):
            added.append(new)
            kept.append(i)
    found.rows[key] = kept
    if typed and not kept:
        found.values[key] = None
        return
    if added and not rows.headed and not typed:
        found.values[key] = added
        return
    found.values |= {f"{key}[{len(typed) + j}]": new for j, new in enumerate(added)}
    found.values |= {f"{key}[{i}]": None for i in reversed(gone)}


def _new_table(fields: Fields, key: str, posted: Posted, sent: Mapping[str, set[int]]) -> dict[str, Any]:
    """A table that is not in the file yet, of all that was typed for it."""
    made: dict[str, Any] = {}
    for part in fields.inside:
        at = f"{key}.{part.name}"
        new: Any = None
        if isinstance(part, Field):
            new = typed_value(posted[at], part) if at in posted else None
        elif isinstance(part, Fields):
            new = _new_table(part, at, posted, sent) or None
        else:
            numbers = [i for i in sorted(sent.get(at, ())) if f"{REMOVE}{at}[{i}]" not in posted]
            new = [one for i in numbers if (one := _new_table(part.row, f"{at}[{i}]", posted, sent))] or None
        if new is not None:
            made[part.name] = new
    return made


def is_list_of_tables(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, Mapping) for one in value)


def _count(texts: Sequence[str] | None, otherwise: int) -> int:
    text = texts[-1] if texts else ""
    return int(text) if re.fullmatch(r"\d{1,6}", text) else otherwise


def applied(typed: Mapping[str, Any], values: Mapping[str, Value]) -> dict[str, Any]:
    """What the file should say once values are set in it: the measure for its text."""
    said: dict[str, Any] = copy.deepcopy(dict(typed))
    for key, value in values.items():
        steps: list[str | int] = [
            int(step) if step.isdecimal() else step for step in re.findall(r"[A-Za-z_]+|\d+", key)
        ]
        node: Any = said
        for step, following in pairwise(steps):
            if isinstance(node, dict) and step not in node:
                node[step] = [] if isinstance(following, int) else {}
            node = node[step]
        last = steps[-1]
        if value is None:
            del node[last]
        elif isinstance(node, list) and last == len(node):
            node.append(value)
        else:
            node[last] = value
    return said
