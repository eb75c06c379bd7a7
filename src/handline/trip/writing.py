"""Writing a trip file: whole or not at all, and with the author's comments kept."""

from __future__ import annotations

import contextlib
import difflib
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

_LONG_LINE = 100
"""A list that would be longer than this gets several lines."""
_HEADER = re.compile(r"\s*\[")
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
    text = with_values(trip_text(path), values, path)
    trip = read_trip_text(text, path)
    write_whole(path, text)
    return trip


def with_values(text: str, values: Mapping[str, Value], file: Path) -> str:
    """The text of a trip file with keys set one after the other, as ``set_values`` does; not checked, not written.

    The place after the last one of a list, such as "waypoints[7]" where there are seven, adds to the list; where
    there is no list yet, "waypoints[0]" begins one as [[waypoints]].

    Raises
    ------
    TripError
        The text is not TOML, there is no such place in it, or it is laid out so that a value cannot be put there.
    """
    import tomlkit

    text = text.removeprefix(BYTE_ORDER_MARK)
    typed_values(text, file)
    try:
        document = tomlkit.parse(text)
        for key, value in values.items():
            _set(document, key, value, file)
        return _spaced(text, tomlkit.dumps(document))
    except TripError:
        raise
    except Exception as error:  # the writer of TOML has many of its own, and none may lose what was typed
        raise TripError(cannot_be_put_in(values, file)) from error


def cannot_be_put_in(values: Mapping[str, Value], file: Path) -> Problem:
    """The Problem of values that a file as it is laid out has no room for."""
    return Problem(
        "this cannot be put into the file as it is laid out",
        read=", ".join(values)[:200],
        mend="change it in the file itself",
        file=str(file),
    )


def _set(document: Any, key: str, value: Value, path: Path) -> None:
    from tomlkit.items import AoT

    steps = _steps(key, path)
    *around, last = steps
    node: Any = document
    for i, step in enumerate(around):
        if isinstance(step, str) and isinstance(node, dict) and step not in node:
            if value is None:
                return
            _add(node, step, _empty(node, isinstance(steps[i + 1], int)))
        node = _inside(node, step, key, path)
    if isinstance(last, str) and isinstance(node, dict) and last not in node:
        if value is not None:
            _add(node, last, _laid_out(value, node))
        return
    if isinstance(node, list) and last == len(node) and value is not None:
        _append_table(node, value) if isinstance(node, AoT) else node.append(_inline(value))
        return
    _inside(node, last, key, path)
    if value is None:
        if isinstance(node, AoT) and isinstance(last, int) and last > 0:
            for comment in _cut_trailing(node[last]):
                node[last - 1].add(comment)
        del node[last]
    else:
        node[last] = _laid_out(value, node)


def _empty(around: Any, a_list: bool) -> Any:
    """An empty table or list of tables, as it may stand in what is around it."""
    import tomlkit
    from tomlkit.items import InlineTable

    if isinstance(around, InlineTable):
        return tomlkit.array() if a_list else tomlkit.inline_table()
    return tomlkit.aot() if a_list else tomlkit.table()


def _add(table: Any, key: str, value: Any) -> None:
    """Add a key below the last one of a table, above the comments that lead over to the next table."""
    trailing = _cut_trailing(table)
    table[key] = value
    for comment in trailing:
        table.add(comment)


def _cut_trailing(table: Any) -> list[Any]:
    """Take the comments and empty lines below the last key of a table out of it."""
    from tomlkit.items import Table

    trailing: list[Any] = []
    if isinstance(table, Table):
        body = table.value.body
        while body and body[-1][0] is None:
            trailing.insert(0, body.pop()[1])
    return trailing


def _append_table(tables: Any, value: Value) -> None:
    """Add a [[table]] below the last one of its list, above the comments that lead over to what comes next."""
    trailing = _cut_trailing(tables[-1]) if len(tables) else []
    tables.append(value)
    for comment in trailing:
        tables[-1].add(comment)


def _laid_out(value: Value, around: Any) -> Any:
    """A value as it is written: what is long gets a line for each table, or as many lines as it needs."""
    from tomlkit.items import Array, InlineTable

    if not isinstance(value, list) or not value:
        return _inline(value)
    items = [_as_toml(one) for one in value]
    if isinstance(around, InlineTable | Array) or not (_has_tables(value) or sum(map(len, items)) > _LONG_LINE):
        return _inline(value)
    return _parsed("[\n" + "".join(f"  {line}\n" for line in _lines(items, _has_tables(value))) + "]")


def _has_tables(value: list[Any]) -> bool:
    return any(isinstance(one, Mapping) for one in value)


def _lines(items: list[str], one_each: bool) -> list[str]:
    """The items of a list on lines, each with its comma."""
    lines: list[str] = []
    for item in items:
        if one_each or not lines or len(lines[-1]) + len(item) > _LONG_LINE:
            lines.append(f"{item},")
        else:
            lines[-1] += f" {item},"
    return lines


def _inline(value: Value) -> Any:
    """A value that may stand inside brackets: lists and tables on one line."""
    return _parsed(_as_toml(value)) if isinstance(value, list | dict) else value


def _parsed(written: str) -> Any:
    import tomlkit

    return tomlkit.parse(f"key = {written}\n")["key"]


def _as_toml(value: Value) -> str:
    """A value as TOML on one line."""
    import tomlkit

    if isinstance(value, list):
        return f"[{', '.join(_as_toml(one) for one in value)}]"
    if isinstance(value, dict):
        pairs = [f"{tomlkit.key([key]).as_string()} = {_as_toml(one)}" for key, one in value.items()]
        return f"{{ {', '.join(pairs)} }}" if pairs else "{}"
    return tomlkit.item(value).as_string()


def _spaced(old: str, new: str) -> str:
    """A new text with one empty line above each header that a change brought or moved; the rest as it is."""
    if old == new:
        return new
    lines = new.splitlines(keepends=True)
    is_new = [True] * len(lines)
    for block in difflib.SequenceMatcher(
        None, old.splitlines(keepends=True), lines, autojunk=False
    ).get_matching_blocks():
        is_new[block.b : block.b + block.size] = [False] * block.size
    spaced: list[str] = []
    for i, line in enumerate(lines):
        above = spaced[-1].strip() if spaced else ""
        changed = is_new[i] or (i > 0 and is_new[i - 1])
        if changed and _HEADER.match(line) and above and not above.startswith("#"):
            spaced.append("\r\n" if line.endswith("\r\n") else "\n")
        spaced.append(line)
    return "".join(spaced)


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
