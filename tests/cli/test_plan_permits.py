"""handline plan and check with permits: the day it is comes in here, and a calendar lies beside the brief."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

from click.testing import CliRunner
from icalendar import Calendar

from handline.cli import main
from tests.day.permit_trips import LINE, TEXT, WALK_UP


def _trip(folder: Path, more: str) -> Path:
    path = folder / "trip.toml"
    path.write_text(TEXT + more, encoding="utf-8")
    return path


def test_plan_sees_deadlines_from_the_day_it_is(tmp_path: Path) -> None:
    before = date.today()
    path = _trip(tmp_path, LINE + WALK_UP)
    result = CliRunner().invoke(main, ["plan", str(path), "--out", str(tmp_path / "out"), "--json"])
    plan = json.loads(result.output)
    today = date.fromisoformat(plan["provenance"]["today"])
    assert today in (before, date.today())
    (permit,) = plan["permits"]
    assert permit["deadlines"][0]["days_left"] == (date(2027, 3, 1) - today).days
    calendar = Calendar.from_ical((tmp_path / "out" / "plan.ics").read_bytes())
    assert "Three legs" in {str(event["SUMMARY"]) for event in calendar.walk("VEVENT")}
    assert (tmp_path / "out" / "brief.html").exists()


def test_the_screen_says_what_comes_next(tmp_path: Path) -> None:
    more = LINE.replace("largest_party = 6", "held = true")
    path = _trip(tmp_path, more)
    path.write_text(path.read_text(encoding="utf-8").replace("2027-07-17", "2043-07-17"), encoding="utf-8")
    result = CliRunner().invoke(main, ["plan", str(path), "--out", str(tmp_path / "out")])
    words = " ".join(result.output.split())
    assert "Permit Line permit: held; checked at Foot. Pick it up at the hut by 16 July 2043" in words
    assert "plan.ics for your calendar" in words


def test_check_tells_what_is_wrong_with_permits(tmp_path: Path) -> None:
    path = _trip(tmp_path, LINE.replace('"31 March"', '"1 Feburary"').replace('state = "raised"', 'state = "up"'))
    result = CliRunner().invoke(main, ["check", str(path), "--json"])
    assert result.exit_code == 2
    problems = {problem["key"]: problem for problem in json.loads(result.output)["problems"]}
    assert set(problems) == {"permits[0].needed.state", "permits[0].ways[0].closes"}
    assert 'did you mean "February"' in problems["permits[0].ways[0].closes"]["what"]
    fine = _trip(
        tmp_path,
        LINE.replace('"second Monday of April"', '"20 August"').replace('"10 days after the result"', '"1 July"'),
    )
    late = CliRunner().invoke(main, ["check", str(fine), "--json"])
    keys = {problem["key"] for problem in json.loads(late.output)["problems"]}
    assert "permits[0].ways[0].result" in keys
