"""Reading a trip file: from bytes on the disk to a checked Trip, or every problem of the file at once."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from handline.errors import Problem, TripError, near_file
from handline.trip.key_lines import Place, key_lines, nearest_line
from handline.trip.model import Trip
from handline.trip.problems import as_typed, problems_of, written_key
from handline.trip.words import DAY_ALLOWED

LARGEST_BYTES = 1_000_000
"""A trip file is typed by hand: more than a megabyte is something else."""
MOST_TOLD = 300
"""So many problems are told one by one; the rest are counted. Nobody mends more in one go."""
BYTE_ORDER_MARK = "\ufeff"
"""Some editors write it before the text; it means nothing."""
FILE_KEYS: tuple[tuple[str, str], ...] = (("route", "track"), ("route", "terrain"), ("weather", "forecast"))
"""Keys that name another file, which must be there: every key of the model that is the name of one."""
_FILE_ALLOWED = "a path that starts at the folder of the trip file"
_HOW_TO_GET = {("weather", "forecast"): "leave it out, or get one: handline weather TRIP --download"}

_TRACK_SUFFIXES = (".gpx", ".geojson", ".json")
_UNQUOTED = re.compile(r"""^[^#"'=]*=\s*(?P<value>[-+]?\d[\d.,]*\s*(?:[A-Za-z%°][\w/]*|:\d\d(?::\d\d)?))\s*(?:#.*)?$""")
# The time a reader of TOML takes grows with the square of the parts of a key. No key of ours has more than four.
_ENDLESS_KEY = re.compile(r"""(?<![\w-])(?:["']?[\w-]+["']?[ \t]*\.[ \t]*){100}""", re.ASCII)
_DATE_KEY = re.compile(r"""(?:trip\s*\.\s*)?["']?date["']?\s*=""")
_WHERE = re.compile(r"\s*\(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)")


Check = Callable[[Mapping[str, Any]], Iterator[tuple[Place, Problem]]]
"""More that is looked at in a file as typed, by those who know more than this room: where, and what is wrong."""


def read_trip(path: Path, more_checks: Check | None = None, *, inside: Path | None = None) -> Trip:
    """The trip in a file. What ``more_checks`` finds is reported with everything else.

    ``inside`` is for a trip that others may have typed: a file that it names must lie in this folder, links followed,
    or it is neither looked for nor opened.

    Raises
    ------
    TripError
        With every problem of the file; or the one that keeps it from being read at all.
    """
    return read_trip_text(trip_text(path), path, more_checks, inside=inside)


def trip_text(path: Path) -> str:
    """The text of a trip file, not looked at yet. Raises TripError where there is none."""
    content = _bytes(path)
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise TripError(
            Problem("this is not UTF-8 text", file=str(path), line=line, mend="save the file as UTF-8")
        ) from None


def read_trip_text(text: str, file: Path, more_checks: Check | None = None, *, inside: Path | None = None) -> Trip:
    """The trip in a text, as if it stood in ``file``; relative paths start at the folder of ``file``.

    ``more_checks`` and ``inside`` as in ``read_trip``.

    Raises
    ------
    TripError
        With every problem of the text.
    """
    content = text.encode("utf-8", "surrogatepass")
    if len(content) > LARGEST_BYTES:
        raise TripError(_too_large(file))
    typed, lines = typed_values(text.removeprefix(BYTE_ORDER_MARK), file)
    if isinstance(about := typed.get("trip"), dict):
        about.setdefault("name", _usual_name(file))
    found = list(_unusable_files(typed, file.parent, inside))
    if more_checks is not None:
        found += [(place, problem.at(key=written_key(place))) for place, problem in more_checks(typed)]
    trip: Trip | None = None
    more = 0
    try:
        trip = Trip.model_validate(typed)
    except ValidationError as error:
        found += problems_of(error, MOST_TOLD)
        more = max(error.error_count() - MOST_TOLD, 0)
    if trip is None or found:
        problems = [problem.at(file=file, line=nearest_line(lines, place)) for place, problem in found]
        problems.sort(key=lambda problem: problem.line or 0)
        if more:
            problems.append(Problem(f"and {more:,} more problems", file=str(file), mend="mend these first"))
        raise TripError(problems)
    written = {written_key(place): line for place, line in lines.items()}
    return trip.read_from(file, hashlib.sha256(content).hexdigest(), written)


def typed_values(text: str, file: Path) -> tuple[dict[str, Any], dict[Place, int]]:
    """What is typed, and where. Raises TripError where it is not TOML."""
    if endless := _ENDLESS_KEY.search(text):
        line = text.count("\n", 0, endless.start()) + 1
        raise TripError(Problem("this key has too many dots in it", read=endless[0][:40], file=str(file), line=line))
    try:
        return tomllib.loads(text), key_lines(text)
    except RecursionError:
        raise TripError(Problem("lists or tables are nested too deep", file=str(file))) from None
    except ValueError as error:
        raise TripError(_broken(text, file, error)) from None


def _usual_name(file: Path) -> str:
    """The name of a trip that has none: its folder's for "trip.toml", else the file's."""
    name = file.resolve().parent.name if file.stem == "trip" else file.stem
    name = re.sub(r"[-_\s]+", " ", name).strip()[:80]
    return name if name and name.isprintable() else "trip"


# --- files ---------------------------------------------------------------------------------------------------------


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            inside = path / "trip.toml"
            mend = f'did you mean "{inside}"?' if inside.is_file() else "give the trip file inside it"
            raise TripError(Problem("this is a folder, not a trip file", file=str(path), mend=mend))
        if not path.exists():
            raise TripError(Problem("there is no such file", file=str(path), mend=near_file(path)))
        if not path.is_file():
            raise TripError(Problem("this is not a regular file", file=str(path)))
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise TripError(Problem(f"the file cannot be read: {reason}", file=str(path))) from None
    if len(content) > LARGEST_BYTES:
        raise TripError(_too_large(path))
    return content


def _too_large(path: Path) -> Problem:
    return Problem(
        "this file is too large for a trip file",
        file=str(path),
        allowed=f"up to {LARGEST_BYTES:,} bytes",
        mend="tracks and terrain stand in their own files",
    )


def _unusable_files(typed: Mapping[str, Any], folder: Path, inside: Path | None) -> Iterator[tuple[Place, Problem]]:
    """Files that the trip file names and that are not there, or are none of its business."""
    for section, key in FILE_KEYS:
        table = typed.get(section)
        name = table.get(key) if isinstance(table, Mapping) else None
        if not isinstance(name, str) or not name.strip() or not name.strip().isprintable():
            continue  # refused by the model
        problem = _unusable_file(folder / name.strip(), inside, _HOW_TO_GET.get((section, key)))
        if problem is not None:
            yield (section, key), replace(problem, read=as_typed(name), key=written_key((section, key)))


def _unusable_file(path: Path, inside: Path | None, how_to_get: str | None) -> Problem | None:
    """Why a file that a trip names cannot be used; None where it can. Outside, not even whether it is there is told."""
    try:
        if inside is not None and not path.resolve().is_relative_to(inside.resolve()):
            return Problem(
                "this file is outside the folder that is served",
                allowed="a file inside the folder that is served",
                mend="put it beside the trip file, or serve a folder that holds both",
            )
        what = "this is not a file" if path.exists() else "there is no such file"
        if path.is_file():
            return None
    except (OSError, ValueError, RuntimeError):  # RuntimeError: links that lead to each other
        return Problem("this cannot be the name of a file", allowed=_FILE_ALLOWED, mend=how_to_get)
    return Problem(what, allowed=_FILE_ALLOWED, mend=near_file(path) or how_to_get)


# --- broken TOML ---------------------------------------------------------------------------------------------------


def _broken(text: str, file: Path, error: ValueError) -> Problem:
    """What keeps the text from being TOML, where, and how to mend the usual reason: a quantity without its quotes."""
    if not isinstance(error, tomllib.TOMLDecodeError):
        return Problem("a whole number in this file has too many digits", file=str(file))
    message = str(error)
    where = _WHERE.search(message)
    line = int(where["line"]) if where and where["line"] else None
    if where and line is None:
        line = text.count("\n") + 1
    what = _WHERE.sub("", message).strip()
    if where and where["column"]:
        what += f" (column {where['column']})"
    typed = text.splitlines()[line - 1].strip() if line and line <= len(text.splitlines()) else None
    unquoted = _UNQUOTED.match(typed) if typed and len(typed) <= 200 else None
    mend = f'put a value with a unit in quotes: "{unquoted["value"].strip()}"' if unquoted else None
    if file.suffix.lower() in _TRACK_SUFFIXES:
        mend = f"this is a track: make a trip file for it with handline new trip.toml --track {file.name}"
    of_date = typed is not None and _DATE_KEY.match(typed) is not None
    return Problem(
        f"this is not TOML: {what[:1].lower()}{what[1:200]}",
        read=typed and typed[:80],
        allowed=DAY_ALLOWED if of_date else None,
        mend="write a day that there is, such as date = 2027-07-17" if of_date else mend,
        file=str(file),
        line=line,
    )
