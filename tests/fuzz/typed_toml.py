"""Any value as TOML, whether a trip file would have it or not: plain, quick, and as a person would lay it out."""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Mapping
from typing import Any


def as_toml(document: Mapping[str, Any]) -> str:
    """A document with a [section] for each table and a [[section]] for each table of a list."""
    lines = [f"{_key(name)} = {_value(value)}" for name, value in document.items() if not _is_section(value)]
    for name, value in document.items():
        if isinstance(value, Mapping):
            lines += ["", f"[{_key(name)}]", *_pairs(value)]
        elif _is_section(value):
            for table in value:
                lines += ["", f"[[{_key(name)}]]", *_pairs(table)]
    return "\n".join(lines) + "\n"


def _is_section(value: Any) -> bool:
    tables = isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)
    return isinstance(value, Mapping) or tables


def _pairs(table: Mapping[str, Any]) -> list[str]:
    return [f"{_key(name)} = {_value(value)}" for name, value in table.items()]


def _key(name: str) -> str:
    return name if name.isascii() and name.replace("_", "").isalnum() else _text(name)


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return _text(value)
        case float() if not math.isfinite(value):
            return f"{value}"
        case int() | float():
            return repr(value)
        case dt.datetime() | dt.date() | dt.time():
            return value.isoformat()
        case list():
            return f"[{', '.join(_value(one) for one in value)}]"
        case Mapping():
            return f"{{{', '.join(_pairs(value))}}}"
    raise TypeError(f"{type(value).__name__} is no TOML")
