"""handline review from the command line: on screen, on disk, as JSON, saved, and refused."""

from __future__ import annotations

import json
import re
import shutil
from functools import partial
from pathlib import Path

import pytest

from handline.day.file_checks import subject_problems
from handline.trip.reading import read_trip
from tests.cli.command_line import run
from tests.day.recordings import tamsin_text

_run = partial(run, "review")

EXAMPLE = Path(__file__).parents[2] / "examples" / "tamsin-dome"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The example with fewer days."""
    for name in ("track.gpx", "terrain.tif", "forecast.csv", "recorded.gpx"):
        shutil.copy(EXAMPLE / name, tmp_path / name)
    (tmp_path / "trip.toml").write_text(tamsin_text(), encoding="utf-8")
    return tmp_path


def test_it_answers_on_one_screen_and_writes_the_page(folder: Path) -> None:
    before = (folder / "trip.toml").read_bytes()
    code, text = _run(folder / "trip.toml", folder / "recorded.gpx")
    said = " ".join(text.split())
    assert code == 0
    for words in ("recorded 2027-07-17", "simulated days were quicker", "Where the time went", "Stops", "Pace",
                  "One day is one day", "qualified guides", "review.html"):  # fmt: skip
        assert words in said
    assert len(text.splitlines()) <= 70
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert (folder / "brief" / "review.html").exists()
    assert (folder / "trip.toml").read_bytes() == before


def test_json_is_the_review(folder: Path) -> None:
    code, text = _run(folder / "trip.toml", folder / "recorded.gpx", "--json", "--out", folder / "out")
    assert code == 0
    told = json.loads(text)
    assert told["whole"] is True
    assert len(told["passings"]) == len(told["legs"]) + 1 == 13
    assert told["provenance"]["days"] == 500
    assert all(0.0 <= leg["time"]["share_below"] <= 1.0 for leg in told["legs"])
    assert (folder / "out" / "review.html").exists()


def test_units_change_what_is_shown(folder: Path) -> None:
    for units, word in (("us", "mi"), ("si", "km")):
        _, text = _run(folder / "trip.toml", folder / "recorded.gpx", "--units", units, "--json")
        told = json.loads(text)
        assert told["units"] == units
        assert any(re.match(rf"\d+\.\d {word} after ", stop["where"]) for stop in told["stops"])


def test_save_writes_the_pace_and_says_so(folder: Path) -> None:
    code, text = _run(folder / "trip.toml", folder / "recorded.gpx", "--save")
    assert code == 0
    pace = read_trip(folder / "trip.toml", subject_problems).party.pace
    assert pace is not None
    assert f"time_factor {pace.time_factor:g}" in " ".join(text.split())
    assert "# harness, gloves, a drink" in (folder / "trip.toml").read_text(encoding="utf-8")


def test_a_recording_of_another_place_changes_nothing(folder: Path) -> None:
    before = (folder / "trip.toml").read_bytes()
    elsewhere = EXAMPLE.parent / "petrel-slab" / "track.gpx"
    code, text = _run(folder / "trip.toml", elsewhere, "--save")
    assert code == 2
    assert "never comes near the way of the plan" in text
    assert "Nothing was written." in text
    assert (folder / "trip.toml").read_bytes() == before
    assert not (folder / "brief").exists()


def test_a_pace_that_cannot_be_saved_leaves_the_page(folder: Path) -> None:
    trip = folder / "trip.toml"
    text = trip.read_text(encoding="utf-8").replace("size = 6\n", "")
    member = '[[party.members]]\nname = "Ann"\n[party.members.pace]\ntime_factor = 1.1\n\n[tethers]'
    trip.write_text(text.replace("[tethers]", member, 1), encoding="utf-8")
    before = trip.read_bytes()
    code, said = _run(trip, folder / "recorded.gpx", "--save")
    assert code == 2
    assert "members have paces of their own" in said
    assert "The trip file is as it was. The review is written" in " ".join(said.split())
    assert trip.read_bytes() == before
    assert (folder / "brief" / "review.html").exists()


def test_a_missing_recording(folder: Path) -> None:
    code, text = _run(folder / "trip.toml", folder / "none.gpx")
    assert code == 2
    assert "there is no such track file" in text
    assert "Traceback" not in text


def test_a_drawn_route_without_times_changes_nothing(folder: Path) -> None:
    drawn = re.sub(r"<time>[^<]*</time>", "", (folder / "recorded.gpx").read_text(encoding="utf-8"))
    (folder / "drawn.gpx").write_text(drawn, encoding="utf-8")
    before = (folder / "trip.toml").read_bytes()
    code, text = _run(folder / "trip.toml", folder / "drawn.gpx", "--save")
    assert code == 2
    assert "no times" in text
    assert "Nothing was written." in text
    assert (folder / "trip.toml").read_bytes() == before
    assert not (folder / "brief").exists()
