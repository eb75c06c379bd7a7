"""The permits of a plan in words: for the brief and, in a line each, for the screen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from handline.day.permit_findings import chance_words
from handline.day.permit_words import days_words
from handline.day.plan import Permit, PermitChance, PermitDeadline, Plan
from handline.quantity import show_clock
from handline.season.day_words import day_words

TO_DO: Mapping[str, str] = MappingProxyType(
    {
        "opens": "it may be asked for",
        "closes": "last day to apply",
        "result": "the draw is told",
        "pay by": "last day to pay",
        "pick up": "last day to pick it up",
        "walk-up": "stand in line",
    }
)
"""What each date of a permit is for, short."""


@dataclass(frozen=True)
class DateRow:
    """One date of a permit. ``left`` is empty where no day was given to see it from."""

    words: str
    where: str
    day: str
    clock: str
    left: str
    past: bool


@dataclass(frozen=True)
class PermitShown:
    """A permit that the day needs, every part a sentence or empty."""

    name: str
    held: str
    why: str
    facts: str
    against: tuple[str, ...]
    next: str
    ways: tuple[str, ...]
    cost: str
    chance: str
    chance_says: str
    dates: tuple[DateRow, ...]


@dataclass(frozen=True)
class OtherShown:
    """A permit that the day does not need."""

    name: str
    why: str


@dataclass(frozen=True)
class PermitsShown:
    """Every permit; ``seen`` is the day from which dates are seen, empty where none was given."""

    needed: tuple[PermitShown, ...]
    others: tuple[OtherShown, ...]
    together: str
    together_says: str
    dated: bool
    seen: str


def permits_shown(plan: Plan) -> PermitsShown:
    """The permits of a plan for the brief."""
    needed = tuple(_shown(permit) for permit in plan.permits if permit.needed)
    to_get = [permit for permit in plan.permits if permit.needed and not permit.held]
    together, says = _chance(plan.permits_together if len(to_get) > 1 else None)
    today = plan.provenance.today
    return PermitsShown(
        needed=needed,
        others=tuple(OtherShown(permit.name, permit.why) for permit in plan.permits if not permit.needed),
        together=together,
        together_says=says,
        dated=any(permit.dates for permit in needed),
        seen="" if today is None else day_words(date.fromisoformat(today)),
    )


def permit_line(permit: Permit) -> str:
    """A permit that the day needs, in two sentences: held or not and where it is checked; what comes next."""
    words = f"{permit.name}: {_held(permit)}"
    if permit.checked_at:
        words += f"; checked at {permit.checked_at}"
    return " ".join([f"{words}.", *permit.next[:1]])


def _shown(permit: Permit) -> PermitShown:
    chance, says = _chance(permit.chance)
    return PermitShown(
        name=permit.name,
        held=_held(permit),
        why=permit.why,
        facts=_facts(permit),
        against=tuple(f"{_capital(words)}." for words in permit.against),
        next=" ".join(permit.next),
        ways=() if permit.held else permit.ways,
        cost=_cost(permit),
        chance=chance,
        chance_says=says,
        dates=tuple(_date(one) for one in permit.deadlines),
    )


def _held(permit: Permit) -> str:
    if permit.held:
        return "held"
    return "not held, and no way is left" if permit.gone else "not held"


def _facts(permit: Permit) -> str:
    told = []
    if permit.checked_at:
        told.append(f"Checked at {permit.checked_at}.")
    if permit.places_per_day is not None:
        told.append(f"{permit.places_per_day:,} people a day.")
    if permit.largest_party is not None:
        told.append(f"One permit is for at most {permit.largest_party} people.")
    if not permit.ways and not permit.held:
        told.append("The trip file does not say how to get it: ask the land manager.")
    return " ".join(told)


def _cost(permit: Permit) -> str:
    """What it costs, where it is still to be got, and what to have at hand."""
    told = [f"It costs {permit.fee}"] if permit.fee and not permit.held else []
    if permit.documents:
        told.append(f"{'Carry' if permit.held else 'Have ready'}: {', '.join(permit.documents)}.")
    return " ".join(told)


def _chance(chance: PermitChance | None) -> tuple[str, str]:
    """A chance, and what it rests on."""
    if chance is None:
        return "", ""
    number, _, says = chance_words(chance).partition(". ")
    return f"{number}.", says


def _date(one: PermitDeadline) -> DateRow:
    return DateRow(
        words=_capital(TO_DO[one.what]),
        where=one.where,
        day=day_words(date.fromisoformat(one.date)),
        clock="" if one.clock_s is None else show_clock(one.clock_s),
        left="" if one.days_left is None else days_words(one.days_left),
        past=bool(one.past),
    )


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
