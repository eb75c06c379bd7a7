"""What ``handline plan`` leaves in its folder, how it says so, and how it refuses a folder that is another trip's."""

from __future__ import annotations

import errno
import json
import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

import gpxpy
import pytest
from click.testing import CliRunner, Result

from handline.cli import main
from tests.day.trips import LEGS

TRIP = LEGS.format(
    days=200, seed=1, route="", line="", party="", tether="absorbing lanyard", wait="5 min", crowd="", rock="dry",
    weather='storm_chance = "20 %"', limits="",
)  # fmt: skip
PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20"/></svg>'


class _Apart:
    """In place of the process that draws: pictures in no time, for they are looked at elsewhere."""

    def __enter__(self) -> Any:
        return lambda specs: iter([PICTURE] * len(specs))

    def __exit__(self, *_: object) -> None: ...


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("handline.brief.stills.drawing_apart", _Apart)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with two trips."""
    (tmp_path / "trip.toml").write_text(TRIP, encoding="utf-8")
    (tmp_path / "other.toml").write_text(TRIP.replace('"Three legs"', '"Other legs"'), encoding="utf-8")
    return tmp_path


@pytest.fixture(scope="module")
def planned_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with the first of them planned."""
    folder = tmp_path_factory.mktemp("planned")
    (folder / "trip.toml").write_text(TRIP, encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("handline.brief.stills.drawing_apart", _Apart)
        result = _plan(folder)
    assert result.exit_code in (0, 1), result.output
    (folder / "said.txt").write_text(result.output, encoding="utf-8")
    return folder


@pytest.fixture
def planned(planned_once: Path, folder: Path) -> Path:
    shutil.copytree(planned_once / "out", folder / "out")
    return folder


def _plan(folder: Path, *more: str, trip: str = "trip.toml") -> Result:
    result = CliRunner().invoke(main, ["plan", str(folder / trip), "--out", str(folder / "out"), *more])
    assert isinstance(result.exception, SystemExit | None), result.exception
    return result


def _words(text: str) -> str:
    return " ".join(text.split())


def _there(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def _fails(code: int) -> Any:
    def fail(*_: Any, **__: Any) -> None:
        raise OSError(code, os.strerror(code))

    return fail


def test_the_files_are_there_and_said(planned_once: Path) -> None:
    there = _there(planned_once / "out")
    words = _words((planned_once / "said.txt").read_text(encoding="utf-8"))
    assert f"Brief: {planned_once / 'out'}" in words
    for name in ("brief.html", "card.pdf", "home.pdf", "plan.gpx", "plan.ics", "plan.json"):
        assert f"{name} " in words
        assert there[name]
    tables = [name for name in there if name.startswith("tables/")]
    assert f"tables/, {len(tables)} of them, for a spreadsheet." in words
    assert "In plan.gpx there is no track and no place on a map: the legs of this trip are typed" in words
    assert "handline.json" not in words
    assert json.loads(there["handline.json"])["trip_file"] == "../trip.toml"
    assert gpxpy.parse(there["plan.gpx"].decode()).name == "Three legs, 2027-07-17"


def test_the_same_trip_again_gives_the_same_files_and_json_is_the_plan_alone(planned: Path) -> None:
    """The PDFs too: nothing tells when or where they were made."""
    before, folder = _there(planned / "out"), planned
    result = _plan(folder, "--json")
    assert _there(folder / "out") == before
    assert json.loads(result.stdout)["name"] == "Three legs"
    assert (folder / "out" / "plan.json").read_text(encoding="utf-8") == result.stdout


def test_another_trips_folder_is_refused_before_the_work(planned: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = planned
    before = _there(folder / "out")
    with monkeypatch.context() as patch:
        patch.setattr("handline.day.planning.make_plan", _fails(errno.EIO))
        refused = _plan(folder, trip="other.toml")
    assert refused.exit_code == 2
    words = _words(refused.output)
    assert "out holds the brief of another trip: Three legs, 2027-07-17" in words
    assert "name another folder with --out, or write over it with --replace" in words
    assert "Nothing was written." in words
    assert _there(folder / "out") == before
    assert _plan(folder, "--replace", trip="other.toml").exit_code in (0, 1)
    assert json.loads(_there(folder / "out")["handline.json"])["name"] == "Other legs"
    assert _plan(folder).exit_code == 2


def test_files_that_nobody_told_of_are_refused(folder: Path) -> None:
    (folder / "out").mkdir()
    (folder / "out" / "plan.gpx").write_text("mine")
    refused = _plan(folder)
    assert refused.exit_code == 2
    assert "nothing tells whose they are: plan.gpx" in _words(refused.output)
    assert _there(folder / "out") == {"plan.gpx": b"mine"}


def test_a_file_where_the_folder_should_be(folder: Path) -> None:
    (folder / "out").write_text("mine")
    for more in ((), ("--replace",)):
        refused = _plan(folder, *more)
        assert refused.exit_code == 2
        assert "Nothing was written." in refused.output
    assert (folder / "out").read_text() == "mine"


@pytest.mark.parametrize(
    ("where", "step", "code"),
    [(tempfile, "mkstemp", errno.EACCES), (os, "fsync", errno.ENOSPC), (os, "replace", errno.EROFS)],
)
def test_what_cannot_be_written_leaves_nothing(
    planned: Path, monkeypatch: pytest.MonkeyPatch, where: Any, step: str, code: int
) -> None:
    """A folder that may not be written to, a full disk, one that turned read-only."""
    before, folder = _there(planned / "out"), planned
    (folder / "trip.toml").write_text(TRIP.replace("2027-07-17", "2027-07-18"), encoding="utf-8")
    monkeypatch.setattr(where, step, _fails(code))
    refused = _plan(folder)
    assert refused.exit_code == 2
    assert os.strerror(code) in refused.output
    assert "Nothing was written." in refused.output
    assert _there(folder / "out") == before


def test_what_was_written_is_not_denied(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All files are on the disk beside their places when one of them, at last, may not take its own."""
    replace = os.replace

    def fail_late(part: str, target: Path) -> None:
        if Path(target).name == "plan.ics":
            raise OSError(errno.EPERM, os.strerror(errno.EPERM))
        replace(part, target)

    monkeypatch.setattr(os, "replace", fail_late)
    refused = _plan(folder)
    assert refused.exit_code == 2
    assert "new: handline.json, brief.html, card.pdf, home.pdf, plan.gpx" in refused.output
    assert "as before: plan.ics, plan.json, tables/about.csv" in refused.output
    assert "Nothing was written." not in refused.output
    assert not [name for name in _there(folder / "out") if name.endswith(".part")]
    # The next try finds its own folder.
    monkeypatch.setattr(os, "replace", replace)
    assert _plan(folder).exit_code in (0, 1)
