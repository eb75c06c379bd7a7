"""Writing a trip file: whole or not at all, and with the author's comments kept."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from handline.errors import Problem, TripError
from handline.trip.model import Trip
from handline.trip.reading import BYTE_ORDER_MARK, read_trip_text, trip_text, typed_values
from handline.whole_file import write_whole

Value = str | int | float | bool | date | list[Any] | dict[str, Any] | None

_STEP = re.compile(r"(?P<key>[A-Za-z0-9_-]+)(?P<index>(?:\[\d{1,6}\])*)(?:\.|$)")


def set_values(path: Path, values: Mapping[str, Value]) -> Trip:
    """Set keys of a trip file, such as {"party.size": 5, "waypoints[1].stop": "20 min"}; None takes a key away.

    Comments, order and spacing of everything else stay. The new text is read and checked before it is written.

    Parameters
    ----------
    path : Path
        A trip file; it may have problems that the values mend.
    values : mapping
        Value by key as typed; a section that is not there yet is added.

    Returns
    -------
    Trip
        The trip as it is now in the file.

    Raises
    ------
    TripError
        With these values the file would be unusable; it is as it was.
    OutputError
        The file could not be written; it is as it was.
    """
    import tomlkit

    text = trip_text(path).removeprefix(BYTE_ORDER_MARK)
    typed_values(text, path)
    document = tomlkit.parse(text)
    for key, value in values.items():
        _set(document, key, value, path)
    text = tomlkit.dumps(document)
    trip = read_trip_text(text, path)
    write_whole(path, text)
    return trip


def _set(document: Any, key: str, value: Value, path: Path) -> None:
    import tomlkit

    *around, last = _steps(key, path)
    node: Any = document
    for step in around:
        if isinstance(step, str) and isinstance(node, dict) and step not in node:
            if value is None:
                return
            _add(node, step, tomlkit.table())
        node = _inside(node, step, key, path)
    if isinstance(last, str) and isinstance(node, dict) and last not in node:
        if value is not None:
            _add(node, last, value)
        return
    _inside(node, last, key, path)
    if value is None:
        del node[last]
    else:
        node[last] = value


def _add(table: Any, key: str, value: Any) -> None:
    """Add a key below the last one of a table, above the comments that lead over to the next table."""
    from tomlkit.items import Table

    trailing = []
    if isinstance(table, Table):
        body = table.value.body
        while body and body[-1][0] is None:
            trailing.append(body.pop()[1])
    table[key] = value
    for comment in reversed(trailing):
        table.add(comment)


def _inside(node: Any, step: str | int, key: str, path: Path) -> Any:
    """What lies at one step of a key. Raises TripError where there is nothing such."""
    fits = isinstance(step, str) if isinstance(node, dict) else isinstance(node, list) and isinstance(step, int)
    with contextlib.suppress(KeyError, IndexError):
        if fits:
            return node[step]
    raise TripError(Problem("there is no such place in the file", key=key, file=str(path)))


def _steps(key: str, path: Path) -> list[str | int]:
    """The steps of a key: "line.sections[2].angle" is "line", "sections", 2, "angle"."""
    steps: list[str | int] = []
    at = 0
    while at < len(key) and (step := _STEP.match(key, at)):
        steps.append(step["key"])
        steps += [int(index) for index in re.findall(r"\d+", step["index"])]
        at = step.end()
    if not steps or at < len(key) or key.endswith("."):
        problem = Problem("this is not a key", read=key[:80], allowed="line.sections[2].angle and the like")
        raise TripError(problem.at(file=path))
    return steps
