"""handline replan from the command line: what to do on one screen, as JSON, with other weather, and refused."""

from __future__ import annotations

import json
import re
import shutil
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from handline.cli import main
from handline.day.file_checks import subject_problems
from handline.day.passed_told import PassedAt
from handline.day.plan import PROBABILITIES
from handline.day.planning import simulate
from handline.day.replan_asking import Asking, Today, replan_asked, today_asked
from handline.day.replanning import replan
from handline.day.setting import set_up
from handline.day.today_typed import StormToday
from handline.errors import Problem
from handline.quantity import say_clock, show_clock
from handline.trip.reading import read_trip
from tests.day.recordings import tamsin_text

EXAMPLE = Path(__file__).parents[2] / "examples" / "tamsin-dome"
BRIDGE, CAMP, CAMP_UP = "Quill River bridge", "Aldermere Camp", "Aldermere Camp (up)"
IN_TIME = ("--at", BRIDGE, "--time", "04:30", "--at", CAMP_UP, "--time", "06:20")
SLOW = ("--at", BRIDGE, "--time", "04:40", "--at", CAMP_UP, "--time", "07:30")
SLOWER = ("--at", BRIDGE, "--time", "04:40", "--at", CAMP_UP, "--time", "09:30")
TODAY = ("--delay", "20 min", "--storm", "60 %", "--storm-from", "13:00", "--rock", "wet")


@pytest.fixture(scope="module")
def trip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The example with fewer days and no pace of its own."""
    folder = tmp_path_factory.mktemp("tamsin")
    for name in ("track.gpx", "terrain.tif", "forecast.csv"):
        shutil.copy(EXAMPLE / name, folder / name)
    (folder / "trip.toml").write_text(tamsin_text(), encoding="utf-8")
    return folder / "trip.toml"


@cache
def _invoke(columns: int, *args: object) -> Result:
    return CliRunner().invoke(main, ["replan", *map(str, args)], env={"COLUMNS": str(columns)})


def _run(*args: object, columns: int = 80) -> tuple[int, str]:
    result = _invoke(columns, *args)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return result.exit_code, result.output


def test_in_time_it_says_first_to_go_on_and_by_when_to_turn(trip: Path) -> None:
    code, text = _run(trip, *IN_TIME)
    assert code == 0
    assert re.fullmatch(r"Go on, turn at Foot of the cables by \d\d:\d\d\.", text.splitlines()[0].strip())
    said = " ".join(text.split())
    order = ["you asked for 90 %", "at Aldermere Camp (up) 06:20", "Chance (", "Place ahead", "You may", "Pace", "note",
             "qualified guides"]  # fmt: skip
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    assert "the time at the top counts" in said
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


@pytest.mark.parametrize("args", [IN_TIME, (*SLOW, *TODAY)])
def test_it_is_one_screen_of_eighty_columns(trip: Path, args: tuple[str, ...]) -> None:
    _, text = _run(trip, *args, columns=200)
    assert max(len(line) for line in text.splitlines()) <= 80
    assert len(text.splitlines()) <= 58
    assert "…" not in text


def test_on_a_narrow_screen_every_place_can_be_read(trip: Path) -> None:
    _, text = _run(trip, *IN_TIME, columns=44)
    assert max(len(line) for line in text.splitlines()) <= 44
    assert "…" not in text
    table = text.partition("Place")[2].partition("held: there by")[0]
    for word in ("Lower", "Foot", "Head", "Tamsin", "summit", "Quill", "Larch", "held"):
        assert word in table


def test_turn_now_is_exit_code_1(trip: Path) -> None:
    code, text = _run(trip, *SLOWER, *TODAY)
    said = " ".join(text.split())
    assert code == 1
    assert text.splitlines()[0].strip() == "Turn now."
    for words in ("Turning now, your limits hold on over 99 %", "20 min there on top of the planned stop",
                  "60 % for the rest of the day from 13:00 on, as typed", "wet for the rest of the day, as typed",
                  "turn at Aldermere Camp", "turn at Foot of the cables", "lost"):  # fmt: skip
        assert words in said


def test_past_the_line_there_is_no_turning(trip: Path) -> None:
    code, text = _run(trip, "--at", f"{BRIDGE} (down)", "--time", "16:40")
    assert code == 0
    assert text.splitlines()[0].strip() == "Go on."
    assert "You may" not in text
    assert "Larch Landing (down)" in text
    assert "Lower Step" not in text


def test_json_is_what_the_computing_gives(trip: Path) -> None:
    code, text = _run(trip, *SLOWER, *TODAY, "--json")
    told = json.loads(text)
    setting = set_up(read_trip(trip, subject_problems))
    passed = (PassedAt(1, 4 * 3600.0 + 2400.0), PassedAt(2, 9.5 * 3600.0))
    found = replan(setting, simulate(setting), passed, 1200.0, StormToday(0.6, 13 * 3600.0), "wet")
    assert code == 1
    assert told["advice"]["key"] == found.advice.key == "turn_now"
    assert [row["share"] for row in told["chances"]] == [chance.share for chance in found.chances]
    assert [row["arrive_clock_s"] for row in told["ahead"]] == [list(row.arrive_clock_s) for row in found.ahead]
    assert (told["delay_s"], told["at"]) == (1200.0, f"{CAMP} (up)")


def test_the_table_shows_half_and_nine_in_ten_and_the_planned_latest(trip: Path) -> None:
    told = json.loads(_run(trip, *IN_TIME, "--json")[1])
    _, text = _run(trip, *IN_TIME)
    half, nine = PROBABILITIES.index(0.5), PROBABILITIES.index(0.9)
    for row in told["ahead"]:
        line = next(line for line in text.splitlines() if line.startswith(f"{row['name']} ({row['way']})"))
        clocks = [row["arrive_clock_s"][half], row["arrive_clock_s"][nine], row["latest_clock_s"]]
        shown = ["none" if clock_s is None else show_clock(clock_s) for clock_s in clocks]
        assert re.findall(r"\d\d:\d\d(?: \(\+1\))?|none", line) == shown
        assert line.endswith(row["held"])
    assert [row["held"] for row in told["ahead"]].count("") < len(told["ahead"]) / 2
    assert text.splitlines()[0].strip().endswith(f"by {say_clock(told['advice']['turn_by_clock_s'])}.")


def test_each_option_changes_the_answer(trip: Path) -> None:
    def told(*args: str) -> dict[str, float]:
        return {row["key"]: row["share"] for row in json.loads(_run(trip, *IN_TIME, *args, "--json")[1])["chances"]}

    as_planned = told()
    likely, late = told("--storm", "90 %", "--storm-from", "10:00"), told("--storm", "90 %", "--storm-from", "20:00")
    assert likely["off_line_before_storm"] < as_planned["off_line_before_storm"] < late["off_line_before_storm"]
    assert told("--delay", "7 h")["home_by"] < as_planned["home_by"] - 0.1
    assert told("--rock", "iced")["all"] < as_planned["all"]


def test_units_change_the_label_and_no_number(trip: Path) -> None:
    us, si = (json.loads(_run(trip, *IN_TIME, "--units", units, "--json")[1]) for units in ("us", "si"))
    assert (us.pop("units"), si.pop("units")) == ("us", "si")
    pairs = [(us.pop("line_says"), si.pop("line_says"))]
    assert ["ft," in one and " m," not in one for one in pairs[0]] == [True, False]
    assert us == si


def test_a_start_that_was_told_is_not_assumed(trip: Path) -> None:
    _, without = _run(trip, *IN_TIME)
    _, told = _run(trip, "--at", "Larch Landing", "--time", "03:10", *IN_TIME)
    assert "No start was told" in " ".join(without.split())
    assert "No start was told" not in " ".join(told.split())


@pytest.mark.parametrize(
    "start", ["Larch Landing", "Larch Landing (start)", "larch landing (START) ", "Larch Landing (up)"]
)
def test_the_start_is_named_as_the_tables_print_it(trip: Path, start: str) -> None:
    code, text = _run(trip, "--at", start, "--time", "03:10", *IN_TIME)
    assert code == 0
    assert "No start was told" not in " ".join(text.split())


def test_the_order_of_the_places_makes_a_name_plain(trip: Path) -> None:
    _, text = _run(trip, "--at", "Tamsin summit", "--time", "11:00", "--at", "Foot of the cables", "--time", "12:00")
    assert "at Foot of the cables (down) 12:00" in text
    _, text = _run(trip, "--at", BRIDGE, "--time", "04:30", "--at", CAMP_UP, "--time", "06:20", "--json")
    assert json.loads(text)["at"] == CAMP_UP


def test_nothing_is_written(trip: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in trip.parent.rglob("*")}
    _run(trip, *IN_TIME, "--delay", "1 min")
    assert {path: path.stat().st_mtime_ns for path in trip.parent.rglob("*")} == before


PAIR = ("--at", CAMP_UP, "--time", "06:20")


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ((), ("[--at]: every place needs its time", "0 --at and 0 --time", "to mend: write --at")),
        (("--at", CAMP), ("[--time]: every place needs its time", "1 --at and 0 --time", "to mend: write --at")),
        (("--time", "06:20"), ("[--at]: every place needs its time", "0 --at and 1 --time")),
        (
            ("--at", "Aldermere Cmp", "--time", "06:20"),
            (
                "[--at]: unknown place",
                'did you mean "Aldermere Camp (up)" or "Aldermere Camp (down)"?',
                "allowed: Larch Landing (start), Quill River bridge (up)",
                "Larch Landing (down)\n",
            ),
        ),
        (
            ("--at", CAMP, "--time", "06:20"),
            ("[--at]: this place is passed twice", 'allowed: "Aldermere Camp (up)" or "Aldermere Camp (down)"'),
        ),
        (
            ("--at", "Larch Landing", "--time", "04:00", "--at", "Foot of the cables", "--time", "09:00"),
            ("[--at]: this place is passed twice", 'allowed: "Foot of the cables (up)" or "Foot of the cables (down)"'),
        ),
        (
            (*PAIR, "--at", "Larch Landing (start)", "--time", "07:00"),
            ("[--at]: this place is not passed again", "to mend: tell the places in the order of the day"),
        ),
        (
            ("--at", CAMP_UP, "--time", "02:20"),
            ("[--time]: this is not after the planned start", "a time after 04:00", "to mend: if the party left"),
        ),
        (("--at", CAMP_UP, "--time", "6.20"), ("[--time]: this is not a clock time", "read: 6.20")),
        (("--at", CAMP_UP, "--time", "25:00"), ("[--time]: there is no such time of day", "read: 25:00")),
        (
            (*PAIR, "--at", f"{BRIDGE} (up)", "--time", "07:00"),
            ("[--at]: this place is not passed again", "to mend: tell the places in the order of the day"),
        ),
        (
            (*PAIR, "--at", "Lower Step (up)", "--time", "06:10"),
            ("[--time]: times are not in the order", "then 06:10 at Lower Step (up)"),
        ),
        (("--at", "Larch Landing (down)", "--time", "20:00"), ("[--at]: the day ends there", "handline review")),
        ((*PAIR, "--rock", "wett"), ("[--rock]: unknown state of the rock", "dry, damp, wet", 'did you mean "wet"?')),
        ((*PAIR, "--storm", "100 %"), ("[--storm]: this share is outside", "from 0 % to 99 %", 'write "99 %"')),
        ((*PAIR, "--storm", "60"), ("[--storm]: this is not a share", '"60 %"')),
        ((*PAIR, "--storm-from", "13:00"), ("[--storm-from]: this says when", 'add --storm "60 %"')),
        ((*PAIR, "--storm", "60 %", "--storm-from", "1pm"), ("[--storm-from]: this is not a clock time", '"04:30"')),
        ((*PAIR, "--delay", "20"), ("[--delay]: the number has no unit", '"45 min"')),
        ((*PAIR, "--delay", "-5 min"), ("[--delay]: this duration is too small", "from 0 min to 24 h")),
    ],
)
def test_what_cannot_be_used_is_refused_plainly(trip: Path, args: tuple[str, ...], said: tuple[str, ...]) -> None:
    code, text = _run(trip, *args)
    assert code == 2
    assert all(words in text for words in said)
    assert "problems in all" not in text
    assert "Traceback" not in text


def test_all_that_is_wrong_is_told_at_once(trip: Path) -> None:
    bad = ("--at", "Aldermere Cmp", "--time", "7", "--storm", "2", "--storm-from", "x", "--rock", "mud", "--delay", "y")
    code, text = _run(trip, *bad)
    assert code == 2
    assert "6 problems in all" in text
    assert all(f"[{option}]: " in text for option in bad[::2])


def test_a_missing_file(tmp_path: Path) -> None:
    code, text = _run(tmp_path / "none.toml", *IN_TIME)
    assert code == 2
    assert "there is no such file" in text


@pytest.mark.parametrize(("typed", "chance"), [("60 %", 0.6), ("0.6", 0.6), (".6", 0.6), ("0", 0.0), ("99 %", 0.99)])
def test_a_chance_is_typed_as_in_a_trip_file(typed: str, chance: float) -> None:
    problems: list[Problem] = []
    today = today_asked(Asking((), (), storm=typed, rock=" Wet ", delay="1 h 05 min"), problems)
    assert not problems
    assert today == Today(3900.0, StormToday(chance), "wet")


def test_progress_is_told(trip: Path) -> None:
    heard: list[str] = []
    replan_asked(
        read_trip(trip, subject_problems), Asking((CAMP_UP,), ("06:20",)), lambda what, share: heard.append(what)
    )
    assert heard[0] == "Reading the way"
    assert "Simulating days" in heard
    assert heard[-1] == "Planning the rest of the day"
