"""The JSON Schema of the trip file as it is typed, for editors that complete and check it."""

from __future__ import annotations

from typing import Any

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def trip_schema() -> dict[str, Any]:
    """What may stand in a trip file: keys as typed, quantities as strings with their units and limits in words."""
    from handline.trip.model import Trip

    schema = _tidy(Trip.model_json_schema(by_alias=True, mode="validation"))
    return {"$schema": DIALECT, "title": "Handline trip file", **schema}


def _tidy(node: Any) -> Any:
    """A part of the schema without what TOML has no use for (null, made-up titles), limits told in the description."""
    if isinstance(node, list):
        return [_tidy(item) for item in node]
    if not isinstance(node, dict):
        return node
    tidy = {
        key: {name: _tidy(item) for name, item in value.items()} if key in ("properties", "$defs") else _tidy(value)
        for key, value in node.items()
        if key != "title" and not (key == "default" and value is None)
    }
    choices = tidy.get("anyOf", [])
    if {"type": "null"} in choices:
        others = [choice for choice in choices if choice != {"type": "null"}]
        del tidy["anyOf"]
        tidy = {**others[0], **tidy, "description": _sentences(tidy.get("description"), others[0].get("description"))}
    if typed := tidy.pop("x-typed", None):
        tidy["description"] = _sentences(tidy.get("description"), typed)
    return tidy


def _sentences(*parts: Any) -> str:
    return " ".join(part for part in parts if part)
