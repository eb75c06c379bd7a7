"""Words that are offered beside fields whose words only the subjects know: tethers, models, places of this trip."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

_PLACES, _TETHERS, _MEMBERS = "places", "tethers", "members"
"""Lists that depend on the trip."""
_OFFERED: Mapping[str, str] = {
    "line.foot": _PLACES,
    "line.head": _PLACES,
    "route.ground.from": _PLACES,
    "route.ground.to": _PLACES,
    "permits.checked_at": _PLACES,
    "night.camp": _PLACES,
    "limits.turn_back.at": _PLACES,
    "tethers.chosen": _TETHERS,
    "tethers.own.backup": _TETHERS,
    "gear.items.who": _MEMBERS,
    "tethers.own.kind": "kinds",
    "tethers.own.hitch": "hitches",
    "tethers.own.parts.part": "parts",
    "tethers.own.parts.knot": "knots",
    "line.gloves_up": "gloves",
    "line.gloves_down": "gloves",
    "route.pace_model": "pace-models",
    "party.pace.model": "pace-models",
    "party.members.pace.model": "pace-models",
    "load.treatment": "treatments",
    "waypoints.treatment": "treatments",
}


def offered_at(key: str) -> str | None:
    """The id of the list for a key without numbers, such as "waypoints.treatment"."""
    return f"words-{_OFFERED[key]}" if key in _OFFERED else None


def offered_words(typed: Mapping[str, Any]) -> dict[str, tuple[str, ...]]:
    """Every list of words by its id, with the trip's own names in it."""
    own = {
        _PLACES: tuple(_names(typed.get("waypoints"))),
        _TETHERS: (*_known()[_TETHERS], *_names(_inside(typed, "tethers", "own"))),
        _MEMBERS: tuple(_names(_inside(typed, "party", "members"))),
    }
    return {f"words-{name}": words for name, words in {**_known(), **own}.items()}


@lru_cache(maxsize=1)
def _known() -> Mapping[str, tuple[str, ...]]:
    from handline.day.file_checks import OWN_KINDS
    from handline.line.grip import GLOVES
    from handline.line.hitches import HITCHES
    from handline.line.parts import KNOTS, PARTS
    from handline.line.tethers import TETHERS
    from handline.walking.registry import PACE_MODELS
    from handline.walking.treatment import TREATMENTS

    lists = {
        _TETHERS: TETHERS,
        "kinds": OWN_KINDS,
        "hitches": HITCHES,
        "parts": PARTS,
        "knots": KNOTS,
        "gloves": GLOVES,
        "pace-models": PACE_MODELS,
        "treatments": TREATMENTS,
    }
    return {name: tuple(words) for name, words in lists.items()}


def _inside(typed: Mapping[str, Any], section: str, key: str) -> object:
    table = typed.get(section)
    return table.get(key) if isinstance(table, Mapping) else None


def _names(tables: object) -> Iterator[str]:
    for table in tables if isinstance(tables, list) else []:
        if isinstance(table, Mapping) and isinstance(name := table.get("name"), str) and re.search(r"\S", name):
            yield name.strip()
