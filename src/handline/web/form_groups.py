"""The parts of a trip in the order a leader thinks of them: who, where, when, and what they do there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from handline.web.form_fields import Fields, Part, trip_fields

_GROUPS: Mapping[str, tuple[str, ...]] = {
    "Who": ("party",),
    "Where": ("route", "waypoints"),
    "When": ("trip.name", "trip.date", "trip.start", "night", "season", "choice"),
    "Line and tethers": ("line", "tethers"),
    "Weather and crowd": ("weather", "crowd"),
    "Limits": ("limits",),
    "Gear and water": ("gear", "load"),
    "Permits": ("permits",),
    "Contacts": ("contacts",),
}
REST = "The rest"
"""Whatever no group names, so that a new key is never left out."""


@dataclass(frozen=True)
class Group:
    """Some parts of a trip under one heading; each with the key it stands at."""

    title: str
    parts: tuple[tuple[str, Part], ...]

    @property
    def anchor(self) -> str:
        return "group-" + self.title.lower().replace(" ", "-")


@lru_cache(maxsize=1)
def groups() -> tuple[Group, ...]:
    """Every part of a trip in exactly one group. Keys of one section that are in one group stay together."""
    named = {key for keys in _GROUPS.values() for key in keys}
    found = [Group(title, _parts(keys)) for title, keys in _GROUPS.items()]
    left: list[tuple[str, Part]] = []
    for part in trip_fields().inside:
        if part.name in named:
            continue
        some = [key for key in named if key.startswith(f"{part.name}.")]
        if some and isinstance(part, Fields):
            left.append((part.name, _without(part, {key.rpartition(".")[2] for key in some})))
        else:
            left.append((part.name, part))
    return (*found, Group(REST, tuple(left)))


def _parts(keys: tuple[str, ...]) -> tuple[tuple[str, Part], ...]:
    parts: list[tuple[str, Part]] = []
    for key in keys:
        section, _, name = key.partition(".")
        part = trip_fields().part(section)
        if not name and part is not None:
            parts.append((key, part))
        elif isinstance(part, Fields) and not any(at == section for at, _ in parts):
            others = {one.name for one in part.inside} - {
                one.rpartition(".")[2] for one in keys if one.startswith(section)
            }
            parts.append((section, _without(part, others)))
    return tuple(parts)


def _without(fields: Fields, names: set[str]) -> Fields:
    inside = tuple(part for part in fields.inside if part.name not in names)
    return Fields(fields.name, fields.label, fields.help, fields.needed, inside)
