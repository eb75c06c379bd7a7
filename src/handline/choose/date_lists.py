"""Which dates to put on one application for a permit that is drawn, and in what order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from handline.choose.date_permits import DatePermits, PermitsOf, chance_of_others
from handline.choose.date_ranks import places_in_order, told_apart
from handline.choose.dates_report import DateRow, DrawList, WayOnDate
from handline.day.permit_chances import way_chance
from handline.day.permit_steps import is_told
from handline.quantity import show_share
from handline.season.application_draw import list_chances
from handline.season.date_ranking import best_list_in_cases, list_worth
from handline.season.day_words import day_words
from handline.season.one_order import Floats, at_turns, at_turns_of_chance, even_turns, free_after, free_in_one_order
from handline.season.permit_rules import ByDraw, PermitRule, WalkUp, moment, season_year
from handline.trip.model import Trip
from handline.trip.permit_model import DRAW, Permit, PermitWay

# Sets looked at before the best so far is taken: under a second, and enough for all but long lists of many kinds.
_MOST_SETS = 400

Moments = tuple[dt.date, dt.date, dt.date]
"""The first and the last day to apply, and the day the draw is told."""


@dataclass(frozen=True)
class Drawn:
    """One way to get one permit, such as its draw, for one way of sleeping."""

    trip: Trip
    permit: Permit
    number: int
    way: str

    @property
    def typed(self) -> PermitWay:
        return self.permit.ways[self.number]


@dataclass(frozen=True)
class Entry:
    """A date that may be listed: what it is worth once it is had, and its chance by the draw.

    ``place`` is its place in the order of all dates, and ``tier`` 0 where it meets the limits and the cables stand, 1
    where it only meets them, else 2. ``by_applicants`` where the chance follows from who else applies, else it was told
    as a number. Dates alike in both are alike at every turn: of them the worthiest are listed first.
    """

    date: dt.date
    worth: float
    chance: float
    by_applicants: bool
    place: int
    tier: int

    @property
    def order(self) -> tuple[float, int]:
        """The worthier first; of those alike in two digits whichever the order of all dates has first."""
        return -told_apart(self.worth), self.place

    @property
    def kind(self) -> tuple[bool, float]:
        return self.by_applicants, self.chance


def draw_lists(trip: Trip, rows: Sequence[DateRow], permits: PermitsOf, today: dt.date | None) -> tuple[DrawList, ...]:
    """The best list for each permit that is drawn, each draw and each way of sleeping.

    Only permits whose file says how many dates an application may name, and dates whose chance by that draw is known.

    Parameters
    ----------
    trip : Trip
    rows : sequence of DateRow
        The season.
    permits : mapping
        By date and way.
    today : datetime.date, optional
        The day it is: dates whose draw is closed are left out.
    """
    draws = [drawn for drawn in draws_of(trip, rows, (DRAW,)) if drawn.typed.date_choices is not None]
    return tuple(found for drawn in draws for found in _lists(drawn, rows, permits, today))


def draws_of(trip: Trip, rows: Sequence[DateRow], kinds: Sequence[str]) -> list[Drawn]:
    """Every way of some kinds to get a permit of a trip, for every way of sleeping in the season."""
    ways = tuple(dict.fromkeys(on_date.way for row in rows for on_date in row.ways))
    return [
        Drawn(trip, permit, number, way)
        for permit in trip.permits
        for number, typed in enumerate(permit.ways)
        if typed.way in kinds
        for way in ways
    ]


def date_entries(
    drawn: Drawn, rows: Sequence[DateRow], permits: PermitsOf, today: dt.date | None
) -> list[tuple[Moments, list[Entry]]]:
    """Dates of a known chance for which it is not too late, together where they have the same time to ask."""
    entries: list[tuple[Moments, Entry]] = []
    places = places_in_order(rows, drawn.way)
    for row in rows:
        date, on_date = dt.date.fromisoformat(row.date), next((o for o in row.ways if o.way == drawn.way), None)
        if row.past or on_date is None:
            continue
        of_date = permits[date, drawn.way]
        rule = next((rule for rule in of_date.to_get if rule.name == drawn.permit.name), None)
        moments = None if rule is None else _moments(rule, drawn.number, date, today)
        if moments is None:
            continue
        entry = _entry(drawn, row, on_date, of_date, places[row.date], today)
        if entry is not None:
            entries.append((moments, entry))
    entries.sort(key=lambda found: found[0])
    return [
        (moments, [entry for _, entry in of_one]) for moments, of_one in groupby(entries, key=lambda found: found[0])
    ]


def _lists(drawn: Drawn, rows: Sequence[DateRow], permits: PermitsOf, today: dt.date | None) -> Iterator[DrawList]:
    """A list for each time to apply: dates that have another one are on another application."""
    for moments, entries in date_entries(drawn, rows, permits, today):
        together = best_tier(entries)
        if len(together) > 1:
            yield _best(drawn, together, moments)


def best_tier(entries: Sequence[Entry]) -> list[Entry]:
    """Those that meet the limits with the cables standing, where there are several; else who meets them; else all.

    So a list names no date that the order of all dates puts behind others whatever its chance.
    """
    tiers = [[entry for entry in entries if entry.tier <= worst] for worst in (0, 1)]
    return next((some for some in tiers if len(some) > 1), list(entries))


def _moments(rule: PermitRule, number: int, date: dt.date, today: dt.date | None) -> Moments | None:
    """When to apply for a date; None where it is too late. Who stands in line does so on one day."""
    ruled, year = rule.ways[number], season_year(rule, date)
    if isinstance(ruled, WalkUp):
        given_out = moment(ruled.given_out, date, year)
        return None if today is not None and today > given_out else (given_out, given_out, given_out)
    if not isinstance(ruled, ByDraw) or is_told(ruled, rule, date, today):
        return None
    opens, closes, result = (moment(when, date, year) for when in (ruled.opens, ruled.closes, ruled.result))
    return None if today is not None and today > closes else (opens, closes, result)


def _entry(
    drawn: Drawn, row: DateRow, on_date: WayOnDate, of_date: DatePermits, place: int, today: dt.date | None
) -> Entry | None:
    trip, typed, date = drawn.trip, drawn.typed, dt.date.fromisoformat(row.date)

    def chance_by(way: PermitWay) -> float | None:
        of_crowd, seed = trip.crowd.parties_of, trip.about.seed
        found = way_chance(drawn.permit, way, date, trip.party.size, parties_of=of_crowd, seed=seed)
        return None if found is None else found.share

    chance = chance_by(typed)
    if chance is None:
        return None
    told = chance_by(typed.model_copy(update={"applicants": ()}))
    others = chance_of_others(trip, of_date, drawn.permit.name, today)
    worth = on_date.best_chance * row.worth * (1.0 if others is None else others)
    tier = 2 if on_date.window_clock_s is None else int(not row.raised)
    return Entry(date, worth, chance, by_applicants=told is None, place=place, tier=tier)


def _best(drawn: Drawn, entries: Sequence[Entry], moments: Moments) -> DrawList:
    most = min(drawn.typed.date_choices or 1, len(entries))
    candidates = [
        entry
        for kind in sorted({entry.kind for entry in entries})
        for entry in sorted((e for e in entries if e.kind == kind), key=lambda e: e.order)[:most]
    ]
    candidates.sort(key=lambda entry: entry.place)
    kinds = sorted({entry.kind for entry in candidates})
    free_at = np.stack([_free_at(drawn, kind) for kind in kinds])
    met = free_in_one_order(free_at, [kinds.index(entry.kind) for entry in candidates], seed=drawn.trip.about.seed)
    worth = [told_apart(entry.worth) for entry in candidates]
    found = best_list_in_cases(worth, met.share, met.free, most, most_sets=_MOST_SETS)
    listed = _filled_up(found.dates, candidates, most)
    got, first_alone = list_chances(met, listed), list_chances(met, listed[:1]).any
    chance, value = got.any, float(got.by_choice @ [candidates[place].worth for place in listed])
    by_themselves = list_worth(worth, [entry.chance for entry in candidates], listed).chance
    return DrawList(
        permit=drawn.permit.name,
        way=drawn.way,
        dates=tuple(candidates[place].date.isoformat() for place in listed),
        chance=chance,
        by_themselves=by_themselves,
        value=value,
        proven=found.proven,
        says=_says(chance, first_alone, by_themselves, moments, found.proven),
    )


def _filled_up(chosen: Sequence[int], candidates: Sequence[Entry], most: int) -> tuple[int, ...]:
    """A list with the dates that would come next, as many as it may name: they cost nothing, and it stays in order."""
    others = [place for place in range(len(candidates)) if place not in chosen]
    others.sort(key=lambda place: (-told_apart(candidates[place].worth * candidates[place].chance), place))
    listed = [*chosen, *others[: most - len(chosen)]]
    return tuple(sorted(listed, key=lambda place: candidates[place].order))


def _free_at(drawn: Drawn, kind: tuple[bool, float]) -> Floats:
    by_applicants, chance = kind
    if not by_applicants:
        return at_turns_of_chance(chance)
    typed, about = drawn.typed, drawn.trip.about
    places = typed.places or drawn.permit.places_per_day or 0
    others = [(one.applications, one.people) for one in typed.applicants]
    after = free_after(places, others, drawn.trip.party.size, typed.fits, seed=about.seed)
    return at_turns(after, even_turns(own=typed.applications_per_party))


def _says(chance: float, first_alone: float, by_themselves: float, moments: Moments, proven: bool) -> str:
    opens, closes, result = (day_words(day) for day in moments)
    words = f"Apply from {opens} to {closes}; the draw is told on {result}."
    if chance == 0.0:
        return f"{words} No date by this draw has a chance that is worth anything."
    words += f" Any of them: {show_share(chance)}; the first alone: {show_share(first_alone)}."
    if by_themselves - chance >= 0.01:
        words += (
            f" Were each date drawn by itself it would be {show_share(by_themselves)}; but an application is looked at "
            "once, and who comes late finds every date full."
        )
    return words if proven else f"{words} Not every list was tried: a better one may exist."
