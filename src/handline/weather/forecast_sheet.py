"""From the bytes of a forecast CSV to its comments, header and rows, not looked at yet."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from pathlib import Path

from handline.errors import InputError, Problem, near_file

SIZE_LIMIT_BYTES = 20_000_000
ROW_LIMIT = 200_000
COLUMN_LIMIT = 100
"""A forecast for one trip is far below all of these."""
SHOWN_OF_A_KIND = 3
"""So many faults of one kind are told one by one; the rest are counted."""

_EXPORT = "export the forecast again as CSV in UTF-8"


@dataclass
class Faults:
    """Everything wrong with a file, told in the order of its lines."""

    _kinds: dict[tuple[str | None, str], list[Problem]] = field(default_factory=dict)

    def add(self, problem: Problem) -> None:
        self._kinds.setdefault((problem.key, problem.what), []).append(problem)

    def __bool__(self) -> bool:
        return bool(self._kinds)

    def told(self, path: Path) -> list[Problem]:
        """All of it, with the file's name."""
        kinds = sorted(self._kinds.values(), key=lambda kind: kind[0].line or 0)
        found = [problem.at(file=path) for kind in kinds for problem in _shown(kind)]
        return sorted(found, key=lambda problem: problem.line or 0)


def _shown(kind: list[Problem]) -> list[Problem]:
    shown, more = kind[:SHOWN_OF_A_KIND], kind[SHOWN_OF_A_KIND:]
    if not more:
        return shown
    tail = f"and {len(more)} more like that" if len(more) > 1 else "and one more like that"
    return [*shown, Problem(tail, key=shown[-1].key, line=more[0].line)]


@dataclass(frozen=True)
class Sheet:
    """The text of a forecast CSV in its parts. ``comments`` and ``rows`` have the line each stands on."""

    comments: tuple[tuple[int, str], ...]
    header_line: int
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def forecast_sheet(path: Path) -> Sheet:
    """The parts of a forecast CSV.

    Raises
    ------
    InputError
        There is no such file, it is no text in UTF-8, too large, empty, or not parted by commas.
    """
    text = _text(path)
    lines = list(io.StringIO(text, newline=""))
    comments, first = [], 0
    while first < len(lines) and (not lines[first].strip() or lines[first].lstrip().startswith("#")):
        if lines[first].strip():
            comments.append((first + 1, lines[first].strip().lstrip("#").strip()))
        first += 1
    if first == len(lines):
        raise InputError(_no_header(path))
    if problem := _parted_otherwise(lines[first]):
        raise InputError(problem.at(file=path, line=first + 1))
    rows: list[tuple[int, tuple[str, ...]]] = []
    reader = csv.reader(lines[first:], strict=True)
    start = first + 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((start, tuple(cell.strip() for cell in cells)))
            start = first + reader.line_num + 1
            if len(rows) > ROW_LIMIT + 1:
                raise InputError(_too_large(path, f"more than {ROW_LIMIT:,} rows", f"up to {ROW_LIMIT:,} rows"))
    except csv.Error as error:
        problem = Problem("this line is not CSV", read=str(error), mend='close every " that is opened', line=start)
        raise InputError(problem.at(file=path)) from None
    if not rows:
        raise InputError(_no_header(path))
    (header_line, header), *below = rows
    if len(header) > COLUMN_LIMIT:
        raise InputError(_too_large(path, f"{len(header):,} columns", f"up to {COLUMN_LIMIT} columns"))
    return Sheet(tuple(comments), header_line, header, tuple(below))


def _text(path: Path) -> str:
    content = _content(path)
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        problem = Problem("this is UTF-16 text", allowed="UTF-8", mend="save the file as CSV in UTF-8")
    elif content.startswith(b"PK\x03\x04"):
        problem = Problem("this is a workbook or an archive, not CSV", mend="save the sheet as CSV in UTF-8")
    elif b"\x00" in content:
        problem = Problem("this is not a text file", mend=_EXPORT)
    else:
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = content[: error.start].count(b"\n") + 1
            problem = Problem("this is not UTF-8 text", mend="save the file as CSV in UTF-8", line=line)
        else:
            if text.strip():
                return text
            problem = Problem("the forecast file is empty", mend=_EXPORT)
    raise InputError(problem.at(file=path))


def _content(path: Path) -> bytes:
    try:
        if path.is_dir():
            problem = Problem("this is a folder, not a forecast file", mend="name the file inside it")
        elif not path.exists():
            problem = Problem("there is no such forecast file", mend=near_file(path))
        elif not path.is_file():
            problem = Problem("this is not a regular file")
        else:
            with path.open("rb") as file:
                content = file.read(SIZE_LIMIT_BYTES + 1)
            if len(content) <= SIZE_LIMIT_BYTES:
                return content
            megabytes = SIZE_LIMIT_BYTES / 1e6
            problem = _too_large(path, f"more than {megabytes:.0f} MB", f"up to {megabytes:.0f} MB")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        problem = Problem("the forecast file cannot be read", read=reason, mend="check its name and who may read it")
    raise InputError(problem.at(file=path))


def _no_header(path: Path) -> Problem:
    return Problem("there is no header line", mend="name the columns in the first line", file=str(path))


def _too_large(path: Path, read: str, allowed: str) -> Problem:
    return Problem(
        "this file is too large for the forecast of a trip",
        read=read,
        allowed=allowed,
        mend="keep only the days and places of the trip",
        file=str(path),
    )


def _parted_otherwise(header: str) -> Problem | None:
    """What is wrong where the columns are not parted by commas."""
    for mark, name in ((";", "semicolons"), ("\t", "tabs"), ("|", "bars")):
        if header.count(mark) > header.count(","):
            return Problem(
                f"the columns are parted by {name}",
                read=header.strip()[:60],
                allowed="commas between columns, and a point in decimals",
                mend="save it as CSV with commas; decimals such as 12,5 become 12.5",
            )
    return None
