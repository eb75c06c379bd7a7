"""What pydantic found, as Problems that a leader can mend: where, what was read, what is allowed, the near miss."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, time
from types import MappingProxyType
from typing import Any, get_args

from pydantic import ValidationError

from handline.errors import Problem, near_miss
from handline.trip.key_lines import Place
from handline.trip.model import Trip
from handline.trip.section import Section

_TYPES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "bool_type": ("this is neither true nor false", "true or false, without quotes"),
        "tuple_type": ("this is not a list", "a list, as [ ... ]"),
        "model_type": ("this is not a table of keys", "keys with values"),
    }
)
"""What pydantic's own errors mean, by their type; everything else refuses with a Problem of its own."""

_LARGEST_SHOWN = 10**40
"""A longer whole number tells nobody anything, and Python refuses to write it out past some thousand digits."""


def problems_of(error: ValidationError, most: int) -> list[tuple[Place, Problem]]:
    """Each error with its place in the file, as far as so many."""
    found = []
    for detail in error.errors(include_url=False)[:most]:
        place: Place = detail["loc"]
        found.append((place, _problem(detail, place).at(key=written_key(place))))
    return found


def written_key(place: Place) -> str:
    """A place as a user writes it: ("line", "sections", 2, "angle") is "line.sections[2].angle"."""
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in place).removeprefix(".")


def as_typed(value: object) -> str | None:
    """A value as it stands in the file, shortened; None for a list or a table."""
    match value:
        case str():
            text = f'"{value}"'
        case bool():
            text = "true" if value else "false"
        case int() if abs(value) > _LARGEST_SHOWN:
            text = "a very long number"
        case int() | float():
            text = f"{value}"
        case date() | time():
            text = value.isoformat()
        case []:
            text = "[]"
        case _:
            return None
    text = "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in text[:81])
    return text if len(text) <= 80 else f"{text[:76]} ..."


def _problem(detail: Mapping[str, Any], place: Place) -> Problem:
    carried = detail.get("ctx", {}).get("problem")
    read = as_typed(detail["input"])
    if isinstance(carried, Problem):
        return Problem(what=carried.what, read=read, allowed=carried.allowed, mend=carried.mend)
    if detail["type"] == "missing":
        return _missing(place)
    if detail["type"] == "extra_forbidden":
        return _unknown_key(place, read)
    if place == () or detail["type"] not in _TYPES:
        return Problem(what=str(detail["msg"]), read=read)
    what, allowed = _TYPES[detail["type"]]
    return Problem(what=what, read=read, allowed=allowed, mend=_brackets(place))


def _brackets(place: Place) -> str | None:
    """How the header of a section is written, where the place is one."""
    around, name = section_at(place[:-1]), place[-1]
    if around is None or section_at(place) is None or not isinstance(name, str):
        return None
    header = f"[[{written_key(place)}]]" if _is_list(around, name) else f"[{written_key(place)}]"
    return f"write the header {header} and its keys below it"


def _missing(place: Place) -> Problem:
    around, name = section_at(place[:-1]), place[-1]
    if section_at(place) is not None:
        return Problem(
            what=f"the section [{written_key(place)}] is needed", mend=f"add it: {_description(around, name)}"
        )
    return Problem(what=f"{name} is needed here", mend=f"add it: {_description(around, name)}")


def _unknown_key(place: Place, read: str | None) -> Problem:
    around, name = section_at(place[:-1]), str(place[-1])
    known = keys_of(around) if around else []
    what = f'unknown {"key" if len(place) > 1 else "section or key"} "{name[:80]}"'
    homes = sorted(section for section, key in _sections_with_keys() if key == name)
    if guess := near_miss(name[:80], known):
        mend = f'did you mean "{guess}"?'
    elif homes:
        mend = f"it belongs in {' or '.join(homes)}"
    else:
        mend = "take it away, or use one of those"
    return Problem(what=what, read=read, allowed=", ".join(known), mend=mend)


# --- the model, asked about itself ---------------------------------------------------------------------------------


def keys_of(section: type[Section]) -> list[str]:
    """The keys of a section as typed."""
    return [field.alias or name for name, field in section.model_fields.items()]


def section_at(place: Place) -> type[Section] | None:
    """The model of the table at a place, or None where there is no table."""
    section: type[Section] | None = Trip
    for part in place:
        if section is None:
            return None
        if isinstance(part, str):
            section = _section_in(_field(section, part).annotation) if part in keys_of(section) else None
    return section


def _field(section: type[Section], key: str) -> Any:
    return next(field for name, field in section.model_fields.items() if (field.alias or name) == key)


def _section_in(annotation: Any) -> type[Section] | None:
    """The section an annotation is, or is a list of."""
    if isinstance(annotation, type) and issubclass(annotation, Section):
        return annotation
    return next((section for part in get_args(annotation) if (section := _section_in(part))), None)


def _is_list(around: type[Section], key: str) -> bool:
    return not isinstance(_field(around, key).annotation, type)


def _description(around: type[Section] | None, key: str | int) -> str:
    text: str = _field(around, str(key)).description if around else ""
    return text[:1].lower() + text[1:].rstrip(".")


def _sections_with_keys() -> Iterator[tuple[str, str]]:
    """Every section that stands in the file by itself, with each of its keys."""
    for name in keys_of(Trip):
        section = section_at((name,))
        if section is not None:
            header = f"[[{name}]]" if _is_list(Trip, name) else f"[{name}]"
            yield from ((header, key) for key in keys_of(section))
