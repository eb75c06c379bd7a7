"""Which file is opened at all, and by which reader."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.errors import TrackError
from handline.route import track_file
from handline.route.reading import READERS, read_track
from tests.route.tracks import gpx_file

POINTS = '<trk><trkseg><trkpt lat="46" lon="7"/><trkpt lat="46.1" lon="7"/></trkseg></trk>'


def what_is_refused(path: Path) -> str:
    with pytest.raises(TrackError) as refused:
        read_track(path)
    assert refused.value.problems[0].file == str(path)
    return str(refused.value)


def test_the_ending_chooses_the_reader(tmp_path: Path) -> None:
    assert read_track(gpx_file(tmp_path, POINTS)).size == 2
    loud = tmp_path / "TRACK.GPX"
    loud.write_bytes((tmp_path / "track.gpx").read_bytes())
    assert read_track(loud).size == 2
    for ending in (".json", ".geojson"):
        line = tmp_path / f"line{ending}"
        line.write_text('{"type": "LineString", "coordinates": [[7, 46], [7, 46.1]]}', encoding="utf-8")
        assert read_track(line).size == 2


def test_an_unknown_ending_lists_the_known_ones(tmp_path: Path) -> None:
    text = what_is_refused(tmp_path / "track.xlsx")
    assert ".xlsx" in text
    assert all(ending in text for ending in READERS)


def test_a_missing_file_names_its_neighbours(tmp_path: Path) -> None:
    gpx_file(tmp_path, POINTS)
    text = what_is_refused(tmp_path / "trak.gpx")
    assert "there is no such track file" in text
    assert "that folder has track.gpx" in text
    assert "there is no folder" in what_is_refused(tmp_path / "nowhere" / "track.gpx")


def test_an_empty_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    (tmp_path / "empty.gpx").touch()
    assert "empty" in what_is_refused(tmp_path / "empty.gpx")
    (tmp_path / "folder.gpx").mkdir()
    assert "folder" in what_is_refused(tmp_path / "folder.gpx")
    assert "cannot be read" in what_is_refused(tmp_path / "nul\0.gpx")


def test_the_size_limit_is_held_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = gpx_file(tmp_path, POINTS)
    monkeypatch.setattr(track_file, "SIZE_LIMIT_BYTES", path.stat().st_size)
    assert read_track(path).size == 2
    monkeypatch.setattr(track_file, "SIZE_LIMIT_BYTES", path.stat().st_size - 1)
    assert "too large" in what_is_refused(path)


def test_the_size_limit_is_fifty_megabytes() -> None:
    assert track_file.SIZE_LIMIT_BYTES == 50_000_000
