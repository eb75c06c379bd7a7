"""handline load on screen, from a report; and the command from the file to the page."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from handline.cli.load_screen import show_load
from handline.day.load_report import LoadReport
from tests.brief.sample_load import OVERDRINKING, push_alone, sample_load_report
from tests.cli.command_line import PETREL, TAMSIN, assert_refused, run, when_changed

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "load")


def shown(report: LoadReport, capsys: pytest.CaptureFixture[str], written: Path | None = None) -> str:
    show_load(report, written)
    return capsys.readouterr().out


def test_the_screen_says_all_a_leader_asks(capsys: pytest.CaptureFixture[str]) -> None:
    report = sample_load_report()
    text = shown(report, capsys)
    said = " ".join(text.split())
    for words in (
        f"HEED: {report.headline}", "heed Ada may sweat more", "note Upper trickle may be dry",
        "Heaviest pack on setting out 18 lb, Ada 29 lb, Ada", "Day by day 13 h 12 min 4 h 36 min, then 9 h 06 min",
        "One push. Packs from the gear list",
        "Ada 18 18 23 13 1.3 2.9 2,820 to 3,510 Quill River bridge",
        "Quill River bridge (up) sure water 0.5 3.2 3.7 18",
        "Upper trickle (up) not counted on: it may be dry from July on 3.3 – 3.3 –",
        "Aldermere Camp (down) sure water 0.5 0.3 0.8 2",
        "Larch Landing (down) the end 0.5 – – –",
        "Longest without sure water: Quill River bridge to Quill River bridge: 5 h 21 min, and 3.7 qt each",
        "with 0.5 qt in reserve; treated by a pressed or pumped filter", "agree after 5 rounds", OVERDRINKING,
        "Ada: sweat may be more than anybody should drink", *report.cautions, "add --out FOLDER",
    ):  # fmt: skip
        assert words in said, words
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 100
    assert len(text.splitlines()) <= 75
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert "Behind a plus" not in said
    # Once, with the night: of the push it is among the findings.
    assert said.count("the rest is lost, not drunk") == 1


def test_units_change_the_words_alone(capsys: pytest.CaptureFixture[str]) -> None:
    said = " ".join(shown(replace(sample_load_report(), units="si"), capsys).split())
    assert "Ada 8.1 8.2 10.3 13 1.2 1.3 11.8 to 14.7 Quill River bridge" in said
    assert "Quill River bridge (up) sure water 0.5 3.0 3.5 18" in said


def test_one_push_alone_says_why(capsys: pytest.CaptureFixture[str]) -> None:
    said = " ".join(shown(push_alone(), capsys).split())
    assert "No waypoint is a camp." in said
    assert "each of the 6 8.1 8.2 10.3 13 1.2 1.3 11.8 to 14.7" in said
    assert "night out" not in said


def test_waiting_stands_behind_a_plus(capsys: pytest.CaptureFixture[str]) -> None:
    report = push_alone()
    stops = tuple(replace(s, treat_wait_s=1800.0 if s.treat_L > 0.0 else 0.0) for s in report.push.water)
    said = " ".join(shown(replace(report, push=replace(report.push, water=stops)), capsys).split())
    assert "3.5 18+30" in said
    assert "Behind a plus: minutes until it may be drunk." in said


@pytest.mark.parametrize("columns", [60, 72])
def test_a_narrow_terminal_loses_no_number(
    columns: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    text = shown(sample_load_report(), capsys)
    said = " ".join(text.split())
    assert "…" not in text
    assert "Ada 18 18 23 13 Quill River bridge" in said
    assert "Ada 1.3 2.9 2,820 to 3,510" in said
    assert max(len(line.rstrip()) for line in text.splitlines() if "add --out" not in line) <= columns


def test_where_the_page_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Page: some/load.html" in shown(sample_load_report(), capsys, Path("some/load.html"))


# --- from the file -------------------------------------------------------------------------------------------------


def test_without_a_folder_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    beside = when_changed(TAMSIN.parent)
    code, text = _run(TAMSIN)
    assert code == 0
    assert "A night out at Aldermere Camp" in text
    assert "Quill River bridge (up) sure water" in text
    assert list(tmp_path.iterdir()) == []
    assert when_changed(TAMSIN.parent) == beside


def test_it_writes_the_page_and_json_is_the_report(tmp_path: Path) -> None:
    code, text = _run(PETREL, "--json", "--out", tmp_path / "new", "--units", "us")
    assert code == 0
    told = json.loads(text)
    assert told["units"] == "us"
    assert told["night"] is None
    assert told["push"]["key"] == "push"
    assert len(told["push"]["members"][0]["pack_kg"]) == len(told["push"]["distance_m"])
    assert "load-curve" in (tmp_path / "new" / "load.html").read_text(encoding="utf-8")


def _petrel(folder: Path, more: str) -> Path:
    """The file of the example with something added, its track beside it."""
    for beside in PETREL.parent.iterdir():
        if beside.is_file():
            (folder / beside.name).write_bytes(beside.read_bytes())
    (folder / "trip.toml").write_text(PETREL.read_text(encoding="utf-8") + more, encoding="utf-8")
    return folder / "trip.toml"


def test_bottles_that_are_too_small_end_with_one(tmp_path: Path) -> None:
    code, text = _run(_petrel(tmp_path, '\n[load]\nbottles = "1 L"\ntreatment = "filter"\n'))
    assert code == 1
    assert "STOP: " in text
    assert "bottles hold 1.0 L" in " ".join(text.split())


def test_what_cannot_be_used_is_refused_plainly(tmp_path: Path) -> None:
    trip = _petrel(tmp_path, '\n[load]\ntreatment = "filtre"\n')
    assert_refused(_run(trip, "--out", tmp_path / "new"), ("treatment",), tmp_path / "new")
