"""A result as JSON: the same object, name for name. A number that is not there (NaN, infinity) is null."""

from __future__ import annotations

import json
import math
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from handline.day.plan import Plan


def plan_json(plan: Plan) -> str:
    """The Plan as a JSON text, the same bytes for the same Plan."""
    return result_json(plan)


def result_json(result: Any) -> str:
    """Any result, a frozen dataclass, as a JSON text: the same bytes for the same result."""
    return json.dumps(_plain(result), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {name: _plain(getattr(value, name)) for name in _names(type(value))}
    return value


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))
