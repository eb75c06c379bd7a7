"""The permits of every date of a season: which are needed, the chance of them all, and what is said of it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

from handline.choose.date_pieces import NIGHT
from handline.day.permit_planning import chance_on
from handline.day.permit_setting import DayPermits, permit_rules, permits_on
from handline.quantity import show_share
from handline.season.permit_rules import LineState, PermitRule
from handline.season.rules import SeasonRuleError
from handline.trip.model import Trip


@dataclass(frozen=True)
class DatePermits:
    """What one date asks for in one way: names of what is ``needed``, and rules of what is not held.

    ``chance`` is of all that is to be got, 1 where that is nothing, None where that of some, ``unknown``, is not known;
    ``known_chance`` is of the others. ``asked`` is None where it is not even known what is needed.
    """

    asked: DayPermits | None
    needed: tuple[str, ...]
    to_get: tuple[PermitRule, ...]
    chance: float | None
    known_chance: float
    unknown: tuple[str, ...]
    says: str


PermitsOf = Mapping[tuple[dt.date, str], DatePermits]
"""By date and way."""


def permits_of_dates(
    trip: Trip, states: Mapping[dt.date, LineState], ways: tuple[str, ...], today: dt.date | None
) -> dict[tuple[dt.date, str], DatePermits]:
    """The permits of every date in every way.

    Parameters
    ----------
    trip : Trip
        A permit that is held is held for its date only.
    states : mapping
        How the line stands on each date.
    ways : tuple of str
    today : datetime.date, optional
        The day it is: without it no way to get a permit is past.

    Raises
    ------
    TripError
        Permits that cannot be, whatever the date.
    """
    rules = permit_rules(trip)
    one = partial(_on_date, trip, rules, today)
    return {(date, way): one(date, state, way) for date, state in states.items() for way in ways}


def chance_of_others(trip: Trip, of_date: DatePermits, name: str, today: dt.date | None) -> float | None:
    """The chance of all permits of a date but one; None where it is not known."""
    if of_date.asked is None:
        return None
    others = tuple(rule for rule in of_date.asked.needed if rule.name != name)
    found = chance_on(trip, replace(of_date.asked, needed=others), today)
    return None if found is None else found.share


def _on_date(
    trip: Trip, rules: tuple[PermitRule, ...], today: dt.date | None, date: dt.date, state: LineState, way: str
) -> DatePermits:
    try:
        asked = permits_on(rules, date, state, way == NIGHT, trip.party.size)
        found = chance_on(trip, asked, today)
    except SeasonRuleError as error:
        # A period or a moment hangs on a day that this year does not have: ask, rather than take it as not needed.
        names = tuple(rule.name for rule in rules)
        return DatePermits(None, names, rules, None, 1.0, names, f"Not known: {error}")
    to_get = _to_get(trip, asked)
    needed = tuple(rule.name for rule in asked.needed)
    if found is not None:
        return DatePermits(asked, needed, to_get, found.share, found.share, (), found.says)
    if asked.amiss:
        names = tuple(rule.name for rule in to_get)
        says = f"Not known: {'; '.join(one.words for one in asked.amiss)}"
        return DatePermits(asked, needed, to_get, None, 1.0, names, says)
    alone = {rule.name: chance_on(trip, replace(asked, needed=(rule,)), today) for rule in to_get}
    unknown = tuple(name for name, chance in alone.items() if chance is None)
    known_chance = math.prod(chance.share for chance in alone.values() if chance is not None)
    says = f"Nothing is said of the chance of {' and '.join(unknown)}"
    if known_chance < 1.0:
        says += f"; the others together: {show_share(known_chance)}"
    return DatePermits(asked, needed, to_get, None, known_chance, unknown, says)


def _to_get(trip: Trip, asked: DayPermits) -> tuple[PermitRule, ...]:
    held = {permit.name for permit in trip.permits if permit.held and asked.day == trip.about.date}
    return tuple(rule for rule in asked.needed if rule.name not in held)
