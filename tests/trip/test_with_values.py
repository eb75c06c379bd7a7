"""Values set in a text: rows added and taken away, and the author's comments where they were."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from handline.errors import TripError
from handline.trip.writing import with_values

FILE = Path("trip.toml")
TEXT = """\
# about the trip
[trip]
date = 2027-07-17

[[waypoints]]
name = "Base"               # under the slab
at = "3 km"

[[waypoints]]
name = "Top"
at = "4 km"
# the next section is about the cables

[line]
sections = [                # from the foot up
  { length = "18 m", angle = "34 deg" },   # easy
]
anchors = ["0 m", "24 m"]   # in the rock

[party]
size = 4
"""


def set_in(text: str, values: dict[str, Any]) -> str:
    new = with_values(text, values, FILE)
    tomllib.loads(new)
    return new


def test_a_row_is_added_below_the_last_and_above_what_leads_over():
    new = set_in(TEXT, {"waypoints[2]": {"name": "Summit", "kind": "summit"}})
    assert (
        'at = "4 km"\n\n[[waypoints]]\nname = "Summit"\nkind = "summit"\n# the next section is about the cables\n'
        in new
    )
    assert new.replace('\n[[waypoints]]\nname = "Summit"\nkind = "summit"\n', "") == TEXT


def test_a_row_begins_a_list_under_its_header():
    new = set_in(TEXT, {"party.members[0]": {"name": "Wren"}, "party.members[1]": {"name": "Rowan"}})
    assert new == TEXT + '\n[[party.members]]\nname = "Wren"\n\n[[party.members]]\nname = "Rowan"\n'


def test_a_row_with_rows_inside():
    new = set_in(
        TEXT, {"permits[0]": {"name": "Line", "ways": [{"way": "draw", "rates": [{"granted": 1, "asked": 9}]}]}}
    )
    assert tomllib.loads(new)["permits"] == [
        {"name": "Line", "ways": [{"way": "draw", "rates": [{"granted": 1, "asked": 9}]}]}
    ]
    assert "[[permits.ways]]" in new


def test_a_row_in_brackets_is_added_on_a_line_of_its_own():
    new = set_in(TEXT, {"line.sections[1]": {"length": "24 m", "angle": "41 deg"}, "line.anchors[2]": "48 m"})
    assert '  { length = "18 m", angle = "34 deg" },   # easy\n' in new
    assert '\n  { length = "24 m", angle = "41 deg" },\n]' in new
    assert 'anchors = ["0 m", "24 m", "48 m"]   # in the rock\n' in new


def test_a_row_that_is_taken_away_takes_only_its_own():
    new = set_in(TEXT, {"waypoints[1]": None})
    assert '[[waypoints]]\nname = "Base"               # under the slab\nat = "3 km"\n' in new
    assert "# the next section is about the cables\n" in new
    assert "Top" not in new


def test_a_long_list_gets_lines_and_a_list_of_tables_one_for_each():
    new = set_in(
        TEXT, {"line.anchors": [f"{i} m" for i in range(40)], "limits.turn_back": [{"at": "Top", "after": "9"}]}
    )
    assert max(map(len, new.splitlines())) < 120
    assert 'turn_back = [\n  { at = "Top", after = "9" },\n]\n' in new
    assert "]   # in the rock\n" in new


@pytest.mark.parametrize(
    "key", ["waypoints[3]", "waypoints[9].name", "line.anchors[5]", "party.size[0]", "trip.date.x"]
)
def test_there_is_no_place_past_the_end(key):
    with pytest.raises(TripError, match="no such place"):
        with_values(TEXT, {key: "x"}, FILE)


@pytest.mark.parametrize("text", ['a"b', "back\\slash", "tab\t", "\x7f", "''' \"\"\"", "# no comment", "é日本", "a\nb"])
def test_any_text_is_written_so_that_it_is_read_as_it_was(text):
    values = {"trip.name": text, "line.anchors": [text], "waypoints[2]": {"name": text}, "gear.items": [{"name": text}]}
    read = tomllib.loads(set_in(TEXT, values))
    assert (read["trip"]["name"], read["line"]["anchors"], read["waypoints"][2], read["gear"]["items"]) == (
        text, [text], {"name": text}, [{"name": text}],
    )  # fmt: skip


def test_nothing_set_is_the_same_text():
    assert with_values(TEXT, {}, FILE) == TEXT
