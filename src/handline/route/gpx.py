"""Reading GPX 1.1 tracks and routes.

Files come from strangers: a DTD, an entity or an outside reference is refused, and so is a file over the size limit.
Sources: gpx_1_1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple
from xml.etree.ElementTree import ParseError

from handline.errors import Problem, TrackError

from .joining import joined
from .track import Track, track_of
from .track_file import track_bytes

if TYPE_CHECKING:
    from collections.abc import Callable

GPX_1_1 = "http://www.topografix.com/GPX/1/1"
GPX_1_0 = "http://www.topografix.com/GPX/1/0"
CHUNK_BYTES = 1 << 16
BAD_POINTS_SHOWN = 3


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
    reader = _parsed(path, content)
    pieces, what = (reader.track_pieces, "track") if any(reader.track_pieces) else (reader.route_pieces, "route")
    problems = [problem.at(file=path) for problem in reader.problems[:BAD_POINTS_SHOWN]]
    if len(reader.problems) > BAD_POINTS_SHOWN:
        problems.append(Problem(f"and {len(reader.problems) - BAD_POINTS_SHOWN} more points like these", file=str(path)))
    if not problems and not any(pieces):
        problems.append(_no_points(reader.waypoint_count).at(file=path))
    if problems:
        raise TrackError(problems)
    notes = list(reader.notes)
    if what == "route":
        notes.append("no track in the file: its route was read, straight from point to point")
    if reader.bad_times:
        notes.append(f"{reader.bad_times} times could not be read; they are not needed for a plan")
    return joined([_piece(points) for points in pieces if points], str(path), notes)


def _no_points(waypoint_count: int) -> Problem:
    if waypoint_count:
        return Problem(
            "the file has no track and no route",
            read=f"{waypoint_count} waypoints only",
            mend="export the track itself, or type the legs in the trip file",
        )
    return Problem("the file has no points", mend="export the track again")


class _Recorded(NamedTuple):
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    time_s: float
    line: int


def _piece(points: list[_Recorded]) -> Track:
    return track_of(
        [point.latitude_deg for point in points],
        [point.longitude_deg for point in points],
        [point.elevation_m for point in points],
        time_s=[point.time_s for point in points],
        line=[point.line for point in points],
    )


def _parsed(path: Path, content: bytes) -> _GpxReader:
    """Feed the file through a hardened parser into a reader."""
    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import XMLParser

    reader = _GpxReader()
    parser: Any = XMLParser(target=reader, forbid_dtd=True, forbid_entities=True, forbid_external=True)
    expat = parser.parser
    reader.line_number = lambda: int(expat.CurrentLineNumber)
    try:
        for start in range(0, len(content), CHUNK_BYTES):
            parser.feed(content[start : start + CHUNK_BYTES])
        parser.close()
    except DefusedXmlException:
        raise TrackError(
            Problem(
                "the file holds a document type or entities, which a track never needs: refused",
                mend="export the track again, or delete the <!DOCTYPE ...> part",
                file=str(path),
                line=int(expat.CurrentLineNumber),
            )
        ) from None
    except _NotGpxError as error:
        raise TrackError(
            Problem(
                "this is not a GPX file",
                read=f"<{error}>",
                allowed="a file that begins with <gpx>",
                mend="export the track as GPX 1.1",
                file=str(path),
                line=int(expat.CurrentLineNumber),
            )
        ) from None
    except (ParseError, ValueError, LookupError) as error:
        line = error.position[0] if isinstance(error, ParseError) else None
        raise TrackError(
            Problem(
                "the file is not well-formed XML",
                read=str(error).split(":", maxsplit=1)[0],
                mend="the file was cut off or damaged: export it again",
                file=str(path),
                line=line,
            )
        ) from None
    return reader


class _NotGpxError(Exception):
    """The outermost element is not <gpx>."""


def _seconds(text: str) -> float:
    """An ISO 8601 time as seconds since 1970; a time without a zone is UTC, as GPX wants it. NaN if unreadable."""
    try:
        moment = datetime.fromisoformat(text.strip())
        return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return math.nan


def _number(text: str | None) -> float:
    """A finite number, or NaN."""
    try:
        value = float(text) if text is not None else math.nan
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


@dataclass
class _GpxReader:
    """What the XML parser calls, element by element: keeps points, forgets everything else."""

    track_pieces: list[list[_Recorded]] = field(default_factory=list)
    route_pieces: list[list[_Recorded]] = field(default_factory=list)
    waypoint_count: int = 0
    bad_times: int = 0
    notes: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    line_number: Callable[[], int] = lambda: 0
    _depth: int = 0
    _attributes: dict[str, str] = field(default_factory=dict)
    _line: int = 0
    _text: list[str] | None = None
    _elevation_m: float = math.nan
    _time_s: float = math.nan
    _point_depth: int = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        space, _, name = tag.rpartition("}")
        if self._depth == 0:
            self._open_file(space.lstrip("{"), name)
        elif name == "trkseg":
            self.track_pieces.append([])
        elif name == "rte":
            self.route_pieces.append([])
        elif name in ("trkpt", "rtept"):
            self._attributes, self._line, self._point_depth = attributes, self.line_number(), self._depth
            self._elevation_m = self._time_s = math.nan
        elif name == "wpt":
            self.waypoint_count += 1
        elif name in ("ele", "time") and self._point_depth and self._depth == self._point_depth + 1:
            self._text = []
        self._depth += 1

    def data(self, text: str) -> None:
        if self._text is not None:
            self._text.append(text)

    def end(self, tag: str) -> None:
        self._depth -= 1
        name = tag.rpartition("}")[2]
        if self._text is not None and name in ("ele", "time"):
            text, self._text = "".join(self._text), None
            if name == "ele":
                self._elevation_m = _number(text)
            else:
                self._time_s = _seconds(text)
                self.bad_times += math.isnan(self._time_s)
        elif name in ("trkpt", "rtept") and self._depth == self._point_depth:
            self._close_point(self.track_pieces if name == "trkpt" else self.route_pieces)
            self._point_depth = 0

    def close(self) -> None:
        """Nothing is left to do at the end of the file; the parser asks for the method."""

    def _open_file(self, space: str, name: str) -> None:
        if name != "gpx":
            raise _NotGpxError(name)
        if space == GPX_1_0:
            self.notes.append("the file is GPX 1.0, not 1.1: read all the same")
        elif space != GPX_1_1:
            self.notes.append("the file does not name the GPX 1.1 namespace: read all the same")

    def _close_point(self, pieces: list[list[_Recorded]]) -> None:
        latitude, longitude = _number(self._attributes.get("lat")), _number(self._attributes.get("lon"))
        if math.isnan(latitude) or math.isnan(longitude):
            read = " ".join(f'{key}="{value}"' for key, value in self._attributes.items()) or "no lat, no lon"
            self.problems.append(
                Problem("a point has no position", read=read, allowed='lat="46.5" lon="-113.4"', line=self._line)
            )
            return
        if not pieces:
            pieces.append([])
        pieces[-1].append(_Recorded(latitude, longitude, self._elevation_m, self._time_s, self._line))
