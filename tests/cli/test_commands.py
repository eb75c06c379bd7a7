from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from handline.cli import COMMANDS
from tests.cli.command_line import EXAMPLES, TAMSIN, run, run_in_a_process


def test_plan_answers_on_one_screen(tmp_path: Path) -> None:
    code, text = run("plan", str(TAMSIN), "--out", str(tmp_path))
    assert code == 0
    for words in ("HEED: Go only if", "Leave", "Turn back", "Tether", "Chance", "latest", "qualified", "brief.html"):
        assert words in text
    assert len(text.splitlines()) <= 66
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


def test_json_is_the_plan(tmp_path: Path) -> None:
    code, text = run("plan", str(TAMSIN), "--out", str(tmp_path), "--json")
    assert code == 0
    plan = json.loads(text)
    assert plan["decision"]["level"] == "heed"
    assert plan["provenance"]["days"] == 10_000


def test_units_change_what_is_shown(tmp_path: Path) -> None:
    _, us = run("plan", str(TAMSIN), "--out", str(tmp_path))
    _, si = run("plan", str(TAMSIN), "--out", str(tmp_path), "--units", "si")
    assert "13.7 mi" in us
    assert "22.1 km" in si
    assert "lbf" not in si


def test_a_stop_finding_is_exit_code_1(tmp_path: Path) -> None:
    text = TAMSIN.read_text(encoding="utf-8").replace('chosen = "absorbing lanyard"', 'chosen = "one sling"')
    trip = tmp_path / "trip.toml"
    trip.write_text(text, encoding="utf-8")
    for name in ("track.gpx", "terrain.tif", "forecast.csv"):
        (tmp_path / name).write_bytes((TAMSIN.parent / name).read_bytes())
    code, said = run("plan", str(trip), "--out", str(tmp_path / "out"))
    assert code == 1
    assert "STOP: Do not go like this." in said
    assert "looks like protection and is not" in " ".join(said.split())
    assert (tmp_path / "out" / "brief.html").exists()


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    one, other = (run_in_a_process(seed, "plan", TAMSIN, "--json", "--out", tmp_path) for seed in ("1", "2"))
    assert one == other


@pytest.mark.parametrize("name", ["tamsin-dome", "petrel-slab"])
def test_check_passes_the_examples(name: str) -> None:
    code, text = run("check", str(EXAMPLES / name / "trip.toml"))
    assert code == 0
    assert "can be planned" in text
    assert run("check", str(EXAMPLES / name / "trip.toml"), "--json")[1] == '{\n  "problems": []\n}\n'


def test_check_as_json_lists_problems(tmp_path: Path) -> None:
    trip = tmp_path / "trip.toml"
    trip.write_text("[party]\nsize = 0\n", encoding="utf-8")
    code, text = run("check", str(trip), "--json")
    assert code == 2
    keys = {problem["key"] for problem in json.loads(text)["problems"]}
    assert "party.size" in keys
    assert len(keys) >= 3


def test_new_makes_a_file_that_checks(tmp_path: Path) -> None:
    trip = tmp_path / "trip.toml"
    track = EXAMPLES / "petrel-slab" / "track.gpx"
    assert run("new", str(trip), "--track", str(track), "--date", "2027-01-16")[0] == 0
    assert run("check", str(trip))[0] == 0
    before = trip.read_bytes()
    code, text = run("new", str(trip))
    assert code == 2
    assert "there already" in text
    assert trip.read_bytes() == before


def test_new_refuses_what_is_no_date_or_track(tmp_path: Path) -> None:
    for args in (["--date", "soon"], ["--track", str(tmp_path / "none.gpx")]):
        code, _ = run("new", str(tmp_path / "trip.toml"), *args)
        assert code == 2
        assert not (tmp_path / "trip.toml").exists()


def test_new_refuses_a_track_that_check_would_refuse_at_once(tmp_path: Path) -> None:
    track = tmp_path / "one.gpx"
    track.write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
        '<trkpt lat="46" lon="-113"><ele>1000</ele></trkpt></trkseg></trk></gpx>',
        encoding="utf-8",
    )
    code, text = run("new", str(tmp_path / "trip.toml"), "--track", str(track))
    assert code == 2
    assert "one.gpx: the track has one point only" in text
    assert not (tmp_path / "trip.toml").exists()


def test_schema_and_sources_print() -> None:
    assert json.loads(run("schema")[1])["properties"]["route"]
    assert "common practice" in run("sources")[1]
    assert {entry["key"] for entry in json.loads(run("sources", "--json")[1])} >= {"en_892", "tobler_1993"}


def test_unknown_command_names_the_near_one() -> None:
    code, text = run("plann")
    assert code == 2
    assert 'Did you mean "plan"?' in text


@pytest.mark.parametrize("name", list(COMMANDS))
def test_every_command_has_help_and_json(name: str) -> None:
    code, text = run(name, "--help")
    assert code == 0
    assert "--json" in text


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys; from handline.cli import main\n"
        "try: main(['--help'])\nexcept SystemExit: pass\nprint(sorted(sys.modules))"
    )
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    for heavy in ("numpy", "pint", "pydantic", "altair", "skyfield", "pyproj", "rich"):
        assert f"'{heavy}'" not in loaded
