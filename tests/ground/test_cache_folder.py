"""Where the cache is follows the user's settings."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.cache_folder import CACHE_VARIABLE, cache_folder


def test_it_follows_the_users_settings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "own"))
    assert cache_folder() == tmp_path / "own"
    monkeypatch.delenv(CACHE_VARIABLE)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache_folder() == tmp_path / "handline"
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert cache_folder() == tmp_path / ".cache" / "handline"
