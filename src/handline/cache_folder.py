"""Where Handline keeps what is slow to make or was fetched: it may be thrown away at any time."""

from __future__ import annotations

import os
from pathlib import Path

from handline import __version__

CACHE_VARIABLE = "HANDLINE_CACHE"


def cache_folder() -> Path:
    """``HANDLINE_CACHE``, else handline's part of the user's cache folder.

    Whoever has no home has no such folder: then it is one that nothing can be kept in.
    """
    named = os.environ.get(CACHE_VARIABLE)
    if named:
        return Path(named)
    users = os.environ.get("XDG_CACHE_HOME")
    try:
        return (Path(users) if users else Path.home() / ".cache") / "handline"
    except RuntimeError:
        return Path(os.devnull) / "handline"


def program_stamp() -> str:
    """What stands for the program as it is: its version and when any of its files was last changed.

    What is kept under it is looked at anew by a changed program, a developer's own included.
    """
    # Path.rglob takes four times as long, and every plan asks.
    folders = os.walk(Path(__file__).parent)
    programs = (os.path.join(folder, name) for folder, _, names in folders for name in names if name.endswith(".py"))
    changed_ns = max(os.stat(program).st_mtime_ns for program in programs)
    return f"{__version__} {changed_ns}"
