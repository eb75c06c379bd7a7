"""The real mountain track: where it lies once fetched, else a skip with the reason.

from tests.real_track import real_track_path
"""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

CACHE = Path(__file__).parents[1] / ".cache" / "real-track"
NAME = "korita-zbevnica.gpx"
SHA256 = "14125bf02a5144dd65c2f7c230fdcd92ed8418242376a4284697f5d1965cb84d"
REQUIRE = "HANDLINE_REQUIRE_TRACK"


def required() -> bool:
    """Whether the real track may not be missing (set where there is a network for certain)."""
    return os.environ.get(REQUIRE) == "1"


def is_the_track(content: bytes) -> bool:
    """Whether these are the bytes of the track, by their hash."""
    return hashlib.sha256(content).hexdigest() == SHA256


def real_track_path() -> Path:
    """The fetched track. Without it the test skips and says why, or fails where the track is required."""
    path = CACHE / NAME
    if not path.is_file():
        reason = "the real track is not here: run tests/fetch_real_track.py with a network"
        if required():
            pytest.fail(reason)
        pytest.skip(reason)
    assert is_the_track(path.read_bytes()), f"{path} is not the file that was fetched: delete it and fetch again"
    return path
