"""A new trip from a track: made whole or not at all, and no name or file from outside leads anywhere."""

from __future__ import annotations

import datetime as dt
import shutil
import tomllib
from pathlib import Path

import pytest

from handline.trip.reading import read_trip
from handline.trip.starter import next_saturday
from handline.web.new_trip import slug
from tests.web.forms import form_in, send, send_file, words
from tests.web.opened_table import EXAMPLES, OpenTable, open_table

NEW = "/trips/new"
TRACK = (EXAMPLES / "petrel-slab" / "track.gpx").read_bytes()
GOOD = {
    "trip.name": "Heron Slab in spring",
    "trip.date": "2027-09-04",
    "party.size": "3",
    "line.length": "70 m",
    "line.angle": "41 deg",
    "tethers.chosen": "absorbing lanyard",
    "trip.units": "us",
}
LAUGHS = b"""<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">
<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]><gpx><trk><name>&c;</name></trk></gpx>"""
OUTSIDE = b"""<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]>
<gpx><trk><name>&a;</name></trk></gpx>"""


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with open_table(tmp_path_factory.mktemp("around") / "trips") as one:
        yield one


@pytest.fixture(autouse=True)
def empty(table: OpenTable):
    """An empty folder before each test, and nothing beside it after."""
    for entry in table.folder.iterdir():
        shutil.rmtree(entry) if entry.is_dir() and not entry.is_symlink() else entry.unlink()
    yield
    assert [entry.name for entry in table.folder.parent.iterdir()] == ["trips"]


def typed(**changed: str) -> list[tuple[str, str]]:
    return list({**GOOD, **{key.replace("__", "."): value for key, value in changed.items()}}.items())


def made(table: OpenTable) -> list[str]:
    return sorted(path.relative_to(table.folder).as_posix() for path in table.folder.rglob("*") if path.is_file())


def test_a_trip_is_made_from_a_track(table):
    answer = send_file(table, NEW, typed(), "My Track (3).GPX", TRACK)
    assert (answer.status, answer.headers["location"]) == (303, "/trips/heron-slab-in-spring/edit?said=made")
    assert made(table) == ["heron-slab-in-spring/track.gpx", "heron-slab-in-spring/trip.toml"]
    assert (table.folder / "heron-slab-in-spring" / "track.gpx").read_bytes() == TRACK
    trip = read_trip(table.folder / "heron-slab-in-spring" / "trip.toml")
    assert (trip.about.name, trip.about.date, trip.about.units) == ("Heron Slab in spring", dt.date(2027, 9, 4), "us")
    assert (trip.party.size, trip.line.length_m, trip.tethers.chosen) == (3, 70.0, "absorbing lanyard")
    assert table.ask(answer.headers["location"]).status == 200


def test_the_empty_form_offers_the_next_saturday_and_nothing_made_up(table):
    assert "again" not in words(table.ask(NEW))
    form = form_in(table.ask(NEW), NEW)
    assert form.value("trip.date") == next_saturday(dt.date.today()).isoformat()
    assert {form.value(key) for key in ("trip.name", "party.size", "line.length", "line.angle")} == {""}


@pytest.mark.parametrize(
    ("today", "saturday"), [("2026-11-27", "2026-11-28"), ("2026-11-28", "2026-12-05"), ("2026-11-29", "2026-12-05")]
)
def test_the_next_saturday(today, saturday):
    assert next_saturday(dt.date.fromisoformat(today)).isoformat() == saturday


def test_nothing_is_written_over_and_a_number_is_added(table):
    for name in ("heron-slab-in-spring", "heron-slab-in-spring-2", "heron-slab-in-spring-3"):
        answer = send_file(table, NEW, typed(), "a.gpx", TRACK)
        assert answer.headers["location"] == f"/trips/{name}/edit?said=made"
    assert len(made(table)) == 6


def test_a_trip_without_a_track_begins_with_legs(table):
    answer = send(table, NEW, typed(no_track="yes", route__latitude="-42.05", route__longitude="146.3"))
    assert answer.status == 303
    trip = tomllib.loads((table.folder / "heron-slab-in-spring" / "trip.toml").read_text())
    assert (trip["route"]["latitude"], len(trip["route"]["legs"])) == (-42.05, 3)
    assert made(table) == ["heron-slab-in-spring/trip.toml"]


def test_without_a_track_it_must_be_said_and_where_the_day_is(table):
    answer = send(table, NEW, typed())
    assert answer.status == 422
    assert "no track was chosen" in words(answer).lower()
    answer = send(table, NEW, typed(no_track="yes"))
    assert answer.status == 422
    assert 'id="wrong-route-latitude"><p>This is needed.' in answer.text
    assert made(table) == []


def test_every_problem_at_once_beside_its_field_and_everything_kept(table):
    wrong = {"trip__name": "", "trip__date": "soon", "party__size": "99", "line__length": "70", "line__angle": "x<y"}
    answer = send_file(table, NEW, typed(**wrong), "a.gpx", TRACK)
    assert (answer.status, made(table)) == (422, [])
    assert 'id="wrong-trip-name"><p>This is needed.' in answer.text
    answer = send_file(table, NEW, typed(**{**wrong, "trip__name": "A"}), "a.gpx", TRACK)
    form = form_in(answer, NEW)
    assert (form.value("trip.date"), form.value("party.size"), form.value("line.angle")) == ("soon", "99", "x<y")
    for key, said in (("trip-date", "not a date"), ("party-size", "too large"), ("line-length", "no unit")):
        assert said in answer.text.split(f'id="wrong-{key}">')[1].split("</div>")[0]
    assert "The track has to be chosen again" in words(answer)
    assert 'aria-describedby="help-track again-track wrong-track"' in answer.text
    assert "Choose the track again" in answer.text.split('id="track"')[1].split('name="no_track"')[0]
    assert made(table) == []
    assert list(table.folder.iterdir()) == []


@pytest.mark.parametrize("track", [None, ("track.kml", TRACK), ("cut.gpx", TRACK[:2000])])
def test_fields_are_checked_whatever_is_wrong_with_the_track(table, track):
    wrong = typed(trip__name="", trip__date="2027-02-30", party__size="99", line__length="70", line__angle="95 deg")
    answer = send(table, NEW, wrong) if track is None else send_file(table, NEW, wrong, *track)
    assert (answer.status, made(table)) == (422, [])
    said = (("track", "."), ("trip-name", "is needed"), ("trip-date", "no such day"), ("party-size", "too large"),
            ("line-length", "no unit"), ("line-angle", "too large"))  # fmt: skip
    for key, what in said:
        assert what in answer.text.split(f'id="wrong-{key}">')[1].split("</div>")[0]
    assert "6 things to mend" in words(answer)
    assert "in quotes" not in answer.text


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("laughs.gpx", LAUGHS, "document type or entities"),
        ("outside.gpx", OUTSIDE, "document type or entities"),
        ("cut.gpx", TRACK[:2000], "not well-formed"),
        ("empty.gpx", b"", "empty"),
        ("words.gpx", b"hello", "not well-formed"),
        ("other.gpx", b"<kml></kml>", "not a GPX file"),
        ("none.gpx", b'<gpx xmlns="http://www.topografix.com/GPX/1/1"></gpx>', "no points"),
        ("track.kml", TRACK, "not one of a track file"),
        ("track", TRACK, "not one of a track file"),
        ("..", TRACK, "not one of a track file"),
        ("track.geojson", TRACK, "JSON"),
    ],
)
def test_a_track_that_is_none_is_refused_and_nothing_is_made(table, name, content, said):
    answer = send_file(table, NEW, typed(), name, content)
    assert answer.status == 422
    assert said in answer.text.split('id="wrong-track">')[1].split("</div>")[0]
    assert list(table.folder.iterdir()) == []
    assert str(table.folder) not in answer.text
    assert "/tmp" not in answer.text
    assert "haha" not in answer.text


@pytest.mark.parametrize(
    "name", ["../../evil.gpx", "/etc/passwd.gpx", "..\\\\evil.gpx", "trip.toml.gpx", ".gpx.gpx", "a\x00b.gpx", "é.gpx"]
)
def test_the_name_of_a_file_leads_nowhere(table, name):
    answer = send_file(table, NEW, typed(), name, TRACK)
    if answer.status == 303:
        assert made(table) == ["heron-slab-in-spring/track.gpx", "heron-slab-in-spring/trip.toml"]
    else:
        assert (answer.status, made(table)) == (422, [])


@pytest.mark.parametrize(
    ("name", "folder"),
    [
        ("../../etc", "etc"),
        ("/root", "root"),
        ("..", "trip"),
        (".hidden", "hidden"),
        ("Über den Grat", "uber-den-grat"),
        ("日本", "trip"),
        ('a"b\\c', "a-b-c"),
        ("x" * 75, "x" * 40),
        ("-" * 10, "trip"),
        ("con/trip.toml", "con-trip-toml"),
    ],
)
def test_a_name_makes_one_plain_folder_inside(table, name, folder):
    assert slug(name) == folder
    assert send_file(table, NEW, typed(trip__name=name), "a.gpx", TRACK).status == 303
    assert made(table) == [f"{folder}/track.gpx", f"{folder}/trip.toml"]
    assert read_trip(table.folder / folder / "trip.toml").about.name == name


@pytest.mark.parametrize("name", ["x" * 81, "a\x7fb", "a\x00b"])
def test_a_name_that_no_trip_can_have_is_refused(table, name):
    answer = send_file(table, NEW, typed(trip__name=name), "a.gpx", TRACK)
    assert (answer.status, list(table.folder.iterdir())) == (422, [])


def test_a_link_of_the_new_name_is_not_followed(table, tmp_path):
    (table.folder / "heron-slab-in-spring").symlink_to(tmp_path)
    answer = send_file(table, NEW, typed(), "a.gpx", TRACK)
    assert answer.headers["location"] == "/trips/heron-slab-in-spring-2/edit?said=made"
    assert list(tmp_path.iterdir()) == []


def test_two_files_are_refused(table):
    boundary = "xyz"
    part = f'--{boundary}\r\nContent-Disposition: form-data; name="track"; filename="a.gpx"\r\n\r\nx\r\n'.encode()
    answer = table.ask(
        NEW, "POST", part * 2 + f"--{boundary}--\r\n".encode(), Origin=table.address,
        Content_Type=f"multipart/form-data; boundary={boundary}", x_handline_page=table.page_token(),
    )  # fmt: skip
    assert answer.status == 422
    assert "one file" in words(answer)


def test_a_folder_that_cannot_be_written_to_is_said(table, monkeypatch):
    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    answer = send_file(table, NEW, typed(), "a.gpx", TRACK)
    assert answer.status == 507
    assert "Permission denied" in words(answer)


def test_a_disk_that_fills_up_leaves_nothing(table, monkeypatch):
    from handline.errors import OutputError
    from handline.web import new_trip

    def full(files: object) -> None:
        raise OutputError("No space left on device")

    monkeypatch.setattr(new_trip, "write_all_whole", full)
    assert send_file(table, NEW, typed(), "a.gpx", TRACK).status == 507
    assert list(table.folder.iterdir()) == []
