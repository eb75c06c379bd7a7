from __future__ import annotations

from pathlib import Path

import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.choose import pieces_kept


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of the test's own, under a program that nobody changes meanwhile."""
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(pieces_kept, "program_stamp", lambda: "this program")
    return tmp_path / "cache"
