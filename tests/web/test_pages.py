"""Pages and their JSON twins: the same results as on the command line, and errors in one shape."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import time
import zipfile
from io import BytesIO

import gpxpy
import pytest

from handline.web.folder import TripFolder
from tests.web.opened_table import EXAMPLES, open_table

TRIP = "/trips/petrel-slab"
RESULTS = ("day", "line", "load", "options", "dates?first=2027-01-10&last=2027-01-12&step=3+h", "crowd?people=40")
SHAPE = {"what", "read", "allowed", "mend", "file", "key", "line"}


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with open_table(tmp_path_factory.mktemp("trips") / "open", ("petrel-slab",)) as one:
        yield one


def whole(table, path: str):
    """A page once it is worked out."""
    until_s = time.monotonic() + 120.0
    answer = table.ask(path)
    while answer.status == 202 and time.monotonic() < until_s:
        answer = table.ask(path)
    return answer


def twin(path: str) -> str:
    page, _, query = path.partition("?")
    return f"{page}.json" + (f"?{query}" if query else "")


# --- the same results --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("page", "command"),
    [
        ("day.json", ("plan", "--json", "--replace", "--out")),
        ("line-whole.json", ("line", "--json")),
        ("load.json", ("load", "--json")),
        ("crowd.json?people=40", ("crowd", "--people", "40", "--json")),
        ("options.json", ("options", "--json")),
        ("line-whole.json?mass=95+kg&rock=wet", ("line", "--mass", "95 kg", "--rock", "wet", "--json")),
    ],
)
def test_the_twin_is_what_the_command_line_says(table, tmp_path, page, command):
    name, *options = command
    out = [str(tmp_path / "brief")] if options[-1] == "--out" else []
    trip = str(table.folder / "petrel-slab" / "trip.toml")
    said = subprocess.run(
        [sys.executable, "-m", "handline", name, trip, *options, *out], capture_output=True, check=False, timeout=300
    )
    assert said.returncode in (0, 1), said.stderr.decode()
    assert table.ask(f"{TRIP}/{page}").body == said.stdout


@pytest.mark.parametrize("path", RESULTS)
def test_every_page_has_its_twin_with_the_same_headline(table, path):
    page, told = whole(table, f"{TRIP}/{path}"), table.ask(f"{TRIP}/{twin(path)}")
    assert page.status == told.status == 200
    assert told.headers["content-type"] == "application/json"
    result = told.json
    headline = result["decision"]["headline"] if "decision" in result else result["headline"]
    assert headline in re.sub(r"&#39;|&#34;", "'", page.text)


def test_the_other_twins(table):
    trips = table.ask("/trips.json").json
    assert [(row["name"], row["problems"]) for row in trips] == [("petrel-slab", 0)]
    assert {"key", "title", "kind"} <= table.ask("/sources.json").json[0].keys()
    assert table.ask(f"{TRIP}/edit.json").json["values"]["party.size"] == 4
    assert table.ask("/trips/new.json").json["asked"]["party.size"] is True
    files = {file["name"]: file["bytes"] for file in table.ask(f"{TRIP}/brief.json").json["files"]}
    assert {"brief.html", "card.pdf", "home.pdf", "plan.gpx", "plan.ics", "plan.json"} <= files.keys()
    assert len(table.ask(f"{TRIP}/brief/card.pdf").body) == files["card.pdf"]


@pytest.mark.parametrize("path", ["/trips", "/sources", *(f"{TRIP}/{page}" for page in (*RESULTS, "brief", "edit"))])
def test_every_page_says_what_comes_first_and_never_that_word(table, path):
    text = whole(table, path).text
    assert "The land manager’s rules, local codes, the makers’ instructions and qualified guides come first" in text
    words = re.sub(r"<[^>]+>", " ", text)
    assert not re.search(r"\bsafe(ly|ty)?\b", words, re.IGNORECASE) or path in ("/sources", f"{TRIP}/edit")


def test_files_of_the_brief_are_kept_whole(table):
    gpx = table.ask(f"{TRIP}/brief/plan.gpx")
    assert gpxpy.parse(gpx.text).waypoints
    assert gpx.headers["content-disposition"] == 'attachment; filename="petrel-slab-plan.gpx"'
    archive = zipfile.ZipFile(BytesIO(table.ask(f"{TRIP}/brief/all.zip").body))
    assert archive.testzip() is None
    assert archive.read("plan.gpx") == gpx.body


def test_only_a_brief_that_is_looked_at_may_run_and_as_nobody(table):
    looked = table.ask(f"{TRIP}/brief/brief.html?look").headers["content-security-policy"]
    sandbox, *others = looked.split("; ")
    assert sandbox.split() == ["sandbox", "allow-scripts", "allow-forms"]
    assert others == ["form-action 'none'", "frame-ancestors 'none'"]
    assert "default-src 'none'" in table.ask(f"{TRIP}/brief/brief.html").headers["content-security-policy"]


def test_pictures_are_drawn_when_asked_for(table):
    text = whole(table, f"{TRIP}/day").text
    address = re.search(r'src="(/pictures/[0-9a-f]{32}\.svg)"', text)
    assert address is not None
    picture = table.ask(address[1])
    assert picture.headers["content-type"] == "image/svg+xml"
    assert picture.text.startswith("<svg")
    assert "immutable" in picture.headers["cache-control"]
    assert table.ask("/pictures/" + "0" * 32 + ".svg").status == 404


# --- what is not worked out again --------------------------------------------------------------------------------


def test_asked_again_it_is_not_worked_out_again(tmp_path):
    with open_table(tmp_path / "trips", ("petrel-slab",)) as table:
        first = whole(table, f"{TRIP}/load")
        begun_s = time.perf_counter()
        second = table.ask(f"{TRIP}/load")
        took_s = time.perf_counter() - begun_s
        assert second.status == 200
        assert second.body == first.body
        assert took_s < 5.0
        file = table.folder / "petrel-slab" / "trip.toml"
        file.write_text(file.read_text(encoding="utf-8").replace("size = 4", "size = 3"), encoding="utf-8")
        assert whole(table, f"{TRIP}/load").body != first.body


def test_a_changed_track_is_seen(tmp_path):
    with open_table(tmp_path / "trips", ("petrel-slab",)) as table:
        before = table.ask(f"{TRIP}/day.json").json["route"]["length_m"]
        track = table.folder / "petrel-slab" / "track.gpx"
        text = track.read_text(encoding="utf-8")
        points = re.findall(r"<trkpt.*?</trkpt>", text, re.DOTALL)
        track.write_text(text.replace(points[-1], ""), encoding="utf-8")
        assert table.ask(f"{TRIP}/day.json").json["route"]["length_m"] != before


# --- errors ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "status", "key", "words"),
    [
        ("/trips/nothing/day.json", 404, None, "there is no trip of this name"),
        ("/trips/petrel-slap/day.json", 404, None, "there is no trip of this name"),
        ("/nothing.json", 404, None, "There is no such page"),
        (f"{TRIP}/line.json?mass=heavy", 422, "mass", "this is not a mass"),
        (f"{TRIP}/line.json?rock=slimy", 422, "rock", "unknown state of the rock"),
        (f"{TRIP}/crowd.json", 422, None, "how many"),
        (f"{TRIP}/dates.json?first=2027-13-01", 422, "from", "no such day"),
        (f"{TRIP}/options.json?date=soon", 422, "date", "date"),
    ],
)
def test_errors_have_one_shape(table, path, status, key, words):
    answer = table.ask(path)
    assert answer.status == status
    body = answer.json
    assert body.keys() == {"status", "problems"}
    assert body["status"] == status
    assert body["problems"]
    assert all(problem.keys() == SHAPE for problem in body["problems"])
    assert words in json.dumps(body)
    if key is not None:
        assert body["problems"][0]["key"] == key
    page = whole(table, path.replace(".json", ""))
    assert page.status == status
    assert "Traceback" not in page.text
    assert str(table.folder) not in page.text + answer.text


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("day?start=0430", "hours and minutes, 24-hour, such as 04:30"),
        ("line?mass=95", "a mass in kg, g, lb, oz, such as 80 kg or 176 lb"),
        ("line?tether=none&reach=1+m", "choose a tether above: Tied on with"),
        ("dates?step=20", "a duration in s, min, h, such as 45 min or 2 h 30 min"),
    ],
)
def test_what_if_refused_can_be_asked_again_and_asks_for_no_quotes(table, path, said):
    answer = table.ask(f"{TRIP}/{path}")
    page, _, query = path.partition("?")
    above, _, result = answer.text.partition('id="result"')
    assert answer.status == 422
    assert said in result
    assert "quotes" not in result
    typed = query.rpartition("=")[2].replace("+", " ")
    assert f'value="{typed}"' in above
    assert f'<a href="{TRIP}/{page}">As in the trip</a>' in result
    assert "Mend it in the trip" not in result


def test_what_the_crowd_lacks_is_mended_in_the_trip_or_above(tmp_path):
    with open_table(tmp_path / "trips", ("petrel-slab",)) as table:
        told = table.ask(f"{TRIP}/crowd.json").json["problems"][0]
        assert told["mend"] == "write people_per_day = 120 in [crowd], or type People a day above"
        assert "Mend it in the trip" in whole(table, f"{TRIP}/crowd").text
        few = whole(table, f"{TRIP}/crowd?people=1").text
        assert "fewer than your own party" in few
        assert "Mend it in the trip" not in few


def test_a_broken_file_is_told_with_its_line(tmp_path):
    with open_table(tmp_path / "trips", ("petrel-slab",)) as table:
        file = table.folder / "petrel-slab" / "trip.toml"
        file.write_text(file.read_text(encoding="utf-8").replace("size = 4", 'size = "four"'), encoding="utf-8")
        body = table.ask(f"{TRIP}/day.json").json
        assert body["problems"][0]["key"] == "party.size"
        assert body["problems"][0]["file"] == "petrel-slab/trip.toml"
        assert body["problems"][0]["line"] > 1
        row = table.ask("/trips.json").json[0]
        assert row["problems"] == 1
        assert "Mend it" in table.ask("/trips").text


def test_a_mistake_of_the_program_is_told_as_one(tmp_path, monkeypatch):
    from handline.web import answers

    def broken(ask):
        raise ZeroDivisionError("a secret of the program")

    monkeypatch.setitem(answers.SUBJECTS, "load", answers.Subject("Packs", broken))
    with open_table(tmp_path / "trips", ("petrel-slab",)) as table:
        for path in (f"{TRIP}/load", f"{TRIP}/load.json"):
            answer = table.ask(path)
            assert answer.status == 500
            assert "mistake of the program" in answer.text
            assert "secret" not in answer.text


# --- the folder --------------------------------------------------------------------------------------------------


def test_trips_are_found_by_their_names(tmp_path):
    for inside in (
        "one/trip.toml",
        "two.toml",
        "north/three.toml",
        "a b/trip.toml",
        ".hidden/trip.toml",
        "x/y/z/deep.toml",
    ):
        file = tmp_path / inside
        file.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(EXAMPLES / "petrel-slab" / "trip.toml", file)
    (tmp_path / "settings.toml").write_text("[tool]\nname = 1\n", encoding="utf-8")
    (tmp_path / "a-b.toml").write_text("[trip]\ndate = 2027-01-01\n", encoding="utf-8")
    assert [(trip.name, trip.inside) for trip in TripFolder(tmp_path).trips()] == [
        ("a-b", "a-b.toml"),
        ("a-b-2", "a b/trip.toml"),
        ("north-three", "north/three.toml"),
        ("one", "one/trip.toml"),
        ("two", "two.toml"),
    ]


def test_a_file_nobody_may_read_does_not_hide_the_others(tmp_path):
    with open_table(tmp_path / "trips", ("petrel-slab",)) as table:
        (table.folder / "broken").mkdir()
        (table.folder / "broken" / "trip.toml").write_bytes(b"\xff\xfe[trip\n")
        rows = {row["name"]: row for row in table.ask("/trips.json").json}
        assert rows["petrel-slab"]["problems"] == 0
        assert rows["broken"]["problems"] == 1
        assert table.ask("/trips").status == 200
        assert table.ask("/trips/broken/day.json").status == 422
