"""handline crowd from the command line: on screen, on disk, as JSON, asked otherwise, and refused."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

import pytest

from tests.cli.command_line import PETREL, TAMSIN, assert_refused, run, run_in_a_process, when_changed

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "crowd")


def test_without_a_folder_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    beside = when_changed(TAMSIN.parent)
    code, text = _run(TAMSIN, "--days", 40)
    said = " ".join(text.split())
    assert code == 0
    for words in (
        "160 people a day (the places of Tamsin line permit), 90 % of them come", "they start about 05:00",
        "NOTE: At the foot about 10:", "At the foot wait there on the line up of it, others cost people above",
        "09:00 to 09:30", "half stay under the first, nine in ten under the second", "Good times to arrive",
        "Last off the line", "the most that can follow each other", "people are above you in the fall line",
        "real people do worse", "qualified guides", "add --out FOLDER",
    ):  # fmt: skip
        assert words in said
    assert len(text.splitlines()) <= 60
    assert max(len(line) for line in text.splitlines()) <= 100
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert list(tmp_path.iterdir()) == []
    assert when_changed(TAMSIN.parent) == beside


def test_a_narrow_terminal_loses_no_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    _, text = _run(TAMSIN, "--days", 20)
    assert "…" not in text
    assert max(len(line) for line in text.splitlines() if "add --out" not in line) <= 60


def test_it_writes_the_page(tmp_path: Path) -> None:
    code, text = _run(PETREL, "--people", 40, "--days", 40, "--out", tmp_path / "new")
    assert code == 0
    assert "40 people a day (as asked, whatever the file says)" in " ".join(text.split())
    page = (tmp_path / "new" / "crowd.html").read_text(encoding="utf-8")
    assert "crowd-day" in page
    assert f"Page: {tmp_path / 'new' / 'crowd.html'}" in text


def test_json_is_the_report_and_units_change_no_number() -> None:
    told = [json.loads(_run(TAMSIN, "--days", 40, "--units", units, "--json")[1]) for units in ("us", "si")]
    assert [one["units"] for one in told] == ["us", "si"]
    assert told[0]["up"] == told[1]["up"]
    assert told[0]["people"] == 160
    assert told[0]["heat"]
    assert [way["way"] for way in told[0]["party"]] == ["up", "down"]
    assert "96 m of cable" in " ".join(_run(TAMSIN, "--days", 20, "--units", "si")[1].split())


def test_who_does_not_say_how_many_is_told_what_to_type(tmp_path: Path) -> None:
    code, text = _run(PETREL, "--out", tmp_path / "new")
    assert code == 2
    for words in (
        "[crowd.people_per_day]: nothing says how many people come to the line", "trip.toml:",
        "write people_per_day = 120 in [crowd], or add --people 120", "Nothing was written.",
    ):  # fmt: skip
        assert words in text
    assert not (tmp_path / "new").exists()


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--people", "many"), ("[--people]: this is not a number", 'read: "many"', "from 1 to 5,000")),
        (("--people", "0"), ("[--people]: this number is too small",)),
        (("--people", "9" * 50), ("[--people]",)),
        (("--people", "-5"), ("[--people]: this number is too small",)),
        (("--people", "12.5"), ("[--people]",)),
        (("--people", "5"), ("[--people]: 5 people a day are fewer than your own party", "at least 6")),
        (("--days", "5"), ("[--days]: this number is too small", "from 20 to 20,000", "fewer days tell too little")),
        (("--days", "1e9"), ("[--days]",)),
        (("--people", "x", "--days", "x"), ("[--people]", "[--days]", "2 problems in all")),
    ],
)
def test_what_cannot_be_used_is_refused_plainly(args: tuple[str, ...], said: tuple[str, ...], tmp_path: Path) -> None:
    assert_refused(_run(TAMSIN, *args, "--out", tmp_path / "new"), said, tmp_path / "new")


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    seeds, asked = ("1", "2"), ("crowd", TAMSIN, "--days", "20", "--json")
    told = [run_in_a_process(seed, *asked, "--out", tmp_path / seed) for seed in seeds]
    pages = [(tmp_path / seed / "crowd.html").read_bytes() for seed in seeds]
    assert told[0] == told[1]
    assert pages[0] == pages[1]
