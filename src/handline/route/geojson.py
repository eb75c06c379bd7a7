"""Reading a line from GeoJSON.

Sources: geojson_rfc_7946.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import numpy as np

from handline.errors import Problem, TrackError
from handline.route.counted import counted
from handline.route.joining import joined
from handline.route.track import Track, track_of
from handline.route.track_file import BAD_POINTS_SHOWN, track_bytes

LINES = ("LineString", "MultiLineString")


def read_geojson(path: Path) -> Track:
    """The one line of a GeoJSON file: a LineString, or a MultiLineString whose parts are joined, and said.

    The line may stand alone, in a Feature, or in a FeatureCollection or GeometryCollection with no other line.
    Positions are longitude, latitude and, if given, height in metres.

    Raises
    ------
    TrackError
        The file cannot be read, is not JSON, is not GeoJSON, has no line or several, or has positions that are none.

    Notes
    -----
    Sources: geojson_rfc_7946.
    """
    content = track_bytes(path)
    lines = _lines_in(_parsed(path, content))
    if len(lines) != 1:
        raise TrackError(
            Problem(
                "the file has no line" if not lines else "the file has several lines",
                read=f"{len(lines)} lines",
                allowed=f"one {' or '.join(LINES)}",
                mend="keep only the line of the route",
                file=str(path),
            )
        )
    coordinates = lines[0].get("coordinates")
    parts = coordinates if lines[0]["type"] == "MultiLineString" else [coordinates]
    if not isinstance(parts, list) or not all(isinstance(part, list) for part in parts):
        raise TrackError(Problem("the line has no list of coordinates", file=str(path), key="coordinates"))
    pieces = _pieces(path, parts)
    if not pieces:
        raise TrackError(Problem("the line has no points", mend="export the track again", file=str(path)))
    return joined(pieces, str(path))


def _parsed(path: Path, content: bytes) -> Any:
    try:
        return json.loads(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        problem = Problem("the file is not UTF-8 text", mend="export it again as GeoJSON")
    except json.JSONDecodeError as error:
        problem = Problem("the file is not JSON", read=error.msg, mend="export it again as GeoJSON", line=error.lineno)
    except (RecursionError, ValueError):
        problem = Problem("the file is not sensible JSON", mend="export it again as GeoJSON")
    raise TrackError(problem.at(file=path))


def _lines_in(element: Any) -> list[dict[str, Any]]:
    """Every line geometry inside a GeoJSON object, in order."""
    found: list[dict[str, Any]] = []
    waiting = [element]
    while waiting:
        part = waiting.pop(0)
        if not isinstance(part, dict):
            continue
        kind = part.get("type")
        if kind in LINES:
            found.append(part)
        elif kind == "Feature":
            waiting.append(part.get("geometry"))
        elif kind in ("FeatureCollection", "GeometryCollection"):
            members = part.get("features" if kind == "FeatureCollection" else "geometries")
            waiting.extend(members if isinstance(members, list) else [])
    return found


def _pieces(path: Path, parts: list[list[Any]]) -> list[Track]:
    pieces, problems = [], []
    for part in parts:
        positions = [_position(position) for position in part]
        for number, (position, read) in enumerate(zip(positions, part, strict=True), start=1):
            if position is None:
                problems.append(
                    Problem(
                        f"position {number} is not a position",
                        read=json.dumps(read)[:60],
                        allowed="[longitude, latitude] or [longitude, latitude, height in metres]",
                        file=str(path),
                        key="coordinates",
                    )
                )
        sound = np.array([position for position in positions if position is not None], dtype=float).reshape(-1, 3)
        if sound.size:
            pieces.append(track_of(sound[:, 1], sound[:, 0], sound[:, 2]))
    if problems:
        more = len(problems) - BAD_POINTS_SHOWN
        tail = [Problem(f"and {counted(more, 'more position')} like that", file=str(path))] if more > 0 else []
        raise TrackError([*problems[:BAD_POINTS_SHOWN], *tail])
    return pieces


def _position(position: Any) -> tuple[float, float, float] | None:
    """Longitude, latitude, height (NaN where there is none), or None if that is not a position."""
    if not isinstance(position, list) or len(position) < 2:
        return None
    if not all(isinstance(value, int | float) and not isinstance(value, bool) for value in position[:2]):
        return None
    height = position[2] if len(position) > 2 else None
    if height is not None and (isinstance(height, bool) or not isinstance(height, int | float)):
        return None
    try:
        longitude, latitude = float(position[0]), float(position[1])
        height_m = math.nan if height is None else float(height)
    except OverflowError:
        return None
    if not (math.isfinite(longitude) and math.isfinite(latitude)):
        return None
    return longitude, latitude, height_m if math.isfinite(height_m) else math.nan
