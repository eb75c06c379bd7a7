"""The gear as a list to tick off: what is missing, what everybody carries, and what each carries besides."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from handline.day.plan import Finding, Plan
from handline.day.plan_load import GearShown
from handline.quantity import Units, show_pack

GEAR_KEY = "gear_"
_TIMES = re.compile(r"^(.*) \((\d+)\)$")


@dataclass(frozen=True)
class CheckRow:
    """One thing to tick off, and what is to know of it."""

    words: str
    small: str


@dataclass(frozen=True)
class CheckGroup:
    """The things of one list."""

    title: str
    rows: tuple[CheckRow, ...]


@dataclass(frozen=True)
class GearChecks:
    """Every list, none of them empty; ``says`` what the lists do not tell."""

    missing: tuple[CheckRow, ...]
    groups: tuple[CheckGroup, ...]
    says: str


def gear_checks(plan: Plan) -> GearChecks:
    """The gear of a plan to tick off."""
    groups = [
        CheckGroup("Each of you", tuple(_everybodys(plan))),
        *(CheckGroup(f"{who[:1].upper()}{who[1:]} also carries", tuple(rows)) for who, rows in _besides(plan).items()),
        CheckGroup("For the permits", tuple(_papers(plan))),
    ]
    return GearChecks(
        missing=tuple(_missing(finding) for finding in plan.findings if finding.key.startswith(GEAR_KEY)),
        groups=tuple(group for group in groups if group.rows),
        says=""
        if plan.load.gear or plan.load.carried
        else "The trip file has no gear list, so there is nothing of yours to tick off here.",
    )


def _missing(finding: Finding) -> CheckRow:
    """The piece that is missing, and why the plan asks for it."""
    piece, _, why = finding.sentence.partition(" not in the gear list: ")
    return CheckRow(piece, why[:1].upper() + why[1:]) if why else CheckRow(finding.sentence, "")


def _everybodys(plan: Plan) -> Iterator[CheckRow]:
    for name in plan.load.carried:
        yield CheckRow(name[:1].upper() + name[1:], "")
    for item in plan.load.gear:
        if not item.shared and len(item.carriers) >= _people(plan):
            yield CheckRow(_piece(item.name, item.count), _small(item, item.count, plan.units))
    if plan.load.members:
        yield CheckRow("Water and food", "as much as stands under “Packs, water and food”")


def _besides(plan: Plan) -> dict[str, list[CheckRow]]:
    """What only some carry, by who carries it, in the order of the party."""
    found: dict[str, list[CheckRow]] = {}
    for item in plan.load.gear:
        if not item.shared and len(item.carriers) >= _people(plan):
            continue
        for told in item.carriers:
            times = _TIMES.match(told) if item.shared and item.count > 1 else None
            who, count = (times[1], int(times[2])) if times else (told, 1 if item.shared else item.count)
            found.setdefault(who, []).append(CheckRow(_piece(item.name, count), _small(item, count, plan.units)))
    order = {name: i for i, name in enumerate((*plan.contacts.names, *_all_carriers(plan)))}
    return dict(sorted(found.items(), key=lambda entry: order.get(entry[0], len(order))))


def _all_carriers(plan: Plan) -> list[str]:
    """Everybody, as a piece that everybody has tells them."""
    return [name for item in plan.load.gear if not item.shared for name in item.carriers]


def _papers(plan: Plan) -> Iterator[CheckRow]:
    for permit in plan.permits:
        if permit.needed:
            yield CheckRow(permit.name, f"with {', '.join(permit.documents)}" if permit.documents else "")


def _people(plan: Plan) -> int:
    return sum(member.count for member in plan.load.members)


def _piece(name: str, count: int) -> str:
    words = f"{name} ×{count}" if count > 1 else name
    return words[:1].upper() + words[1:]


def _small(item: GearShown, count: int, units: Units) -> str:
    """What one weighs, and where it is if not in the pack."""
    told = [show_pack(item.mass_kg, units) + (" each" if count > 1 else "")]
    told += [words for words, is_so in (("worn", item.worn), ("for the night", item.night)) if is_so]
    return ", ".join(told)
