"""The permits of the day for the Plan: needed or not, held or not, how to get them, by when, and the chance."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from handline.day.permit_chances import all_together, by_any_way, way_chance
from handline.day.permit_setting import DayPermits, permits_of_trip
from handline.day.permit_steps import is_over, is_told, next_steps
from handline.day.permit_words import fee_words, way_words, why_words
from handline.day.plan_permits import Permit, PermitChance, PermitDeadline
from handline.season.deadlines import MISSED, Deadline, deadlines, standings
from handline.season.permit_rules import LineState, PermitRule, WalkUp, moment, season_year
from handline.trip.model import Trip
from handline.trip.permit_model import Permit as TypedPermit


def plan_permits(trip: Trip, line_state: str, today: date | None = None) -> tuple[Permit, ...]:
    """Every permit of a trip, as its date, the line and the party need it.

    Parameters
    ----------
    trip : Trip
    line_state : str
        How the line stands on the date: "raised" or "lowered".
    today : datetime.date, optional
        The day it is: without it nothing is past.

    Raises
    ------
    TripError
        Whatever of the permits cannot be, all at once.
    """
    state: LineState = "raised" if line_state == "raised" else "lowered"
    asked = permits_of_trip(trip, trip.about.date, state, trip.night.out)
    return tuple(
        _plan_one(trip, typed, rule, asked, today) for typed, rule in zip(trip.permits, asked.rules, strict=True)
    )


def permits_together(permits: tuple[Permit, ...]) -> PermitChance | None:
    """The chance of getting every permit that is needed and not held; None where there is none, or one is not known."""
    return all_together((permit.name, permit.chance) for permit in permits if permit.needed and not permit.held)


def chance_on(trip: Trip, asked: DayPermits, today: date | None = None) -> PermitChance | None:
    """The chance of every permit that a day needs of the party; 1 where none is to be got, None where it is not known.

    A permit that is held is held for the date of the trip, and has to be got for any other.

    Parameters
    ----------
    trip : Trip
    asked : DayPermits
        As ``permit_setting.permits_on`` gives them for that day.
    today : datetime.date, optional
        The day it is: without it nothing is past.
    """
    typed = {permit.name: permit for permit in trip.permits}
    held = {permit.name for permit in trip.permits if permit.held and asked.day == trip.about.date}
    to_get = [rule for rule in asked.needed if rule.name not in held]
    if not to_get:
        says = "All permits are held" if asked.needed else "No permit is needed"
        return PermitChance(1.0, None, None, None, says)
    if asked.against:
        return PermitChance(0.0, None, None, None, "; ".join(one.words for one in asked.against))
    if asked.amiss:
        return None
    return all_together((rule.name, _chance(trip, typed[rule.name], rule, asked, today)) for rule in to_get)


def _plan_one(trip: Trip, typed: TypedPermit, rule: PermitRule, asked: DayPermits, today: date | None) -> Permit:
    needed = rule in asked.needed
    to_get = needed and not typed.held
    gone = to_get and bool(rule.ways) and _all_over(rule, asked.day, today)
    return Permit(
        name=typed.name,
        places_per_day=typed.places_per_day,
        checked_at=typed.checked_at or "",
        held=typed.held,
        needed=needed,
        why=why_words(rule, asked),
        largest_party=typed.largest_party,
        ways=tuple(way_words(way, rule, i, asked.day) for i, way in enumerate(typed.ways)) if needed else (),
        fee=fee_words(rule.fees, asked.size),
        documents=typed.documents,
        chance=_chance(trip, typed, rule, asked, today) if to_get else None,
        deadlines=tuple(_deadlines(rule, asked, typed.held, today)) if needed else (),
        next=next_steps(rule, asked.day, typed.held, today) if needed else (),
        gone=gone,
        against=tuple(one.words for one in asked.against if one.permit == rule.name),
    )


def _chance(
    trip: Trip, typed: TypedPermit, rule: PermitRule, asked: DayPermits, today: date | None
) -> PermitChance | None:
    """The chance by the ways that are still ahead. A draw that was told is no chance any more: the party knows."""
    ahead = [
        way for way, ruled in zip(typed.ways, rule.ways, strict=True) if not is_told(ruled, rule, asked.day, today)
    ]
    if typed.ways and not ahead:
        return PermitChance(0.0, None, None, None, "No way is left") if _all_over(rule, asked.day, today) else None
    chances = [
        way_chance(typed, way, asked.day, asked.size, parties_of=trip.crowd.parties_of, seed=trip.about.seed)
        for way in ahead
    ]
    return by_any_way(chances, ahead)


def _all_over(rule: PermitRule, day: date, today: date | None) -> bool:
    return all(is_over(way, rule, day, today) for way in rule.ways)


def _deadlines(rule: PermitRule, asked: DayPermits, held: bool, today: date | None) -> Iterator[PermitDeadline]:
    found = [one for one in deadlines([rule], asked.day) if not held or one.what == "pick up"]
    if today is None:
        for one in found:
            yield _deadline(one, _where(one, rule, asked.day), None, None)
        return
    for standing in standings(found, today):
        where = _where(standing.deadline, rule, asked.day)
        yield _deadline(standing.deadline, where, standing.days_left, standing.past)


def _deadline(one: Deadline, where: str, days_left: int | None, past: bool | None) -> PermitDeadline:
    missed = bool(past) and one.what in MISSED
    return PermitDeadline(one.what, one.day.isoformat(), one.clock_s, where, one.words, days_left, past, missed)


def _where(one: Deadline, rule: PermitRule, day: date) -> str:
    """Where to go for a deadline, where it is one to go somewhere and the file names the place."""
    if one.what == "pick up":
        return rule.pick_up_at or ""
    walk_ups = (way for way in rule.ways if one.what == "walk-up" and isinstance(way, WalkUp))
    year = season_year(rule, day)
    at = (way.where for way in walk_ups if (moment(way.given_out, day, year), way.clock_s) == (one.day, one.clock_s))
    return next(at, None) or ""
