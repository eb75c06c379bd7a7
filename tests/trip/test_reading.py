"""Reading: what a user can do wrong with a trip file, and what he is told."""

from __future__ import annotations

import contextlib
import datetime as dt
import hashlib
import os
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.errors import Problem, TripError
from handline.trip.model import Trip
from handline.trip.problems import keys_of, section_at
from handline.trip.reading import LARGEST_BYTES, read_trip, read_trip_text

DAY = dt.date(2027, 7, 17)
Problems = Callable[[str], dict[str | None, Problem]]
Read = Callable[[str], Trip]


def one_problem(path: Path) -> Problem:
    with pytest.raises(TripError) as refused:
        read_trip(path)
    (problem,) = refused.value.problems
    assert problem.file == str(path)
    return problem


# --- the file itself -----------------------------------------------------------------------------------------------


def test_a_missing_file_names_its_neighbour(trip_file: Path) -> None:
    assert one_problem(trip_file.with_name("trp.toml")) == Problem(
        "there is no such file", mend='did you mean "trip.toml"?', file=str(trip_file.with_name("trp.toml"))
    )


def test_a_missing_folder_is_a_missing_file(tmp_path: Path) -> None:
    assert one_problem(tmp_path / "none" / "trip.toml").what == "there is no such file"


def test_a_folder_names_the_trip_file_in_it(trip_file: Path) -> None:
    problem = one_problem(trip_file.parent)
    assert (problem.what, problem.mend) == ("this is a folder, not a trip file", f'did you mean "{trip_file}"?')


def test_a_track_in_place_of_a_trip_is_told_what_to_make_of_it(tmp_path: Path) -> None:
    track = tmp_path / "way.gpx"
    track.write_text('<?xml version="1.0"?><gpx version="1.1"/>', encoding="utf-8")
    mend = one_problem(track).mend
    assert mend == "this is a track: make a trip file for it with handline new trip.toml --track way.gpx"


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "trip.toml")
    assert one_problem(tmp_path / "trip.toml").what == "this is not a regular file"


def test_text_that_is_not_utf8_names_its_line(trip_file: Path) -> None:
    trip_file.write_bytes("[trip]\nname = 'Grün'\n".encode("latin-1"))
    problem = one_problem(trip_file)
    assert (problem.what, problem.line) == ("this is not UTF-8 text", 2)


def test_a_file_that_is_too_large_is_not_read(trip_file: Path, short: str) -> None:
    trip_file.write_text(short + "#" * (LARGEST_BYTES - len(short)))
    assert read_trip(trip_file).party.size == 4
    trip_file.write_text(short + "#" * (LARGEST_BYTES - len(short) + 1))
    assert one_problem(trip_file).allowed == "up to 1,000,000 bytes"
    with pytest.raises(TripError, match="too large"):
        read_trip_text(trip_file.read_text(), trip_file)


@pytest.mark.parametrize(
    ("text", "line", "said", "mend"),
    [
        ("[line]\nlength = 96 m  # along\n", 2, "column 13", '"96 m"'),
        ("[trip]\nstart = 04:30\n", 2, "column 10", '"04:30"'),
        ("[weather]\nstorm_chance = 30 %\n", 2, "column 19", '"30 %"'),
        ("[line\n", 1, "column 6", None),
        ("[trip]\nname = 'a'\nname = 'b'\n", 3, "overwrite", None),
        ("[trip]\n\ndate = 2027-02-30\n", 3, "date", "2027-07-17"),
        ("[trip]\ndate = 14.08.2027  # a Saturday\n", 2, "newline", "2027-07-17"),
        ("trip.date = 14 Aug\n", 1, "newline", "date = 2027-07-17"),
        ("[trip]\nupdate = 2027-02-30\n", 2, "date", None),
        ('[trip]\nname = "', 2, "unterminated", None),
        ("x = 1" + "0" * 5000, None, "too many digits", None),
        ("x = " + "[" * 100_000, None, "nested too deep", None),
    ],
)
def test_broken_toml_says_where(trip_file: Path, text: str, line: int | None, said: str, mend: str | None) -> None:
    trip_file.write_text(text)
    problem = one_problem(trip_file)
    assert problem.line == line
    assert said in problem.what
    assert (mend is None) == (problem.mend is None)
    assert mend is None or mend in (problem.mend or "")
    assert (problem.allowed == "year, month and day, such as 2027-07-17") == (mend is not None and "2027" in mend)


def test_a_byte_order_mark_and_windows_lines_are_read(trip_file: Path, short: str) -> None:
    trip_file.write_bytes(b"\xef\xbb\xbf" + short.replace("\n", "\r\n").encode())
    assert read_trip(trip_file).party.size == 4


def test_the_hash_is_that_of_the_bytes(trip_file: Path) -> None:
    for content in (trip_file.read_bytes(), b"\xef\xbb\xbf" + trip_file.read_bytes()):
        trip_file.write_bytes(content)
        assert read_trip(trip_file).sha256 == hashlib.sha256(content).hexdigest()


def test_a_trip_without_a_name_has_its_folders_or_files(tmp_path: Path, short: str) -> None:
    folder = tmp_path / "larch_and-back"
    folder.mkdir()
    (folder / "track.gpx").touch()
    assert read_trip_text(short, folder / "trip.toml").about.name == "larch and back"
    assert read_trip_text(short, folder / "second-day.toml").about.name == "second day"


# --- what it says --------------------------------------------------------------------------------------------------

MANY = """\
[trip]
date = 2027-07-17
start = "4 o'clock"
seed = -1

[route]
track = "trak.gpx"
terrain = "terrain.tif"

[line]
lenght = "120 m"
stanchion_spacing = 2.7
sections = [
  { length = "18 m", angle = "34 deg" },
  { length = "-24 m", angle = "95 deg" },
]

[party]
size = 0
pace_spread = "90 %"

[wether]
rock = "dry"
wait_up = "5 min"

[gear]
carried = ["light", "glovs"]
rock = "wet"
"""


def test_every_problem_is_told_at_once_with_its_line(problems: Problems) -> None:
    found = problems(MANY)
    assert {key: problem.line for key, problem in found.items()} == {
        "trip.start": 3,
        "trip.seed": 4,
        "route.track": 7,
        "route.terrain": 8,
        "line.lenght": 11,
        "line.stanchion_spacing": 12,
        "line.sections[1].length": 15,
        "line.sections[1].angle": 15,
        "party.size": 19,
        "party.pace_spread": 20,
        "wether": 22,
        "gear.carried[1]": 27,
        "gear.rock": 28,
    }


def test_problems_come_in_the_order_of_the_file(read: Read) -> None:
    with pytest.raises(TripError) as refused:
        read(MANY)
    lines = [problem.line for problem in refused.value.problems]
    assert lines == sorted(lines, key=lambda line: line or 0)


def test_each_problem_says_what_was_read_what_may_stand_and_how_to_mend(problems: Problems, trip_file: Path) -> None:
    found = problems(MANY)
    assert str(found["line.sections[1].angle"]) == (
        f"{trip_file}:15 [line.sections[1].angle]: this angle is too large\n"
        '    read: "95 deg"\n'
        "    allowed: more than 0 deg, up to 90 deg\n"
        "    to mend: measure from the horizontal: 90 deg is a wall, and past it the rock overhangs"
    )
    assert found["line.sections[1].length"].allowed == "from 0.5 m to 3 km"
    assert found["line.stanchion_spacing"].read == "2.7"
    assert "no unit" in found["line.stanchion_spacing"].what
    assert found["trip.start"].read == '"4 o\'clock"'
    assert found["party.pace_spread"].allowed == "from 0 % to 50 %"
    assert found["route.terrain"].what == "there is no such file"
    assert found["wether"].what == 'unknown section or key "wether"'
    assert found["gear.rock"].what == 'unknown key "rock"'


@pytest.mark.parametrize(
    ("key", "mend"),
    [
        ("line.lenght", 'did you mean "length"?'),
        ("wether", 'did you mean "weather"?'),
        ("gear.carried[1]", 'did you mean "gloves"?'),
        ("gear.rock", "it belongs in [weather]"),
        ("route.track", 'did you mean "track.gpx"?'),
    ],
)
def test_near_misses_are_named(problems: Problems, key: str, mend: str) -> None:
    assert problems(MANY)[key].mend == mend


def test_missing_sections_are_told_together(problems: Problems) -> None:
    found = problems("")
    assert set(found) == {"trip", "route", "line", "party"}
    assert found["line"].what == "the section [line] is needed"
    assert "date" in (found["trip"].mend or "")


def test_a_missing_key_has_the_line_of_its_section(problems: Problems, short: str) -> None:
    found = problems(short.replace("date = 2027-07-17", "") + "\n[[permits]]\nheld = true\n")
    assert (found["trip.date"].line, found["trip.date"].what) == (1, "date is needed here")
    assert found["permits[0].name"].line == 14


@pytest.mark.parametrize(
    ("text", "key", "mend"),
    [
        ('waypoints = "none"', "waypoints", "[[waypoints]]"),
        ("crowd = 3", "crowd", "[crowd]"),
        ("[waypoints]\nname = 'a'", "waypoints", "[[waypoints]]"),
        ("[tethers]\nown = 3", "tethers.own", "[[tethers.own]]"),
    ],
)
def test_a_section_of_another_shape_is_shown_its_header(
    problems: Problems, short: str, text: str, key: str, mend: str
) -> None:
    (found,) = problems(text + "\n" + short).items()
    assert found[0] == key
    assert f"write the header {mend} " in (found[1].mend or "")


@pytest.mark.parametrize(
    ("keys", "key", "allowed"),
    [
        ('held = "yes"', "permits[0].held", "true or false, without quotes"),
        ("places_per_day = 0", "permits[0].places_per_day", "a whole number from 1 to 100,000"),
        ("name = 3", "permits[0].name", "one line of text in quotes, 1 to 80 characters"),
    ],
)
def test_values_of_another_type_are_told_theirs(
    problems: Problems, short: str, keys: str, key: str, allowed: str
) -> None:
    text = short + "[[permits]]\n" + ("" if "name" in keys else "name = 'p'\n") + keys
    assert problems(text)[key].allowed == allowed


def test_a_list_where_one_value_stands(problems: Problems, short: str) -> None:
    found = problems(short.replace("[line]", '[line]\nanchors = "24 m"'))
    assert found["line.anchors"].what == "this is not a list"


@pytest.mark.parametrize("key", ["party.size", "party.pace_spread", "party.body_mass", "route.latitude", "trip.date"])
def test_a_number_too_long_to_be_written_is_refused(problems: Problems, short: str, key: str) -> None:
    section, name = key.split(".")
    text = "\n".join(line for line in short.splitlines() if not line.startswith(f"{name} ="))
    found = problems(f"{text}\n".replace(f"[{section}]", f"[{section}]\n{name} = 0x{'f' * 9000}"))
    assert found[key].read == "a very long number"


def test_a_folder_is_no_track(problems: Problems, short: str, trip_file: Path) -> None:
    (trip_file.parent / "tracks").mkdir()
    assert problems(short.replace("track.gpx", "tracks"))["route.track"].what == "this is not a file"
    assert "cannot be printed" in problems(short.replace("track.gpx", "a\\u0000b"))["route.track"].what
    assert "cannot be the name" in problems(short.replace("track.gpx", "x" * 400))["route.track"].what


HEADERS = ["[line]", "[[waypoints]]", "[party.members]", "[[party.members]]", "name =", "at = 'end'", "size", "= 4"]
SIGNS = ["'96 m'", "2027-07-17", "nan", "[", "]", "{", "}", '"', "'", ",", ".", "#", "\\", "\n"]
BITS = st.sampled_from(HEADERS + SIGNS)


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(bits=st.lists(BITS | st.text(max_size=3), max_size=12))
def test_any_text_is_a_trip_or_a_clear_refusal(bits: list[str], trip_file: Path, short: str) -> None:
    for text in ("".join(bits), short + "".join(bits)):
        with contextlib.suppress(TripError):
            assert read_trip_text(text, trip_file).path == trip_file


KEYS = [(section, key) for section in keys_of(Trip) for key in keys_of(section_at((section,)) or Trip)]
LEAVES = st.sampled_from(["", "96 m", "90 %", "04:30", "end", "none", -1, 0, 10**18, 0.5, float("nan"), True, DAY])
VALUES = st.recursive(
    LEAVES | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["name", "at", "length"]), inner),
    max_leaves=4,
)


@settings(deadline=None, max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(changes=st.dictionaries(st.sampled_from(KEYS), VALUES, min_size=1, max_size=3))
def test_any_value_anywhere_is_a_trip_or_a_clear_refusal(
    changes: dict[tuple[str, str], Any], trip_file: Path, short: str
) -> None:
    document = tomllib.loads(short)
    for (section, key), value in changes.items():
        table = document.setdefault(section, [{}] if section in ("waypoints", "permits") else {})
        (table[0] if isinstance(table, list) else table)[key] = value
    with contextlib.suppress(TripError):
        assert read_trip_text(tomlkit.dumps(document), trip_file).path == trip_file
