"""handline pace, as a user calls it: one screen, JSON, a page, a saved pace, clear words for what cannot be used."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from handline.cli import main
from tests.day.pace_tracks import UNUSABLE, gpx, straight, unusable, walk

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return gpx(tmp_path_factory.mktemp("walked") / "walk.gpx", walk(1))


@pytest.fixture
def trip(tmp_path: Path) -> Path:
    for name in ("trip.toml", "track.gpx"):
        shutil.copy(EXAMPLES / "petrel-slab" / name, tmp_path / name)
    return tmp_path / "trip.toml"


def run(*args: object) -> Result:
    return CliRunner().invoke(main, ["pace", *(str(arg) for arg in args)])


def test_one_screen_and_a_page(walked: Path, tmp_path: Path) -> None:
    result = run(walked, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    text = " ".join(result.output.split())
    for words in ("times as long as", "Eight chances in ten", "quick", "slow", "Spread", "Sources", "qualified guides",
                  "come to no harm", "pauses", "km/h", "One day only", "pace.html"):  # fmt: skip
        assert words in text
    assert len(result.output.splitlines()) <= 55
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert (tmp_path / "out" / "pace.html").is_file()


def test_json_is_the_report(walked: Path, tmp_path: Path) -> None:
    result = run(walked, "--json", "--out", tmp_path)
    report = json.loads(result.output)
    assert report["time_factor_band"][0] < report["time_factor"] < report["time_factor_band"][1]
    assert len(report["cautions"]) == 4
    assert report["sources"]
    assert report["tracks"][0]["file"] == "walk.gpx"
    assert run(walked, "--json", "--out", tmp_path).output == result.output


def test_the_page_lies_beside_the_track(tmp_path: Path) -> None:
    path = gpx(tmp_path / "walk.gpx", straight(400))
    assert run(path).exit_code == 0
    assert (tmp_path / "pace" / "pace.html").is_file()


def test_units(walked: Path, tmp_path: Path, trip: Path) -> None:
    assert "mph" in run(walked, "--out", tmp_path, "--units", "us").output
    text = trip.read_text(encoding="utf-8").replace('units = "si"', 'units = "us"')
    assert 'units = "us"' in text
    trip.write_text(text, encoding="utf-8")
    assert "mph" in run(walked, "--save", trip, "--out", tmp_path).output


def test_saved_for_the_party_and_said(walked: Path, trip: Path) -> None:
    result = run(walked, "--save", trip, "--pack", "18 lb")
    assert result.exit_code == 0, result.output
    assert "Saved" in result.output
    text = trip.read_text(encoding="utf-8")
    assert "[party.pace]" in text
    assert 'pack_mass = "8.16 kg"' in text
    assert (trip.parent / "brief" / "pace.html").is_file()


def refused(result: Result, *says: str) -> None:
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    assert "Nothing was written." in result.output
    for text in says:
        assert text in result.output, f"{text!r} not in:\n{result.output}"


@pytest.mark.parametrize("case", UNUSABLE)
def test_tracks_that_cannot_be_used(tmp_path: Path, trip: Path, case: str) -> None:
    (tmp_path / "bad").mkdir()
    path, says = unusable(tmp_path / "bad")[case]
    before = trip.read_bytes()
    refused(run(path, "--save", trip, "--out", tmp_path / "out"), *says)
    assert trip.read_bytes() == before
    assert not (tmp_path / "out").exists()


def test_trips_that_cannot_be_used(walked: Path, trip: Path, tmp_path: Path) -> None:
    out = ("--out", tmp_path / "out")
    refused(run(walked, "--save", trip, "--member", "Nobody", *out), "party.members", "Nobody", "to mend")
    refused(run(walked, "--save", tmp_path / "none.toml", *out), "none.toml")
    trip.write_text("[party\n", encoding="utf-8")
    refused(run(walked, "--save", trip, *out), "trip.toml")
    assert trip.read_text(encoding="utf-8") == "[party\n"
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--member", "Ada"), ("--member", "add --save TRIP")),
        (("--pack", "8"), ("--pack", "the number has no unit", "8 kg")),
        (("--pack", "heavy"), ("--pack", "heavy")),
        (("--pack", "90 kg"), ("--pack", "90 kg", "60 kg")),
        (("--surface", "stoney trail"), ("[--surface]: unknown kind of ground", 'did you mean "stony trail"?')),
    ],
)
def test_options_that_cannot_be_used(
    walked: Path, tmp_path: Path, args: tuple[str, ...], says: tuple[str, ...]
) -> None:
    refused(run(walked, *args, "--out", tmp_path / "out"), *says)
    assert not (tmp_path / "out").exists()


def test_no_track_is_said() -> None:
    assert run().exit_code == 2
