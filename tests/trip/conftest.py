"""A short trip file, and quick ways to read it changed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from handline.errors import Problem, TripError
from handline.trip.model import Trip
from handline.trip.reading import read_trip_text
from tests.trip.short_trip import SHORT


@pytest.fixture
def short() -> str:
    """The shortest file that plans: a track, a date, a line, a party size."""
    return SHORT


@pytest.fixture
def trip_file(tmp_path: Path) -> Path:
    """A short trip file on the disk, beside its track."""
    (tmp_path / "track.gpx").touch()
    path = tmp_path / "trip.toml"
    path.write_text(SHORT, encoding="utf-8")
    return path


@pytest.fixture
def read(trip_file: Path) -> Callable[[str], Trip]:
    """Read a text as if it stood in the trip file."""
    return lambda text: read_trip_text(text, trip_file)


@pytest.fixture
def problems(read: Callable[[str], Trip]) -> Callable[[str], dict[str | None, Problem]]:
    """The problems of a text by their key."""

    def problems_of(text: str) -> dict[str | None, Problem]:
        with pytest.raises(TripError) as refused:
            read(text)
        found = {problem.key: problem for problem in refused.value.problems}
        assert len(found) == len(refused.value.problems), "two problems at one key"
        return found

    return problems_of
