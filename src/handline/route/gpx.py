"""Reading GPX 1.1 tracks and routes.

Files come from strangers: a DTD, an entity or an outside reference is refused, and so is a file over the size limit.
Sources: gpx_1_1.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree.ElementTree import ParseError

import numpy as np

from handline.errors import Problem, TrackError
from handline.route.counted import counted
from handline.route.joining import joined
from handline.route.track import Indices, Track, track_of
from handline.route.track_file import BAD_POINTS_SHOWN, track_bytes

GPX_1_1 = "http://www.topografix.com/GPX/1/1"
GPX_1_0 = "http://www.topografix.com/GPX/1/0"
POINT = re.compile(rb"<(?:[\w.-]+:)?(trkpt|rtept)[\s/>]")


def read_gpx(path: Path) -> Track:
    """The track of a GPX file; its route where it has no track. Several tracks and segments are joined, and said.

    Parameters
    ----------
    path : Path
        A GPX 1.1 file; 1.0, and a file that forgot its namespace, are read too and said.

    Returns
    -------
    Track
        Points as they are in the file; nothing cleaned yet.

    Raises
    ------
    TrackError
        The file cannot be read, is too large, is not XML, is not GPX, has a DTD or entities, has no points, or has
        points without a position.

    Notes
    -----
    Sources: gpx_1_1.
    """
    content = track_bytes(path)
    read = _contents(path, content)
    kind, pieces = ("trkpt", read.track_pieces) if any(read.track_pieces) else ("rtept", read.route_pieces)
    points = [point for piece in pieces for point in piece]
    lines = _point_lines(content, kind, len(points))
    problems = _point_problems(points, lines)
    if not points:
        problems = [_no_points(read.waypoint_count)]
    if problems:
        raise TrackError([problem.at(file=path) for problem in problems])
    notes = list(read.notes)
    if kind == "rtept":
        notes.append("no track in the file: its route was read, straight from point to point")
    if read.bad_times:
        notes.append(f"times that could not be read: {read.bad_times}; a plan does not need them")
    ends = np.cumsum([len(piece) for piece in pieces])[:-1]
    parts = [_piece(piece, part) for piece, part in zip(pieces, np.split(lines, ends), strict=True) if piece]
    return joined(parts, str(path), notes)


class _Recorded(NamedTuple):
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    time_s: float


@dataclass
class _Contents:
    """What a GPX file holds that a route needs."""

    track_pieces: list[list[_Recorded]] = field(default_factory=list)
    route_pieces: list[list[_Recorded]] = field(default_factory=list)
    waypoint_count: int = 0
    bad_times: int = 0
    notes: list[str] = field(default_factory=list)


def _piece(points: list[_Recorded], lines: Indices) -> Track:
    latitude, longitude, elevation, time = zip(*points, strict=True)
    return track_of(latitude, longitude, elevation, time_s=time, line=lines)


def _contents(path: Path, content: bytes) -> _Contents:
    """Read the file element by element, building nothing of it but its points."""
    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import DefusedXMLParser

    collector = _Collector()
    parser: Any = DefusedXMLParser(target=collector, forbid_dtd=True)
    try:
        parser.feed(content)
        read = parser.close()
    except DefusedXmlException:
        problem = Problem(
            "the file holds a document type or entities, which a track never needs: refused",
            mend="export the track again, or delete the <!DOCTYPE ...> part",
            line=content[: max(content.find(b"<!"), 0)].count(b"\n") + 1,
        )
    except (ParseError, ValueError, LookupError) as error:
        problem = Problem(
            "the file is not well-formed XML",
            read=str(error).split(":", maxsplit=1)[0],
            mend="the file was cut off or damaged: export it again",
            line=error.position[0] if isinstance(error, ParseError) else None,
        )
    else:
        space, _, name = collector.root.rpartition("}")
        if name == "gpx":
            read.notes.extend(_namespace_notes(space.lstrip("{")))
            return read
        problem = Problem(
            "this is not a GPX file",
            read=f"<{name}>",
            allowed="a file that begins with <gpx>",
            mend="export the track as GPX 1.1",
        )
    raise TrackError(problem.at(file=path))


class _Collector:
    """What the parser tells of the file as it reads: points, and where a piece closes."""

    def __init__(self) -> None:
        self.root = ""
        self._read = _Contents()
        self._piece: list[_Recorded] = []
        self._place: tuple[float, float] | None = None
        self._elevation_m = self._time_s = math.nan
        self._depth = 0  # inside the point
        self._text: list[str] | None = None  # of a height or time, while it is open
        self._names: dict[str, str] = {}

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = self._names.get(tag) or self._names.setdefault(tag, tag.rpartition("}")[2])
        self.root = self.root or tag
        if self._place is not None:
            self._depth += 1
            self._text = [] if self._depth == 1 and name in ("ele", "time") else None
        elif name in ("trkpt", "rtept"):
            self._place = _number(attributes.get("lat")), _number(attributes.get("lon"))
            self._elevation_m = self._time_s = math.nan
            self._depth = 0

    def data(self, text: str) -> None:
        if self._text is not None:
            self._text.append(text)

    def end(self, tag: str) -> None:
        name = self._names[tag]
        if self._place is not None and self._depth > 0:
            if self._text is not None:
                self._field(name, "".join(self._text))
                self._text = None
            self._depth -= 1
        elif self._place is not None:
            self._piece.append(_Recorded(*self._place, self._elevation_m, self._time_s))
            self._place = None
        elif name in ("trkseg", "rte"):
            (self._read.track_pieces if name == "trkseg" else self._read.route_pieces).append(self._piece)
            self._piece = []
        elif name == "wpt":
            self._read.waypoint_count += 1

    def close(self) -> _Contents:
        """Everything read; called by the parser at the end of a whole file."""
        if self._piece:  # points outside any segment
            self._read.track_pieces.append(self._piece)
        return self._read

    def _field(self, name: str, text: str) -> None:
        if name == "ele":
            self._elevation_m = _number(text)
        else:
            self._time_s = _seconds(text)
            self._read.bad_times += math.isnan(self._time_s)


def _number(text: str | None) -> float:
    """A finite number, or NaN."""
    try:
        value = float(text) if text is not None else math.nan
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


def _seconds(text: str) -> float:
    """An ISO 8601 time as seconds since 1970; a time without a zone is UTC, as GPX wants it. NaN if unreadable."""
    try:
        moment = datetime.fromisoformat(text.strip())
        return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return math.nan


def _namespace_notes(space: str) -> list[str]:
    if space == GPX_1_1:
        return []
    if space == GPX_1_0:
        return ["the file is GPX 1.0, not 1.1: read all the same"]
    return ["the file does not name the GPX 1.1 namespace: read all the same"]


def _point_lines(content: bytes, kind: str, count: int) -> Indices:
    """The line each point stands on; 0 for all where the text does not tell (a comment that holds points)."""
    starts = [match.start() for match in POINT.finditer(content) if match[1] == kind.encode()]
    if len(starts) != count:
        return np.zeros(count, dtype=np.int64)
    breaks = np.flatnonzero(np.frombuffer(content, dtype=np.uint8) == ord("\n"))
    return np.searchsorted(breaks, starts).astype(np.int64) + 1


def _point_problems(points: list[_Recorded], lines: Indices) -> list[Problem]:
    bad = [i for i, point in enumerate(points) if math.isnan(point.latitude_deg) or math.isnan(point.longitude_deg)]
    problems = [
        Problem(
            f"point {i + 1} has no position",
            allowed='lat="46.5" lon="-113.4"',
            mend="delete the point, or export the track again",
            line=int(lines[i]) or None,
        )
        for i in bad[:BAD_POINTS_SHOWN]
    ]
    if len(bad) > BAD_POINTS_SHOWN:
        problems.append(Problem(f"and {counted(len(bad) - BAD_POINTS_SHOWN, 'more point')} like that"))
    return problems


def _no_points(waypoint_count: int) -> Problem:
    if waypoint_count:
        return Problem(
            "the file has no track and no route",
            read=f"{counted(waypoint_count, 'waypoint')} only",
            mend="export the track itself, or type the legs in the trip file",
        )
    return Problem("the file has no points", mend="export the track again")
