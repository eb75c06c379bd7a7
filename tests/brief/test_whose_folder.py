"""A folder keeps to its trip: what is told of it, who may write over it, and what goes with the old brief."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from handline.brief.whose_folder import MANIFEST_NAME, held_in, refuse_another_trip, trip_from, write_to
from handline.day.plan import Plan
from handline.errors import OutputError
from tests.brief.written_plans import typed

FILES = {"brief.html": b"page", "plan.gpx": b"map", "tables/legs.csv": b"legs"}
OURS, OTHER = "../trip.toml", "../other.toml"


def _there(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def _plan(name: str = "Three legs") -> Plan:
    return replace(typed(), name=name)


def test_it_tells_whose_the_files_are(tmp_path: Path) -> None:
    written = write_to(tmp_path / "brief", _plan(), OURS, FILES)
    assert [path.relative_to(tmp_path / "brief").as_posix() for path in written] == [*FILES, MANIFEST_NAME]
    told = json.loads((tmp_path / "brief" / MANIFEST_NAME).read_text(encoding="utf-8"))
    assert told["trip_file"] == OURS
    assert (told["name"], told["date"]) == ("Three legs", "2027-07-17")
    assert told["inputs_sha256"] == typed().provenance.inputs_sha256
    assert told["files"] == list(FILES)
    held = held_in(tmp_path / "brief")
    assert held is not None
    assert held.files == tuple(FILES)


def test_the_same_plan_gives_the_same_bytes_anywhere(tmp_path: Path) -> None:
    """The trip file is seen from the folder: no path of this machine is told."""
    for place in ("here", "there"):
        (tmp_path / place).mkdir()
        folder, trip = tmp_path / place / "brief", tmp_path / place / "trip.toml"
        write_to(folder, _plan(), trip_from(folder, trip), FILES)
    one, other = ((tmp_path / place / "brief" / MANIFEST_NAME).read_bytes() for place in ("here", "there"))
    assert one == other
    assert b'"../trip.toml"' in one


def test_a_folder_and_its_trip_may_move_together(tmp_path: Path) -> None:
    (tmp_path / "here").mkdir()
    folder = tmp_path / "here" / "brief"
    write_to(folder, _plan(), trip_from(folder, tmp_path / "here" / "trip.toml"), FILES)
    (tmp_path / "here").rename(tmp_path / "there")
    moved = tmp_path / "there" / "brief"
    write_to(moved, _plan(), trip_from(moved, tmp_path / "there" / "trip.toml"), FILES)
    assert (moved / "brief.html").read_bytes() == b"page"


def test_links_lead_to_the_same_trip(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    trip = tmp_path / "trip.toml"
    assert trip_from(tmp_path / "link", trip) == trip_from(tmp_path / "real", trip) == "../trip.toml"


def test_the_same_trip_writes_again(tmp_path: Path) -> None:
    write_to(tmp_path, _plan(), OURS, FILES)
    write_to(tmp_path, _plan("Another name"), OURS, FILES | {"brief.html": b"new page"})
    assert (tmp_path / "brief.html").read_bytes() == b"new page"
    held = held_in(tmp_path)
    assert held is not None
    assert held.name == "Another name"


def test_another_trip_is_refused_until_it_is_asked_for(tmp_path: Path) -> None:
    folder = tmp_path / "brief"
    write_to(folder, _plan(), OURS, FILES)
    before = (folder / MANIFEST_NAME).read_bytes()
    with pytest.raises(OutputError) as caught:
        write_to(folder, _plan("Five legs"), OTHER, FILES | {"brief.html": b"theirs"})
    text = str(caught.value)
    assert text.startswith(f"{folder} holds the brief of another trip: Three legs, 2027-07-17\n")
    assert f"planned from: {os.path.realpath(tmp_path / 'trip.toml')}\n" in text
    assert "--out" in text
    assert "--replace" in text
    assert (folder / MANIFEST_NAME).read_bytes() == before
    assert (folder / "brief.html").read_bytes() == b"page"
    write_to(folder, _plan("Five legs"), OTHER, FILES | {"brief.html": b"theirs"}, replace=True)
    assert (folder / "brief.html").read_bytes() == b"theirs"
    with pytest.raises(OutputError, match="Five legs"):
        refuse_another_trip(folder, OURS)


@pytest.mark.parametrize("name", ["brief.html", "tables/legs.csv", MANIFEST_NAME])
def test_files_nobody_told_of_are_refused_until_it_is_asked_for(tmp_path: Path, name: str) -> None:
    (tmp_path / name).parent.mkdir(exist_ok=True)
    (tmp_path / name).write_text("mine")
    with pytest.raises(OutputError, match=f"nothing tells whose they are: {name}\n"):
        write_to(tmp_path, _plan(), OURS, FILES)
    assert (tmp_path / name).read_text() == "mine"
    assert _there(tmp_path) == {name}
    write_to(tmp_path, _plan(), OURS, FILES, replace=True)
    assert _there(tmp_path) == {*FILES, MANIFEST_NAME}


def test_a_file_of_a_name_that_is_new_to_the_brief_is_a_strangers(tmp_path: Path) -> None:
    write_to(tmp_path, _plan(), OURS, FILES)
    (tmp_path / "card.pdf").write_text("mine")
    with pytest.raises(OutputError, match=r"whose they are: card\.pdf\n"):
        write_to(tmp_path, _plan(), OURS, FILES | {"card.pdf": b"card"})
    assert (tmp_path / "card.pdf").read_text() == "mine"


def test_other_files_in_the_folder_stay(tmp_path: Path) -> None:
    for name in ("trip.toml", "line.html"):
        (tmp_path / name).write_text("mine")
    write_to(tmp_path, _plan(), "trip.toml", FILES)
    write_to(tmp_path, _plan(), OTHER, FILES, replace=True)
    assert _there(tmp_path) == {*FILES, MANIFEST_NAME, "trip.toml", "line.html"}


def test_what_is_no_longer_part_of_the_brief_goes(tmp_path: Path) -> None:
    """An old card beside a new page would tell old times."""
    write_to(tmp_path, _plan(), OURS, FILES | {"card.pdf": b"card", "tables/old.csv": b"old"})
    (tmp_path / "tables" / "mine.csv").write_text("mine")
    write_to(tmp_path, _plan(), OURS, FILES)
    assert _there(tmp_path) == {*FILES, MANIFEST_NAME, "tables/mine.csv"}
    (tmp_path / "plan.gpx").unlink()
    write_to(tmp_path, _plan(), OURS, {"brief.html": b"page"})
    assert _there(tmp_path) == {"brief.html", MANIFEST_NAME, "tables/mine.csv"}


def test_what_does_not_go_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_to(tmp_path, _plan(), OURS, FILES | {"card.pdf": b"card"})
    (tmp_path / "card.pdf").unlink()
    (tmp_path / "card.pdf").mkdir()
    with pytest.raises(OutputError, match=r"cannot be removed; their times are old: card\.pdf \(") as caught:
        write_to(tmp_path, _plan(), OURS, FILES | {"brief.html": b"new"})
    assert caught.value.written
    assert (tmp_path / "brief.html").read_bytes() == b"new"


def test_a_list_of_files_does_not_lead_out_of_the_folder(tmp_path: Path) -> None:
    folder, outside = tmp_path / "brief", tmp_path / "precious.txt"
    outside.write_text("mine")
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "too.txt").write_text("mine")
    write_to(folder, _plan(), OURS, FILES)
    (folder / "door").symlink_to(tmp_path / "deep")
    told = json.loads((folder / MANIFEST_NAME).read_text(encoding="utf-8"))
    told["files"] += ["../precious.txt", str(outside), "tables/../../precious.txt", "door/too.txt", "", "."]
    (folder / MANIFEST_NAME).write_text(json.dumps(told), encoding="utf-8")
    write_to(folder, _plan(), OURS, FILES)
    assert outside.read_text() == "mine"
    assert (tmp_path / "deep" / "too.txt").read_text() == "mine"


@pytest.mark.parametrize(
    "content",
    [
        "",
        "[]",
        "null",
        "{}",
        '{"what": "something else"}',
        "\udc80".encode("utf-8", "surrogateescape").decode("latin-1"),
    ],
)
def test_a_file_of_that_name_that_tells_nothing_is_a_strangers(tmp_path: Path, content: str) -> None:
    (tmp_path / MANIFEST_NAME).write_text(content, encoding="latin-1")
    assert held_in(tmp_path) is None
    refuse_another_trip(tmp_path, OURS)
    with pytest.raises(OutputError, match=MANIFEST_NAME):
        write_to(tmp_path, _plan(), OURS, FILES)


@pytest.mark.parametrize("key", ["trip_file", "name", "files"])
def test_a_list_that_was_changed_by_hand_tells_nothing(tmp_path: Path, key: str) -> None:
    write_to(tmp_path, _plan(), OURS, FILES)
    told = json.loads((tmp_path / MANIFEST_NAME).read_text(encoding="utf-8"))
    told[key] = [7] if key == "files" else 7
    (tmp_path / MANIFEST_NAME).write_text(json.dumps(told), encoding="utf-8")
    assert held_in(tmp_path) is None


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "brief").write_text("mine")
    for replaced in (False, True):
        with pytest.raises(OutputError, match="brief"):
            write_to(tmp_path / "brief", _plan(), OURS, FILES, replace=replaced)
    with pytest.raises(OutputError, match="it is a file"):
        refuse_another_trip(tmp_path / "brief", OURS)
    assert (tmp_path / "brief").read_text() == "mine"
