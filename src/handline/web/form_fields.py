"""The fields of the form for a trip, made from the schema of the trip file: nothing about a key is typed twice."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from handline.trip.schema import trip_schema
from handline.web.form_quotes import without_quotes

Kind = Literal["text", "number", "amount", "choice", "yes_no", "date", "lines", "ticks"]
"""How a value is typed: "amount" is a number or a text with a unit, "lines" a list with one to a line."""

_TYPED = re.compile(
    r'(?:^|(?<=[.:;] ))(?:"start", |An? (?:length|duration|mass|force|angle|speed|temperature|volume|energy|share'
    r"|clock time|latitude|longitude|bearing)\b).*$"
)
"""What a description ends in: which units may be typed, and between which limits."""
_OF_THE_FILE = re.compile(r",? (?:each (?:part )?a \[\[[^\]]*\]\]|(?:as )?a list (?:of|such as) \{[^}]*\})")
"""How a list is laid out in the file: of no use beside a form."""
_LARGEST_TOLD = 1_000_000_000


@dataclass(frozen=True)
class Field:
    """A key with a value."""

    name: str
    label: str
    help: str
    hint: str
    """What may be typed: units, limits, an example."""
    kind: Kind
    needed: bool
    choices: tuple[str | int, ...] = ()
    usual: str | None = None
    """What is meant where nothing is typed, in words; None where nothing is."""


@dataclass(frozen=True)
class Fields:
    """A table of keys."""

    name: str
    label: str
    help: str
    needed: bool
    inside: tuple[Part, ...]

    def part(self, name: str) -> Part | None:
        return next((part for part in self.inside if part.name == name), None)


@dataclass(frozen=True)
class Rows:
    """A list of tables that are alike."""

    name: str
    label: str
    help: str
    one: str
    """What one of them is called."""
    row: Fields
    headed: bool
    """Whether each is written below a [[header]], or all of them in one pair of brackets."""


Part = Field | Fields | Rows


@lru_cache(maxsize=1)
def trip_fields() -> Fields:
    """Everything that may stand in a trip file."""
    schema = trip_schema()
    return _fields("", schema, schema["$defs"], needed=True)


def _fields(name: str, node: Mapping[str, Any], known: Mapping[str, Any], *, needed: bool, help: str = "") -> Fields:
    required = set(node.get("required", ()))
    inside = [_part(key, one, known, key in required) for key, one in node.get("properties", {}).items()]
    return Fields(name, plain(name), help, needed, tuple(inside))


def _part(name: str, node: Mapping[str, Any], known: Mapping[str, Any], needed: bool) -> Part:
    help = _OF_THE_FILE.sub("", node.get("description", ""))
    if reference := _reference(node):
        return _fields(name, known[reference], known, needed=needed, help=help)
    if reference := _reference(node.get("items", {})):
        one = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", reference).lower()
        row = _fields(name, known[reference], known, needed=True)
        return Rows(name, plain(name), help, one, row, "[[" in node["description"])
    return _field(name, node, needed)


def _reference(node: Mapping[str, Any]) -> str | None:
    return node["$ref"].rpartition("/")[2] if "$ref" in node else None


def _field(name: str, node: Mapping[str, Any], needed: bool) -> Field:
    one = node.get("items", node)
    description: str = node.get("description", "")
    typed = _TYPED.search(description)
    help = description[: typed.start()].strip() if typed else description
    choices = tuple(one.get("enum", ()))
    return Field(
        name,
        plain(name),
        help,
        _hint(one, typed[0] if typed else one.get("description", "") if one is not node else ""),
        _kind(node, one, choices),
        needed,
        choices,
        _usual(node.get("default")),
    )


def _kind(node: Mapping[str, Any], one: Mapping[str, Any], choices: tuple[str | int, ...]) -> Kind:
    if one is not node:
        return "ticks" if choices else "lines"
    if choices:
        return "choice"
    if "anyOf" in node:
        return "amount"
    if node.get("format") == "date":
        return "date"
    kinds: Mapping[str, Kind] = {"boolean": "yes_no", "integer": "number", "number": "number"}
    return kinds.get(node["type"], "text")


def _hint(node: Mapping[str, Any], typed: str) -> str:
    """What may be typed, as said in the schema; an example after it."""
    words = [without_quotes(typed).removesuffix(".")]
    if node.get("type") in ("integer", "number"):
        kind = "A whole number" if node["type"] == "integer" else "A number"
        low, high = node.get("minimum"), node.get("maximum")
        if low is not None and high is not None:
            kind += f" from {low:,} to {high:,}" if high < _LARGEST_TOLD else f" from {low:,} on"
        words.append(kind)
    if examples := [str(example) for example in node.get("examples", ())]:
        words.append(f"such as {' or '.join(examples)}")
    return ", ".join(word for word in words if word)


def _usual(default: object) -> str | None:
    if isinstance(default, bool):
        return "yes" if default else "no"
    return str(default) if default not in (None, []) else None


def plain(name: str) -> str:
    """A key in plain words: "cable_diameter" is "Cable diameter"."""
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]


def every_part(fields: Fields, key: str = "") -> Iterator[tuple[str, Part]]:
    """Each part with its key, those inside lists without a number: "waypoints.stop"."""
    for part in fields.inside:
        its_key = f"{key}.{part.name}".removeprefix(".")
        yield its_key, part
        if not isinstance(part, Field):
            yield from every_part(part.row if isinstance(part, Rows) else part, its_key)
