"""Lines of keys against the standard reader: the same keys, each on the line where its value stands."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from handline.trip.key_lines import Place, key_lines, nearest_line

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/trip.toml"))


def places(value: Any, at: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every key and list item of what the standard reader reads."""
    if at:
        yield at, value
    if isinstance(value, dict):
        for key, item in value.items():
            yield from places(item, (*at, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from places(item, (*at, index))


TRICKY = r'''
a = 1  # [not.a.table]
"b.c" = "x ] # = \" y" # comment
'd' . e = { f = 1, "g\u0041" = [1, 2], h.i = '}' }

[t]
lists = [ # comment ]
  [1, "]"],   # a
  { k = 2 },

  """
  text ] """,
  3,
]
m = """ four quotes ends"""" # here
l = \'\'\'it's
n = 5\'\'\'
n = 1979-05-27 07:32:00Z
[t.u.v]
w = 1
[[x]]
y = 1
[[x.z]]
q = 1
[[x.z]]
[x.z.deep]
q = 2
[[x]]
[x.s]
y = 3
'''.replace(r"\'", "'")


def test_tricky_toml_has_the_standard_readers_keys() -> None:
    assert set(key_lines(TRICKY)) == {place for place, _ in places(tomllib.loads(TRICKY))}


@pytest.mark.parametrize(
    ("place", "line"),
    [
        (("a",), 2),
        (("b.c",), 3),
        (("d", "e", "gA", 1), 4),
        (("d", "e", "h", "i"), 4),
        (("t",), 6),
        (("t", "lists", 0, 1), 8),
        (("t", "lists", 1, "k"), 9),
        (("t", "lists", 2), 11),
        (("t", "lists", 3), 13),
        (("t", "m"), 15),
        (("t", "l"), 16),
        (("t", "n"), 18),
        (("t", "u", "v", "w"), 20),
        (("x", 0, "y"), 22),
        (("x", 0, "z", 1, "deep", "q"), 27),
        (("x", 1, "s", "y"), 30),
    ],
)
def test_tricky_toml_has_the_right_lines(place: Place, line: int) -> None:
    assert key_lines(TRICKY)[place] == line


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_value_of_the_examples_stands_on_its_line(example: Path) -> None:
    text = example.read_text(encoding="utf-8")
    lines = key_lines(text)
    found = list(places(tomllib.loads(text)))
    assert set(lines) == {place for place, _ in found}
    for place, value in found:
        if isinstance(value, str | int | float) and not isinstance(value, bool):
            assert str(value) in text.splitlines()[lines[place] - 1]


def test_windows_line_ends_do_not_move_lines() -> None:
    assert key_lines(TRICKY.replace("\n", "\r\n")) == key_lines(TRICKY)


KEYS = st.text(min_size=1, max_size=6)
LEAVES = st.integers(-99, 99) | st.text(max_size=12) | st.booleans() | st.floats(allow_nan=False) | st.dates()
TABLES = st.recursive(
    st.dictionaries(KEYS, LEAVES, max_size=3),
    lambda inner: st.dictionaries(KEYS, LEAVES | inner | st.lists(LEAVES, max_size=3) | st.lists(inner, max_size=3)),
    max_leaves=8,
)


@given(TABLES)
def test_any_document_has_the_standard_readers_keys(table: dict[str, Any]) -> None:
    text = tomlkit.dumps(table)
    assert set(key_lines(text)) == {place for place, _ in places(tomllib.loads(text))}


def test_a_key_that_is_not_there_has_the_line_around_it() -> None:
    lines = key_lines("[a]\nb = 1\n[[c]]\n")
    assert nearest_line(lines, ("a", "missing")) == 1
    assert nearest_line(lines, ("c", 0, "missing")) == 3
    assert nearest_line(lines, ("d", "missing")) is None
