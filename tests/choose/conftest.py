from __future__ import annotations

from pathlib import Path

import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.choose import pieces_kept
from tests.choose.small_work import SHARED, Marked


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder of the test's own, under a program that nobody changes meanwhile."""
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(pieces_kept, "program_stamp", lambda: "this program")
    return tmp_path / "cache"


@pytest.fixture
def marked(tmp_path: Path) -> Marked:
    """Work whose pieces leave a mark in a folder, so that a test sees which of them were done."""
    folder = tmp_path / "marks"
    folder.mkdir()
    return Marked(SHARED, str(folder))
