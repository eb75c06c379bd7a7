"""handline dates from the command line: on screen, on disk, as JSON, stopped and resumed, and refused."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner

from handline.choose import dates as dates_room
from handline.choose import pieces_kept
from handline.cli import dates_command, main
from tests.cli.command_line import PETREL, assert_refused, run

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "dates")

FEW = ("--from", "2027-12-30", "--to", "2028-01-02", "--days", "100", "--step", "2 h", "--workers", "1")


def test_without_a_folder_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    code, text = _run(PETREL, *FEW)
    said = " ".join(text.split())
    assert code == 0
    for words in (
        "Petrel Slab party of 4 clock: Australia/Hobart", "4 dates: as asked.", "HEED: ", "in one push: start by",
        "4 of 4 dates have a start that meets your limits in 90 % of days",
        "Date way start by then surest start permits cables",
        "none to get stand", "Month open dates push: start by on dates", "December 2027 2", "January 2028 2",
        "neither the tether nor the rock's hold: plan the date before you go.",
        "no forecast reaches them", "qualified guides", "add --out FOLDER",
    ):  # fmt: skip
        assert words in said
    assert max(len(line) for line in text.splitlines()) <= 100
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert list(tmp_path.iterdir()) == []


def test_a_narrow_terminal_loses_no_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    _, text = _run(PETREL, *FEW)
    assert "…" not in text
    assert max(len(line) for line in text.splitlines() if "add --out" not in line) <= 60


def test_it_writes_the_page(tmp_path: Path) -> None:
    code, text = _run(PETREL, *FEW, "--out", tmp_path / "new")
    assert code == 0
    page = (tmp_path / "new" / "dates.html").read_text(encoding="utf-8")
    assert 'id="date-grid-push"' in page
    assert f"Page: {tmp_path / 'new' / 'dates.html'}" in text


def test_json_is_the_report_and_units_change_no_number() -> None:
    told = [json.loads(_run(PETREL, *FEW, "--units", units, "--json")[1]) for units in ("us", "si")]
    assert [one["units"] for one in told] == ["us", "si"]
    assert told[0]["rows"] == told[1]["rows"]
    assert [row["date"] for row in told[0]["rows"]] == ["2027-12-30", "2027-12-31", "2028-01-01", "2028-01-02"]
    assert told[0]["starts_clock_s"] == [7200.0 * number for number in range(6)]
    assert told[0]["ways"] == ["push"]
    assert len(told[0]["rows"][0]["ways"][0]["chance"]) == 6


def test_where_no_date_meets_the_limits_it_exits_with_one(tmp_path: Path) -> None:
    for name in ("trip.toml", "track.gpx"):
        (tmp_path / name).write_bytes((PETREL.parent / name).read_bytes())
    trip = tmp_path / "trip.toml"
    text = trip.read_text(encoding="utf-8").replace("home_before_dark = true", 'home_by = "10:00"')
    # A date that is closed is no reason to refuse: others are asked about.
    text = text.replace('"1 December to 31 March"', '"1 December to 28 February"')
    trip.write_text(text.replace("date = 2027-01-16", "date = 2027-03-16"), encoding="utf-8")
    assert CliRunner().invoke(main, ["check", str(trip)]).exit_code == 2
    code, said = _run(trip, *FEW, "--first-start", "09:00")
    assert code == 1
    assert "STOP: No date meets your limits." in said


def test_stopped_it_says_what_is_kept_and_the_same_command_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HANDLINE_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(pieces_kept, "program_stamp", lambda: "this program")
    asked = ("--from", "2027-12-20", "--to", "2027-12-31", *FEW[4:])
    done: list[str] = []
    do_dates = dates_room.do_dates

    def stopped_after_one(shared, piece):
        if done:
            raise KeyboardInterrupt
        done.append(piece.key)
        return do_dates(shared, piece)

    monkeypatch.setattr(dates_room, "do_dates", stopped_after_one)
    code, text = _run(PETREL, *asked)
    assert code == 130
    assert "Stopped. Finished dates are kept: the same command goes on from there." in text
    assert "Nothing was written" not in text

    def counted(shared, piece):
        done.append(piece.key)
        return do_dates(shared, piece)

    monkeypatch.setattr(dates_room, "do_dates", counted)
    code, text = _run(PETREL, *asked)
    assert code == 0
    assert done == [f"2027-12-{day} to 2027-12-{day + 1}" for day in range(20, 32, 2)]


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--from", "soon"), ("[--from]: this is not a date", 'read: "soon"', "such as 2027-07-17")),
        (("--from", "2027-01-05", "--to", "2027-01-01"), ("[--to]: the last date lies before the first",)),
        (("--from", "2027-05-05", "--to", "2027-05-09"), ("[weather.months]", "not told: May", "month = 5")),
        (("--ways", "night"), ("[--ways]: there is no camp for a night out", 'kind = "camp"')),
        (("--ways", "nigth"), ("[--ways]: unknown way", 'did you mean "night"?')),
        (("--step", "soon", "--days", "x"), ("[--step]", "[--days]", "2 problems in all")),
        (("--workers", "2", "--dask", "tcp://127.0.0.1:1"), ("a cluster has as many workers as it has",)),
        (("--dask", "nowhere"), ("[--dask]",)),
    ],
)
def test_what_cannot_be_used_is_refused_plainly(args: tuple[str, ...], said: tuple[str, ...], tmp_path: Path) -> None:
    assert_refused(_run(PETREL, *args, "--out", tmp_path / "new"), said, tmp_path / "new")


def test_help_tells_what_is_usual() -> None:
    text = " ".join(CliRunner().invoke(main, ["dates", "--help"]).output.split())
    for words in ("left out, 00:00", "left out, 11:40", 'left out, "20 min"', "left out, 500", "one for each core"):
        assert words in text
    assert dates_command.command.name == "dates"
