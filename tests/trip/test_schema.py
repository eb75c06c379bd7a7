"""The JSON Schema against the jsonschema library, draft 2020-12: examples pass, mistakes of form do not."""

from __future__ import annotations

import copy
import datetime as dt
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from handline.trip.amount import Amount
from handline.trip.reading import read_trip_text
from handline.trip.schema import trip_schema
from handline.trip.starter import starter_text

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/trip.toml"))
DAY = dt.date(2027, 7, 17)


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    Draft202012Validator.check_schema(trip_schema())
    return Draft202012Validator(trip_schema(), format_checker=Draft202012Validator.FORMAT_CHECKER)


def as_json(value: Any) -> Any:
    """A TOML document as JSON: dates are ISO strings."""
    if isinstance(value, dict):
        return {key: as_json(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_json(item) for item in value]
    return value.isoformat() if isinstance(value, dt.date) else value


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_examples_are_valid(validator: Draft202012Validator, example: Path) -> None:
    validator.validate(as_json(tomllib.loads(example.read_text(encoding="utf-8"))))


@pytest.mark.parametrize("track", ["track.gpx", None])
def test_starters_are_valid(validator: Draft202012Validator, track: str | None) -> None:
    validator.validate(as_json(tomllib.loads(starter_text("Larch", track, DAY))))


def test_there_are_two_examples() -> None:
    assert [path.parent.name for path in EXAMPLES] == ["petrel-slab", "tamsin-dome"]


@pytest.mark.parametrize(
    ("section", "key", "value"),
    [
        ("party", "size", 0),
        ("party", "size", "4"),
        ("party", "sise", 4),
        ("line", "length", 96),
        ("line", "state", "up"),
        ("line", "sections", []),
        ("limits", "chance", 0.3),
        ("trip", "date", "17 July"),
        ("route", "legs", []),
        ("weather", "storm_chance", None),
        ("extra", "key", 1),
    ],
)
def test_mistakes_of_form_are_not_valid(
    validator: Draft202012Validator, short: str, section: str, key: str, value: Any
) -> None:
    document = as_json(tomllib.loads(short))
    assert validator.is_valid(document)
    wrong = copy.deepcopy(document)
    wrong.setdefault(section, {})[key] = value
    assert not validator.is_valid(wrong)


def test_members_stand_in_for_the_size(validator: Draft202012Validator, short: str) -> None:
    document = as_json(tomllib.loads(short))
    document["party"] = {"members": [{"name": "Ada"}]}
    assert validator.is_valid(document)
    document["party"] = {}
    assert not validator.is_valid(document)


def test_a_track_stands_in_for_the_slab(validator: Draft202012Validator, short: str) -> None:
    document = as_json(tomllib.loads(short))
    document["line"] = {"stances": ["10 m"]}
    assert validator.is_valid(document)
    document["line"] = {"length": "10 m"}
    assert not validator.is_valid(document)
    document["line"] = {}
    document["route"] = {"latitude": 46, "longitude": -113, "legs": [{"from": "A", "to": "B", "distance": "1 km"}]}
    assert not validator.is_valid(document)
    document["line"] = {"length": "96 m", "angle": "42 deg"}
    assert validator.is_valid(document)


def fields(node: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    for section in [node, *node["$defs"].values()]:
        yield from section["properties"].items()


def test_every_key_says_what_it_means_and_has_no_made_up_title() -> None:
    for key, field in fields(trip_schema()):
        assert field.get("description"), key
        assert "title" not in field
        assert {"type": "null"} not in field.get("anyOf", []), key


def test_quantities_say_units_limits_and_a_usable_example(trip_file: Path, short: str) -> None:
    reach = trip_schema()["$defs"]["Tethers"]["properties"]["reach"]
    assert reach["description"].endswith("A length in m, km, cm, mm, ft, in, mi, from 0.1 m to 3 m.")
    angle = trip_schema()["$defs"]["Line"]["properties"]["angle"]
    assert angle["description"].endswith(". An angle in deg, rad, more than 0 deg, up to 90 deg.")
    for example in reach["examples"]:
        assert read_trip_text(f'{short}[tethers]\nreach = "{example}"\n', trip_file).tethers.reach_m


@pytest.mark.parametrize(
    "amount", [Amount("length", "4 mm", "40 mm"), Amount("angle", "0 deg", "90 deg", above=True), Amount("mass")]
)
def test_examples_lie_within_the_limits(amount: Amount) -> None:
    examples = amount.json_schema()["examples"]
    assert examples
    assert all(amount.read(example) for example in examples)


def test_defaults_are_shown_as_typed() -> None:
    schema = trip_schema()["$defs"]
    assert schema["Line"]["properties"]["cable_diameter"]["default"] == "12 mm"
    assert schema["About"]["properties"]["start"]["default"] == "05:00"
