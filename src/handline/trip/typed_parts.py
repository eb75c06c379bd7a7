"""Reading what was typed in a trip file as far as it can be read, for the checks between keys."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeGuard

from handline import quantity
from handline.errors import Problem
from handline.trip.key_lines import Place

Found = tuple[Place, object, Problem]
"""Where, the value as typed, and what is wrong with it."""
Typed = Mapping[str, Any]


def table(typed: Typed, name: str) -> Typed:
    """A section as typed, or an empty one."""
    inner = typed.get(name)
    return inner if isinstance(inner, Mapping) else {}


def tables(typed: Typed, name: str) -> list[tuple[int, Typed]]:
    """The tables of a list, each with its index."""
    inner = typed.get(name)
    return [(i, t) for i, t in enumerate(inner) if isinstance(t, Mapping)] if isinstance(inner, list) else []


def is_text(value: object) -> TypeGuard[str]:
    """Whether this is a text with something in it."""
    return isinstance(value, str) and bool(value.strip())


def is_count(value: object) -> TypeGuard[int]:
    """Whether this is a whole number of things."""
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def amount(value: object, kind: str) -> float | None:
    """A quantity, or None where it cannot be read."""
    if not isinstance(value, str) or len(value) > 60:
        return None
    try:
        return quantity.parse(value, kind)
    except quantity.QuantityError:
        return None


def clock_s(value: object) -> float | None:
    """A clock time [s after local midnight], or None where it cannot be read."""
    if not isinstance(value, str) or len(value) > 60:
        return None
    try:
        return quantity.parse_clock(value)
    except quantity.QuantityError:
        return None
