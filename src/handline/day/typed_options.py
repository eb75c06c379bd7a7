"""Numbers and quantities typed as options of a command: read as in a trip file, refused in the same words."""

from __future__ import annotations

from typing import Protocol

from pydantic_core import PydanticCustomError

from handline.errors import Problem
from handline.trip.problems import as_typed


class Reads(Protocol):
    """What reads a typed value, or refuses it."""

    def read(self, value: object) -> float:
        """The value inside."""


def whole(option: str, text: str | None, number: Reads, problems: list[Problem]) -> int | None:
    """A whole number; adds a Problem and gives None where it is not one or lies outside its limits."""
    if text is None:
        return None
    typed: object = text
    if text.strip().lstrip("+-").isdecimal() and len(text) < 40:
        typed = int(text)
    value = _read(option, typed, text, number, problems)
    return None if value is None else int(value)


def amount(option: str, text: str | None, reads: Reads, problems: list[Problem]) -> float | None:
    """A quantity with its unit; adds a Problem and gives None where it cannot be used."""
    return None if text is None else _read(option, text, text, reads, problems)


def _read(option: str, typed: object, text: str, reads: Reads, problems: list[Problem]) -> float | None:
    try:
        return reads.read(typed)
    except PydanticCustomError as error:
        refused: Problem = (error.context or {})["problem"]
        problems.append(Problem(refused.what, as_typed(text), refused.allowed, refused.mend, key=option))
        return None
