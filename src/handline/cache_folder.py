"""Where Handline keeps what is slow to make or was fetched: it may be thrown away at any time."""

from __future__ import annotations

import os
from pathlib import Path

CACHE_VARIABLE = "HANDLINE_CACHE"


def cache_folder() -> Path:
    """``HANDLINE_CACHE``, else handline's part of the user's cache folder."""
    named = os.environ.get(CACHE_VARIABLE)
    if named:
        return Path(named)
    users = os.environ.get("XDG_CACHE_HOME")
    return (Path(users) if users else Path.home() / ".cache") / "handline"
