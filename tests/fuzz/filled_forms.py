"""Forms of the planning table as they come back: keys of the form and others, with what a person or a program typed."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import strategies as st

from handline.trip.writing import Value
from handline.web.form_changes import COUNT, REMOVE
from handline.web.form_fields import Fields, Rows, trip_fields
from tests.fuzz.bases import EXAMPLE_TEXTS, TYPED_LEGS
from tests.fuzz.nasty import DATES, NUMBERS, VALUES, WORDS

Posted = dict[str, list[str]]
Typed = dict[str, Value]


def _keys(fields: Fields, key: str = "") -> Iterator[str]:
    """The keys of the form, [#] standing for the number of a row."""
    for part in fields.inside:
        its_key = f"{key}.{part.name}".removeprefix(".")
        yield its_key
        if isinstance(part, Rows):
            yield from _keys(part.row, f"{its_key}[#]")
        elif isinstance(part, Fields):
            yield from _keys(part, its_key)


_KEYS = tuple(_keys(trip_fields()))
_ROWS = ("waypoints[0]", "waypoints[3]", "waypoints[99]", "waypoints[0].name", "line.sections[0].angle",
         "line.anchors[2]", "party.members[0].name", "permits[0].ways[0].opens", "gear.items[0].mass",
         "route.legs[1].up", "trip.date.x", "party[0]", "a", "", ".", "[0]", "a..b", "line.", "x" * 300,
         "waypoints[999999]", "waypoints[-1]", "line.sections[0][0]")  # fmt: skip
_TEXTS = st.one_of(
    st.sampled_from([word for word in WORDS if len(word) < 1000]), st.sampled_from(NUMBERS), st.sampled_from(DATES),
    st.sampled_from(("4", "120 m", "45 deg", "yes", "no", "Foot", "line_foot", "10 min", "90 %", "dry")),
)  # fmt: skip


def _numbered(key: str, number: int) -> str:
    return key.replace("#", str(number))


def _names() -> st.SearchStrategy[str]:
    keys = st.builds(_numbered, st.sampled_from(_KEYS), st.integers(0, 9))
    plain = st.one_of(keys, keys, st.sampled_from(_ROWS))
    before = st.sampled_from(("", "", "", "", REMOVE, COUNT))
    return st.builds(lambda word, key: word + key, before, plain)


BASES = st.sampled_from((TYPED_LEGS, *EXAMPLE_TEXTS))
POSTED: st.SearchStrategy[Posted] = st.dictionaries(_names(), st.lists(_TEXTS, max_size=2), max_size=6)
TYPED: st.SearchStrategy[Typed] = st.dictionaries(
    st.one_of(st.builds(_numbered, st.sampled_from(_KEYS), st.integers(0, 9)), st.sampled_from(_ROWS)),
    st.one_of(st.none(), st.sampled_from(VALUES), _TEXTS),
    max_size=4,
)
