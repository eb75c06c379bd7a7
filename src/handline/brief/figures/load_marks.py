"""The numbered marks of the load curve: where there is water, and where packs change for another reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handline.brief.words import is_known
from handline.day.plan_load import LoadPlan

# Packs that change by less at a passing do not show in the picture [kg].
_SEEN_KG = 0.05
# Marks nearer to each other than this stand in rows of their own [px].
_APART_PX = 19.0


@dataclass(frozen=True)
class Place:
    """A marked place with its number, and what it is; each place has one number, however often it is passed."""

    number: int
    name: str
    says: str


@dataclass(frozen=True)
class Mark:
    """One passing of a marked place, so far along the way; ``row`` counts up from the curves."""

    place: Place
    at_m: float
    row: int


def marked_places(ways: Sequence[LoadPlan]) -> tuple[Place, ...]:
    """Every place that is marked on some way, numbered as the party comes to them."""
    says: dict[str, str] = {}
    for way in ways:
        for i, name in enumerate(way.passings):
            told = _says(way, i)
            # Sure water on one of the ways is the more to know.
            if told and says.get(name) != _SURE:
                says[name] = told
    in_order = dict.fromkeys(name for way in ways for name in way.passings if name in says)
    return tuple(Place(number, name, says[name]) for number, name in enumerate(in_order, 1))


def marks_of(way: LoadPlan, places: Sequence[Place], most_m: float, width_px: float) -> tuple[Mark, ...]:
    """The marks of one way in rows, none over another, on curves ``width_px`` wide that end at ``most_m``."""
    by_name = {place.name: place for place in places}
    marks: list[Mark] = []
    ends_px: list[float] = []  # where the last mark of each row stands
    for i, name in enumerate(way.passings):
        if not _says(way, i):
            continue
        at_px = width_px * way.distance_m[2 * i] / most_m
        row = next((row for row, end_px in enumerate(ends_px) if at_px - end_px >= _APART_PX), len(ends_px))
        ends_px[row : row + 1] = [at_px]
        marks.append(Mark(by_name[name], way.distance_m[2 * i], row))
    return tuple(marks)


_SURE, _UNSURE, _CHANGES = "water", "water not counted on", "packs change"


def _says(way: LoadPlan, passing: int) -> str:
    """What a passing is marked for; empty where it is not. Start and end are not: there every curve begins and ends."""
    if passing in (0, len(way.passings) - 1):
        return ""
    stop = way.water[passing]
    if stop.source:
        return _SURE
    if stop.dry_says:
        return _UNSURE
    changes = [
        going - coming
        for member in way.members
        for coming, going in [member.pack_kg[2 * passing : 2 * passing + 2]]
        if is_known(coming) and is_known(going)
    ]
    return _CHANGES if any(abs(change) >= _SEEN_KG for change in changes) else ""
