"""handline options from the command line: on screen, on disk, as JSON, and refused."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

import pytest

from tests.choose.option_trips import a_permit, camp_text
from tests.cli.command_line import PETREL, assert_refused, run, run_in_a_process

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "options")

FEW = ("--tethers", "two slings", "--days", "300")


@pytest.fixture
def trip(tmp_path: Path) -> Path:
    return _write(tmp_path / "trip.toml", storm=True, limits='home_by = "14:00"')


def _write(path: Path, more: str = "", **typed: object) -> Path:
    path.write_text(camp_text(**typed) + more, encoding="utf-8")
    return path


def test_it_recommends_and_writes_nothing(trip: Path) -> None:
    beside = set(trip.parent.iterdir())
    code, text = _run(trip, *FEW)
    said = " ".join(text.split())
    assert code == 0
    for words in (
        "HEED: A night out, line raised, absorbing lanyard, leaving from the camp at 05:00.",
        "all limits kept: ", "Of 8 ways side by side 4 can be done on their date",
        "If the line were lowered that day no way of doing it is recommended",
        "Push, raised", "Night out, lowered", "> recommended; x something speaks against it",
        "The same for all: on 17 July 2027", "With your way and tether raised lowered speaks for",
        "Raised: leaving at 05:00; lowered: leaving at 04:50. With your way",
        "The same raised and lowered: ", "The land manager's rules come first: ask before you go", "add --out FOLDER",
    ):  # fmt: skip
        assert words in said, words
    recommended = next(line for line in text.splitlines() if line.startswith(">"))
    assert recommended.startswith(">*  absorbing lanyard")
    assert max(len(line) for line in text.splitlines()) <= 100
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert set(trip.parent.iterdir()) == beside


def test_what_is_the_same_for_all_has_no_column(trip: Path) -> None:
    _, text = _run(trip, *FEW)
    once = next(line for line in text.splitlines() if line.startswith("The same for all:"))
    assert "permits got none" in once
    assert not re.search(r"permits\s+home", text)
    _write(trip, storm=True, limits='home_by = "14:00"', more=a_permit("night_out = true"))
    _, other = _run(trip, *FEW)
    assert re.search(r"permits\s+home", other)
    assert re.search(r"^Night out, raised .* 50 %", other, re.MULTILINE)


def test_a_narrow_terminal_loses_no_number(trip: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    _, text = _run(trip, *FEW)
    assert "…" not in text
    assert max(len(line) for line in text.splitlines() if "add --out" not in line) <= 60
    assert text.count("Push, raised") == 2


def test_no_name_is_broken_where_the_table_fits_or_has_two(trip: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for columns, tables in (("100", 1), ("66", 2)):
        monkeypatch.setenv("COLUMNS", columns)
        _, text = _run(trip, *FEW)
        assert text.count("Push, raised") == tables
        assert not re.search(r"^(lanyard|slings)\s*$", text, re.MULTILINE)


def test_exit_code_1_where_none_is_recommended(trip: Path) -> None:
    code, text = _run(trip, *FEW, "--date", "2027-05-17")
    assert code == 1
    assert "STOP: No way of doing it meets what you stated." in text
    assert "Nearest means, of each way, least grave for life: first a tether that stops a slip" in " ".join(
        text.split()
    )
    assert "If the line were raised that day: a night out, line raised, absorbing lanyard" in " ".join(text.split())


def test_it_writes_the_page(trip: Path, tmp_path: Path) -> None:
    code, text = _run(trip, *FEW, "--out", tmp_path / "new")
    page = tmp_path / "new" / "options.html"
    assert code == 0
    assert f"Page: {page}" in text
    assert "option-map" in page.read_text(encoding="utf-8")


def test_json_is_the_report_and_units_change_no_number(trip: Path) -> None:
    told = [json.loads(_run(trip, *FEW, "--units", units, "--json")[1]) for units in ("us", "si")]
    assert [one["units"] for one in told] == ["us", "si"]
    for one in told:
        for option in one["options"]:
            # Sentences are in the units asked for; every number is SI.
            del option["sentence"], option["called_out"], option["stops"], option["heeds"], option["against"]
    assert told[0]["options"] == told[1]["options"]
    assert told[0]["recommended"] == "night-raised-absorbing-lanyard"
    assert [change["to_key"] for change in told[0]["changes"]][-1] == ""


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--date", "soon"), ("[--date]: this is not a date", 'read: "soon"', 'or "best"')),
        (("--date", "2027-13-01"), ("[--date]",)),
        (("--tethers", "two slingz"), ("[--tethers]: unknown tether", 'did you mean "two slings"')),
        (("--days", "9"), ("[--days]: this number is too small", "from 100 to 20,000")),
        (
            ("--days", "x", "--date", "x", "--tethers", ","),
            ("[--days]", "[--date]", "[--tethers]", "3 problems in all"),
        ),
    ],
)
def test_what_cannot_be_used_is_refused_plainly(
    trip: Path, args: tuple[str, ...], said: tuple[str, ...], tmp_path: Path
) -> None:
    assert_refused(_run(trip, *args, "--out", tmp_path / "new"), said, tmp_path / "new")


def test_a_closed_date() -> None:
    code, text = _run(PETREL, "--date", "2027-07-17", "--days", "100")
    assert code == 2
    assert "[trip.date]" in text


def test_same_bytes_in_another_process(trip: Path, tmp_path: Path) -> None:
    seeds, asked = ("1", "2"), ("options", trip, "--tethers", "none", "--days", "100", "--json")
    told = [run_in_a_process(seed, *asked, "--out", tmp_path / seed) for seed in seeds]
    pages = [(tmp_path / seed / "options.html").read_bytes() for seed in seeds]
    assert told[0] == told[1]
    assert pages[0] == pages[1]
