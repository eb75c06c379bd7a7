from __future__ import annotations

from pathlib import Path

import pytest

from tests.web.opened_table import OpenTable, open_table

# Its assertions say what they compared, like those of the tests.
pytest.register_assert_rewrite("tests.web.edited_trip")


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with open_table(tmp_path_factory.mktemp("trips"), ("tamsin-dome", "petrel-slab")) as one:
        yield one


@pytest.fixture
def path(table: OpenTable) -> Path:
    """The trip file, as in the examples after each test."""
    path = table.folder / "tamsin-dome" / "trip.toml"
    before = path.read_bytes()
    yield path
    path.write_bytes(before)
