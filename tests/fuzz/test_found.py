"""What fuzzing found, and inputs of great size: each a case of its own, so that it stays mended."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handline.day.file_checks import subject_problems
from handline.day.line_setting import set_up_line
from handline.day.planning import make_plan
from handline.errors import InputError, Problem, TripError
from handline.trip.reading import LARGEST_BYTES, MOST_TOLD, read_trip_text, typed_values
from handline.trip.writing import with_values
from handline.weather.forecast_csv import read_forecast_csv
from tests.fuzz.bases import short_track
from tests.fuzz.entrances import ON_TRACK
from tests.fuzz.watched import watched

FILE = Path("trip.toml")


def test_a_date_with_a_time_is_refused_and_not_compared_with_a_season() -> None:
    text = '[trip]\ndate = 2027-07-17T04:30:00Z\n[season]\nopen = ["1 June to 30 September"]\n'
    text += '[[waypoints]]\nname = "Spring"\nkind = "water"\ndry = ["1 July to 31 July"]\n'
    with pytest.raises(TripError) as refused:
        read_trip_text(text, FILE, subject_problems)
    assert "trip.date" in {problem.key for problem in refused.value.problems}


def test_letters_that_steer_a_terminal_are_written_out() -> None:
    text = str(Problem("unknown column", read="\x1b[31mred\u202e", key="a\x7fb", file="é.csv"))
    assert text == "é.csv [a\\x7fb]: unknown column\n    read: \\x1b[31mred\\u202e"


def test_a_column_whose_name_is_an_order_to_the_terminal(tmp_path: Path) -> None:
    file = tmp_path / "forecast.csv"
    file.write_text("time,temperature_C,\x1b]0;owned\x07\n2027-07-17T00:00,5,1\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"\\x1b\]0;owned\\x07") as refused:
        read_forecast_csv(file, "UTC")
    assert "\x1b" not in str(refused.value)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ('[[waypoints]]\nname = "A"\n', {"waypoints[1]": "no table"}),
        ('[[waypoints]]\nname = "A"\n', {"waypoints[0]": 1}),
        ('[party]\nsize = 4\n[[party.members]]\nname = "A"\n', {"party.members[1]": 5}),
    ],
)
def test_a_value_that_fits_nowhere_is_a_plain_error(text: str, values: dict[str, object]) -> None:
    with pytest.raises(TripError, match="cannot be put into the file as it is laid out") as refused:
        with_values(text, values, FILE)  # type: ignore[arg-type]
    assert next(iter(values)) in str(refused.value)


def test_a_way_that_is_all_line_keeps_nobody_waiting(tmp_path: Path) -> None:
    line = {
        "type": "LineString",
        "coordinates": [[146.2750 + i * 1e-4, -42.0819 + i * 1e-4, 642.0 + i] for i in range(3)],
    }
    (tmp_path / "line.geojson").write_text(json.dumps(line), encoding="utf-8")
    text = ON_TRACK.format(track="line.geojson").replace("[route]", "days = 100\n[route]")
    text += '[crowd]\nwait_up = "5 min"\nwait_down = "5 min"\n'
    plan = make_plan(read_trip_text(text, tmp_path / "trip.toml", subject_problems))
    assert all(leg.is_line for leg in plan.legs)
    assert [member.slowest_share for member in plan.pace.members] == [0.0]


@pytest.mark.filterwarnings("error")
def test_places_beyond_all_numbers_are_refused_and_not_added_up(tmp_path: Path) -> None:
    track = short_track().replace('lat="-42.081979" lon="146.275038"', 'lat="-1e308" lon="-1e308"')
    assert "1e308" in track
    (tmp_path / "far.gpx").write_text(track, encoding="utf-8")
    trip = read_trip_text(ON_TRACK.format(track="far.gpx"), tmp_path / "trip.toml", subject_problems)
    with pytest.raises(TripError, match=r"far.gpx:5 .*not on the Earth: 1 point"):
        set_up_line(trip)


def test_a_file_with_more_problems_than_anyone_mends_counts_the_rest() -> None:
    text = "[party]\n" + "".join(f"size{i} = 1\n" for i in range(1000))
    with pytest.raises(TripError) as refused:
        read_trip_text(text, FILE)
    told = refused.value.problems
    # The sections that are not there are problems too: trip, route, line; and the size.
    assert len(told) == MOST_TOLD + 1
    assert told[-1].what == f"and {1000 + 4 - MOST_TOLD:,} more problems"
    assert all(problem.line for problem in told[3:-1])


@pytest.mark.parametrize(
    "key", ["a" + ".a" * 100 + " = 1", "[" + "a." * 100 + "a]", "x = {" + '"a" . ' * 100 + "a = 1}"]
)
def test_a_key_of_endless_parts_is_refused_on_its_line(key: str) -> None:
    with pytest.raises(TripError, match=r"trip.toml:2: this key has too many dots in it"):
        read_trip_text(f"# x\n{key}\n", FILE)


def test_dots_in_words_and_comments_are_no_key() -> None:
    text = (
        "# "
        + "." * 200
        + '\n[contacts]\ncar = "'
        + "a. b, " * 100
        + '"\n[line]\nanchors = ['
        + '"0.5 m", ' * 100
        + "]\n"
    )
    assert typed_values(text, FILE)[0]["line"]["anchors"][99] == "0.5 m"


_LARGE = {
    "one long list": 'anchors = ["' + '0 m", "' * 140_000 + '1 m"]\n',
    "many tables of a list": "[[waypoints]]\n" * 20_000,
    "many keys": "".join(f"a{i} = 1\n" for i in range(30_000)),
    "many tables": "".join(f"[a{i}]\n" for i in range(30_000)),
    "one long text": 'name = "' + "x" * 990_000 + '"\n',
    "many lines of a text": 'name = """' + "\n" * 990_000 + '"""\n',
    "a key of many parts": "a" + ".a" * 400_000 + " = 1\n",
    "a header of many parts": "[a" + ".a" * 400_000 + "]\n",
    "brackets in brackets": "a = " + "[" * 900_000 + "\n",
    "braces in braces": "a = " + "{a=" * 300_000 + "\n",
    "many quotes": "a = " + '"' * 990_000 + "\n",
    "escapes": 'a = "' + "\\u0041" * 160_000 + '"\n',
    "only comments": "# x\n" * 240_000,
    "a whole number": "a = " + "9" * 990_000 + "\n",
    "blanks": " " * 990_000 + "=\n",
    "unknown keys that look alike": "[party]\n" + "".join(f"size{i} = 1\n" for i in range(20_000)),
    "too large": "#" * (LARGEST_BYTES + 1),
}


@pytest.mark.parametrize("text", _LARGE.values(), ids=_LARGE)
def test_a_file_of_great_size_is_told_in_time(text: str) -> None:
    error = watched("large", text.encode(), ".toml", lambda: _read(text), "trip.toml")
    assert isinstance(error, TripError)


def _read(text: str) -> None:
    read_trip_text(text, FILE, subject_problems)
