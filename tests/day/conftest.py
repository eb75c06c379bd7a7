"""A folder for the recordings of one file of tests."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("recordings")
