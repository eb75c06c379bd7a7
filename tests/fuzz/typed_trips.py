"""Trip files from the JSON Schema: a trip that plans, with some of its keys set to what the schema allows or to worse.

A file drawn from the schema alone would hardly ever read cleanly, for much must fit together.
"""

from __future__ import annotations

import copy
import datetime as dt
import re
import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

from hypothesis import strategies as st

from handline.line.grip import GLOVES
from handline.line.hitches import HITCHES
from handline.line.parts import KNOTS, PARTS
from handline.line.tethers import KINDS, TETHERS
from handline.quantity import KINDS as QUANTITIES
from handline.trip.schema import trip_schema
from handline.walking.registry import PACE_MODELS
from handline.walking.treatment import TREATMENTS
from tests.fuzz.bases import EXAMPLE_TEXTS, TYPED_LEGS
from tests.fuzz.nasty import DATES, NUMBERS, UNITS, VALUES, WORDS
from tests.fuzz.typed_toml import as_toml

Schema = Mapping[str, Any]

PLACES = ("Gate", "Camp", "Foot", "Head", "Top", "Foot of the slab", "Wren Creek", "start", "end", "nowhere")
PHRASES = (
    "1 December to 31 March", "1 May to 31 October", "last Sunday of September", "second Monday of January",
    "Saturday before the second Monday of June to last Sunday of September", "20 weeks before", "the day before",
    "14 days after the result", "Saturday", "weekends", "29 February", "1 July to 20 August", "1 January",
)  # fmt: skip
_WORDS_OF: Mapping[str, tuple[str, ...]] = {
    "chosen": (*TETHERS, "own one"),
    "backup": (*TETHERS, "own one"),
    "hitch": tuple(HITCHES),
    "part": tuple(PARTS),
    "knot": tuple(KNOTS),
    "kind": tuple(KINDS),
    "gloves_up": tuple(GLOVES),
    "gloves_down": tuple(GLOVES),
    "model": tuple(PACE_MODELS),
    "pace_model": tuple(PACE_MODELS),
    "treatment": tuple(TREATMENTS),
    "timezone": ("America/Denver", "Australia/Hobart", "UTC", "Pacific/Apia", "Asia/Kathmandu", "Nowhere/City"),
    "holidays": ("US", "US-MT", "AU-TAS", "XX", "us"),
    "track": ("track.gpx", "short.gpx", "no.gpx", "forecast.csv"),
    "terrain": ("terrain.tif", "track.gpx", "no.tif"),
    "forecast": ("forecast.csv", "track.gpx", "no.csv"),
    "currency": ("USD", "EUR", "usd", "XXXX"),
    **dict.fromkeys(("foot", "head", "from", "to", "at", "camp", "checked_at"), PLACES),
    **dict.fromkeys(("opens", "closes", "result", "pay_by", "pick_up", "open", "raised", "dry", "periods"), PHRASES),
    "prefer": PHRASES,
    "name": (*PLACES, "own one", "Wren", "Ada"),
}
"""Words that mean something under a key, for words at random never do."""

_QUANTITY = re.compile(
    rf"\bAn? (?P<kind>{'|'.join(QUANTITIES)}) in .*?"
    r"(?:(?:from|more than) (?P<low>[^,]+?),? (?:up )?to (?P<high>[^,]+))?\.$"
)
_RARE_ONE_IN = 30


@st.composite
def trip_texts(draw: st.DrawFn) -> str:
    """The text of a trip file: one of three trips that plan, with up to eight keys set anew."""
    document = copy.deepcopy(draw(st.sampled_from(_bases())))
    for section, key, value in draw(st.lists(_edits(), max_size=8)):
        table = document.setdefault(section, {}) if key else document
        if isinstance(table, list):
            table = table[len(key) % len(table)] if table else {}
        if isinstance(table, dict):
            table[key or section] = value
    return as_toml(document)


@cache
def _bases() -> tuple[dict[str, Any], ...]:
    # Legs that are typed come first and twice: they are read soonest.
    legs = tomllib.loads(TYPED_LEGS)
    return (legs, legs, *(tomllib.loads(text) for text in EXAMPLE_TEXTS))


@cache
def _edits() -> st.SearchStrategy[tuple[str, str, Any]]:
    """A key of a section with a value; now and then a section as a whole, where the key is empty."""
    choices = []
    for section, node in trip_schema()["properties"].items():
        fields = _resolved(node)
        for key, field in fields.get("properties", {}).items():
            choices.append(st.tuples(st.just(section), st.just(key), _values(key, field)))
        choices.append(st.tuples(st.just(section), st.just(""), _allowed(section, node)))
    sections = st.sampled_from(tuple(trip_schema()["properties"]))
    choices.append(st.tuples(sections, st.sampled_from(("", "sise", "name", "at")), _nasty_value()))
    return st.one_of(choices)


def _resolved(node: Schema) -> Schema:
    node = node.get("items", node)
    return trip_schema()["$defs"][node["$ref"].rpartition("/")[2]] if "$ref" in node else node


def _values(key: str, node: Schema) -> st.SearchStrategy[Any]:
    """Values that the schema allows under a key, and now and then one it does not."""
    return _mostly(_allowed(key, node), _nasty_value())


def _mostly(usual: st.SearchStrategy[Any], rare: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """One of the rare ones now and then. A strategy that ``one_of`` is given many times would count but once."""
    return st.integers(1, _RARE_ONE_IN).flatmap(lambda drawn: rare if drawn == _RARE_ONE_IN else usual)


@cache
def _nasty_value() -> st.SearchStrategy[Any]:
    return st.sampled_from(VALUES)


def _allowed(key: str, node: Schema) -> st.SearchStrategy[Any]:
    if "$ref" in node:
        return _object(node["$ref"].rpartition("/")[2])
    if "enum" in node:
        return st.sampled_from(node["enum"])
    if "anyOf" in node and "type" not in node:
        return st.one_of([_allowed(key, {**node, "anyOf": (), **choice}) for choice in node["anyOf"]])
    match node.get("type"):
        case "boolean":
            return st.booleans()
        case "integer":
            low, high = node.get("minimum", 0), node.get("maximum", 1000)
            return _mostly(st.integers(low, min(high, low + 12)), st.sampled_from((low, high, low - 1, high + 1)))
        case "number":
            low, high = node.get("minimum", -1e3), node.get("maximum", 1e3)
            return st.one_of(st.floats(low, high, allow_nan=False), st.sampled_from((low, high)))
        case "array":
            items = _values(key, node.get("items", {}))
            return _mostly(st.lists(items, max_size=3), st.lists(items, max_size=24))
        case "string":
            return _texts(key, node)
        case "object":
            return st.dictionaries(st.sampled_from(("name", "at", "x")), _nasty_value(), max_size=3)
    return _nasty_value()


@cache
def _object(name: str) -> st.SearchStrategy[Any]:
    node = trip_schema()["$defs"][name]
    parts = {key: _values(key, field) for key, field in node.get("properties", {}).items()}
    needed = {key: parts.pop(key) for key in node.get("required", ())}
    return st.fixed_dictionaries(needed, optional=parts)


def _texts(key: str, node: Schema) -> st.SearchStrategy[Any]:
    said = node.get("description", "")
    usual = [*node.get("examples", ()), *([node["default"]] if "default" in node else ())]
    if node.get("format") == "date":
        return st.one_of(st.dates(dt.date(2026, 1, 1), dt.date(2029, 12, 31)), st.dates(), st.sampled_from(DATES))
    if "clock time" in said:
        return st.builds("{:02d}:{:02d}".format, st.integers(0, 24), st.integers(0, 60))
    if "A share" in said:
        return _mostly(
            st.builds("{:d} %".format, st.integers(0, 100)), st.sampled_from(("-1 %", "101 %", "nan %", "%"))
        )
    if "A bearing" in said or "angle above level" in said:
        return _mostly(st.builds("{:d} deg".format, st.integers(0, 90)), st.sampled_from(("SE", "NNW", "361 deg")))
    if quantity := _QUANTITY.search(said):
        return _quantities(quantity, usual)
    words = st.sampled_from((*_WORDS_OF.get(key, PLACES), *usual))
    return _mostly(words, st.one_of(st.sampled_from(WORDS), st.text(max_size=12)))


def _quantities(said: re.Match[str], usual: list[str]) -> st.SearchStrategy[str]:
    """Quantities of a kind: its limits, numbers of all sizes in any of its units, and now and then what is none."""
    units = st.sampled_from(tuple(QUANTITIES[said["kind"]].units))
    number = st.one_of(st.floats(0.0, 12.0), st.floats(0.0, 400.0), st.integers(0, 90))
    limits = [limit for limit in (said["low"], said["high"]) if limit]
    sensible = st.builds("{:.4g} {}".format, number, units)
    worse = st.builds("{} {}".format, st.sampled_from(NUMBERS), st.sampled_from(UNITS))
    return _mostly(st.one_of(sensible, st.sampled_from([*usual, *limits])) if usual or limits else sensible, worse)
