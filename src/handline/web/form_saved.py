"""From a form that came back to the new text of its file, and what is wrong with that text."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from handline.errors import Problem, TripError
from handline.trip.reading import BYTE_ORDER_MARK, trip_text, typed_values
from handline.trip.writing import cannot_be_put_in, with_values
from handline.web.file_problems import problems_in
from handline.web.folder import TripFile
from handline.web.form_changes import Changes, Posted, applied, changes
from handline.web.saving import version_of


@dataclass(frozen=True)
class FileNow:
    """A trip file as it is: its text, which version that is, and what it says; None where it is not TOML."""

    trip: TripFile
    text: str
    version: str
    typed: dict[str, Any] | None


def file_now(trip: TripFile) -> FileNow:
    """What a trip file says now. Raises TripError where it cannot be read, or is not text."""
    text = trip_text(trip.path)
    try:
        typed, _ = typed_values(text.removeprefix(BYTE_ORDER_MARK), trip.path)
    except TripError:
        return FileNow(trip, text, version_of(text), None)
    return FileNow(trip, text, version_of(text), typed)


@dataclass(frozen=True)
class Filled:
    """A form laid over a file: the text that comes of it, and what is wrong with that, by the keys of the form."""

    text: str
    problems: tuple[Problem, ...]


def filled(now: FileNow, posted: Posted) -> Filled:
    """What a form makes of a file. Of a file that is not TOML nothing is kept but what the form says."""
    said = now.typed if now.typed is not None else {}
    changed = changes(posted, said)
    text = changed_text(now.text if now.typed is not None else "", said, changed, now.trip.path)
    found = problems_in(text, now.trip)
    return Filled(text, tuple(replace(one, key=one.key and changed.key_in_form(one.key)) for one in found))


def changed_text(text: str, typed: Mapping[str, Any], changed: Changes, path: Path) -> str:
    """A text with changes put in, looked at again: it says what it should and nothing else.

    Raises
    ------
    TripError
        The changes cannot be put into a file that is laid out like this.
    """
    if not changed.values:
        return text
    new = with_values(text, changed.values, path)
    says, _ = typed_values(new, path)
    if not _is_alike(says, applied(typed, changed.values)):
        raise TripError(cannot_be_put_in(changed.values, path))
    return new


def _is_alike(one: Any, other: Any) -> bool:
    """Whether two values of TOML are the same, an empty table or list as good as none."""
    if isinstance(one, dict) and isinstance(other, dict):
        return all(_is_alike(one.get(key), other.get(key)) for key in {*one, *other})
    if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        return all(_is_alike(a, b) for a, b in zip(one, other, strict=True))
    if isinstance(one, float) and isinstance(other, float) and math.isnan(one) and math.isnan(other):
        return True
    return (not one and not other and _is_nothing(one) and _is_nothing(other)) or (
        type(one) is type(other) and one == other
    )


def _is_nothing(value: Any) -> bool:
    return value is None or value in ({}, [])
