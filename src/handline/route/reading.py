"""Which reader reads which track file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from handline.errors import Problem, TrackError
from handline.route.geojson import read_geojson
from handline.route.gpx import read_gpx
from handline.route.track import Track

READERS: Mapping[str, Callable[[Path], Track]] = MappingProxyType(
    {".gpx": read_gpx, ".geojson": read_geojson, ".json": read_geojson}
)


def read_track(path: Path) -> Track:
    """The track in a GPX or GeoJSON file, chosen by the ending of its name.

    Raises
    ------
    TrackError
        An ending we do not know, or whatever the reader refuses.
    """
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        raise TrackError(
            Problem(
                "this ending is not one of a track file",
                read=path.suffix or "no ending",
                allowed=", ".join(READERS),
                mend="export the track as GPX 1.1",
                file=str(path),
            )
        )
    return reader(path)
