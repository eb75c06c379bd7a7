"""What if: one call's changes to a trip, which never touch the file, and what was changed in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from pydantic_core import PydanticCustomError

from handline.day.file_checks import unknown_tether
from handline.errors import InputError, Problem, unknown_choice
from handline.line.friction import ROCKS
from handline.line.geometry import STATES
from handline.line.tethers import NONE, TETHERS
from handline.quantity import Units, show_length, show_mass
from handline.trip.amount import Amount
from handline.trip.line_model import Reach
from handline.trip.model import Trip
from handline.trip.party_model import BodyMass
from handline.trip.problems import as_typed

STATE, ROCK, MASS, TETHER, REACH = "--state", "--rock", "--mass", "--tether", "--reach"


@dataclass(frozen=True)
class WhatIf:
    """What is asked for in place of what the file says, as typed; None is as the file has it.

    ``mass`` is a body with clothes, the same for everyone on the line; packs come on top as in the file.
    """

    state: str | None = None
    rock: str | None = None
    mass: str | None = None
    tether: str | None = None
    reach: str | None = None


@dataclass(frozen=True)
class Change:
    """One thing that was changed: by which option, to what, and what the file says."""

    option: str
    now: str
    file_says: str


@dataclass(frozen=True)
class _Wanted:
    """What is asked for, read; None as in the file."""

    state: str | None
    rock: str | None
    mass_kg: float | None
    tether: str | None
    reach_m: float | None


def with_changes(trip: Trip, what_if: WhatIf) -> tuple[Trip, tuple[Change, ...]]:
    """The trip as if its file said otherwise, and what was changed.

    A reach that the file types belongs to the tether it chooses: another tether has its usual one unless one is asked
    for.

    Raises
    ------
    InputError
        Everything that cannot be used, each with its option.
    """
    wanted = _read(trip, what_if)
    about, party, tethers = trip.about, trip.party, trip.tethers
    updates: dict[str, Any] = {}
    if wanted.state is not None:
        updates["line"] = trip.line.model_copy(update={"state": wanted.state})
    if wanted.rock is not None:
        updates["weather"] = trip.weather.model_copy(update={"rock": wanted.rock})
    if wanted.mass_kg is not None:
        mass = {"body_mass_kg": wanted.mass_kg}
        members = tuple(member.model_copy(update=mass) for member in party.members)
        updates["party"] = party.model_copy(update={**mass, "lightest_mass_kg": wanted.mass_kg, "members": members})
    if wanted.tether is not None or wanted.reach_m is not None:
        chosen = tethers.chosen if wanted.tether is None else wanted.tether
        kept_m = tethers.reach_m if chosen == tethers.chosen else None
        reach_m = kept_m if wanted.reach_m is None else wanted.reach_m
        updates["tethers"] = tethers.model_copy(update={"chosen": chosen, "reach_m": reach_m})
    return (trip.model_copy(update=updates) if updates else trip), tuple(_changes(trip, wanted, about.units))


def _changes(trip: Trip, wanted: _Wanted, units: Units) -> list[Change]:
    party, tethers = trip.party, trip.tethers
    changes = []
    if wanted.state not in (None, trip.line.state):
        changes.append(Change(STATE, f"the line {wanted.state}", trip.line.state))
    if wanted.rock not in (None, trip.weather.rock):
        changes.append(Change(ROCK, f"{wanted.rock} rock", trip.weather.rock or "as the weather makes it"))
    if wanted.mass_kg is not None and set(party.light_masses_kg) | set(party.masses_kg) != {wanted.mass_kg}:
        now = f"everyone on the line weighs {show_mass(wanted.mass_kg, units)} with clothes, packs on top"
        changes.append(Change(MASS, now, f"the heaviest {show_mass(max(party.masses_kg), units)}"))
    if wanted.tether not in (None, tethers.chosen):
        changes.append(Change(TETHER, f"tied on with: {wanted.tether}", tethers.chosen))
    if wanted.reach_m not in (None, tethers.reach_m):
        file_says = "as usual" if tethers.reach_m is None else f"{show_length(tethers.reach_m, units)}"
        changes.append(Change(REACH, f"a reach of {show_length(wanted.reach_m or 0.0, units)}", file_says))
    return changes


def _read(trip: Trip, what_if: WhatIf) -> _Wanted:
    problems: list[Problem] = []
    names = [*TETHERS, *(tether.name for tether in trip.tethers.own)]
    choices: Mapping[str, tuple[str | None, tuple[str, ...], Callable[[str], Problem]]] = {
        STATE: (what_if.state, STATES, lambda word: unknown_choice("state of the line", word, STATES)),
        ROCK: (what_if.rock, tuple(ROCKS), lambda word: unknown_choice("state of the rock", word, tuple(ROCKS))),
        TETHER: (what_if.tether, tuple(names), lambda word: unknown_tether(word, names)),
    }
    words = {option: word if word is None else word.strip() for option, (word, _, _) in choices.items()}
    for option, (_, known, refused) in choices.items():
        if (word := words[option]) is not None and word not in known:
            problems.append(refused(word[:80]).at(key=option))
    amounts = {MASS: (what_if.mass, BodyMass), REACH: (what_if.reach, Reach)}
    numbers = {option: _amount(option, text, of, problems) for option, (text, of) in amounts.items()}
    if numbers[REACH] is not None and (words[TETHER] or trip.tethers.chosen) == NONE:
        what = "with nothing attached there is no reach"
        problems.append(Problem(what, read=as_typed(what_if.reach), mend="add --tether NAME", key=REACH))
    if problems:
        raise InputError(problems)
    return _Wanted(words[STATE], words[ROCK], numbers[MASS], words[TETHER], numbers[REACH])


def _amount(option: str, text: str | None, annotation: object, problems: list[Problem]) -> float | None:
    """A quantity as typed, within the limits of the same key in a trip file."""
    if text is None:
        return None
    amount = next(part for part in get_args(annotation) if isinstance(part, Amount))
    try:
        return amount.read(text)
    except PydanticCustomError as error:
        refused: Problem = (error.context or {})["problem"]
        problems.append(Problem(refused.what, as_typed(text), refused.allowed, refused.mend, key=option))
        return None
