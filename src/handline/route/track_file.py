"""The bytes of a track file, if it is one we dare to open."""

from __future__ import annotations

from pathlib import Path

from handline.errors import Problem, TrackError

SIZE_LIMIT_BYTES = 50_000_000
# Of points that are none, so many are told one by one.
BAD_POINTS_SHOWN = 3


def track_bytes(path: Path) -> bytes:
    """The content of the file.

    Raises
    ------
    TrackError
        There is no such file, it is a folder, it may not be read, it is empty, or it is larger than the limit.
    """
    try:
        size = path.stat().st_size
        if path.is_dir():
            problem = Problem("this is a folder, not a track file", mend="name the file inside it")
        elif size > SIZE_LIMIT_BYTES:
            problem = Problem(
                "the track file is too large",
                read=f"{size / 1e6:.0f} MB",
                allowed=f"up to {SIZE_LIMIT_BYTES / 1e6:.0f} MB",
                mend="keep only the track of this day, or thin its points",
            )
        elif size == 0:
            problem = Problem("the track file is empty", mend="export the track again")
        else:
            return path.read_bytes()
    except FileNotFoundError:
        problem = Problem("there is no such track file", mend=_nearby(path))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        problem = Problem("the track file cannot be read", read=reason, mend="check its name and who may read it")
    raise TrackError(problem.at(file=path))


def _nearby(path: Path) -> str:
    """What to do about a missing file: the track files in its folder, if there are any."""
    try:
        found = sorted(other.name for other in path.parent.iterdir() if other.suffix.lower() in {".gpx", ".geojson"})
    except OSError:
        return f"there is no folder {path.parent} either: check the path"
    if not found:
        return f"put it into {path.parent}, or correct the name"
    return f"correct the name; that folder has {', '.join(found[:5])}"
