"""The chance of a permit: by each way from what the trip file says, by all its ways, and of all permits together.

Nothing is made up: a way of which the file says nothing has no chance here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache

from handline.day.plan_permits import PermitChance
from handline.season.application_draw import (
    Asking,
    free_dates,
    list_chances,
    simulated_until_full,
    until_full,
)
from handline.season.draw_chances import at_least_one, either, rate_met, walk_up
from handline.season.rules import MissingDayError, parse_period
from handline.trip.permit_model import DRAW, WALK_UP, Permit, PermitRate, PermitWay

SURE_SHARE = 0.9
"""How surely the span around a rate of other years holds it."""
MOST_EXACT_STEPS = 2e8
"""A drawing that ends when it is full is simulated beyond so many steps: about half a second."""
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def way_chance(
    permit: Permit, way: PermitWay, day: date, size: int, *, parties_of: int, seed: int
) -> PermitChance | None:
    """The chance of getting a permit by one way, None where the file says nothing about it.

    A rate of other years that fits the date comes first, then the typed chance, then what follows from who else asks.

    Parameters
    ----------
    permit, way
        Of the trip file.
    day : date
        The day on the line.
    size : int
        People in the party.
    parties_of : int
        How many of those in line for a walk-up come together where the way does not say.
    seed : int
        Of a draw that is simulated.

    Sources: wilson_1927, draw_theory, our_application_draw.
    """
    for rate in way.rates:
        if _fits(rate, day):
            return _of_rate(rate, day)
    if way.chance is not None:
        return PermitChance(way.chance, None, None, None, f"{_by(way)}: as typed")
    places = way.places or permit.places_per_day
    if places is None:
        return None
    if way.way == DRAW and way.applicants:
        return _of_draw(way, places, size, seed)
    if way.way == WALK_UP and way.people_ahead is not None:
        found = walk_up(places, way.people_ahead, size, way.parties_of or parties_of)
        says = f"{_by(way)}: {places} places, about {way.people_ahead} people before you"
        return PermitChance(float(found.chance), None, None, None, says)
    return None


def by_any_way(chances: Sequence[PermitChance | None], ways: Sequence[PermitWay]) -> PermitChance | None:
    """The chance of a permit by ways tried one after the other; None where nothing is said about any.

    A way without a chance counts as none, so the true chance is no lower, and ``says`` tells it.
    """
    known = [chance for chance in chances if chance is not None]
    if not known:
        return None
    share, variance = 0.0, 0.0
    for chance in known:
        error = chance.error or 0.0
        variance = variance * (1.0 - chance.share) ** 2 + (error * (1.0 - share)) ** 2
        share = float(either(share, chance.share).chance)
    low, high = (
        float(1.0 - math.prod(1.0 - (end if end is not None else chance.share) for end, chance in ends))
        for ends in ([(chance.low, chance) for chance in known], [(chance.high, chance) for chance in known])
    )
    spanned = any(chance.low is not None for chance in known)
    unknown = [_by(way).lower() for way, chance in zip(ways, chances, strict=True) if chance is None]
    says = "; then ".join(chance.says for chance in known)
    if unknown:
        says += f"; nothing is said of the chance {' and '.join(unknown)}"
    simulated = any(chance.error is not None for chance in known)
    return PermitChance(
        share,
        math.sqrt(variance) if simulated else None,
        low if spanned else None,
        high if spanned else None,
        says,
    )


def all_together(chances: Iterable[tuple[str, PermitChance | None]]) -> PermitChance | None:
    """The chance of getting several permits, by name; None where there are none, or one of them is not known.

    P = product of all, with the bounds that hold however they hang together: max(0, sum - (n - 1)) and the least of
    them.

    Sources: draw_theory, frechet_bounds.
    """
    named = list(chances)
    known = [chance for _, chance in named if chance is not None]
    if not named or len(known) < len(named):
        return None
    if len(named) == 1:
        return known[0]
    share = math.prod(chance.share for chance in known)
    others = [math.prod(known[j].share for j in range(len(known)) if j != i) for i in range(len(known))]
    error = math.hypot(*((chance.error or 0.0) * other for chance, other in zip(known, others, strict=True)))
    lows = [chance.share if chance.low is None else chance.low for chance in known]
    highs = [chance.share if chance.high is None else chance.high for chance in known]
    return PermitChance(
        share,
        error if any(chance.error is not None for chance in known) else None,
        max(0.0, sum(lows) - (len(lows) - 1)),
        min(highs),
        f"{' and '.join(name for name, _ in named)}, as if they had nothing to do with each other",
    )


def _fits(rate: PermitRate, day: date) -> bool:
    """Whether a rate is for such a day; where its period hangs on a day that the year does not have, it is not."""
    on_day = not rate.weekdays or _WEEKDAYS[day.weekday()] in rate.weekdays
    try:
        return on_day and (not rate.periods or any(parse_period(text).contains(day) for text in rate.periods))
    except MissingDayError:
        return False


def _of_rate(rate: PermitRate, day: date) -> PermitChance:
    days = f"{_WEEKDAYS[day.weekday()]}s" if rate.weekdays else "such days"
    when = f"on {days}{' in this part of the year' if rate.periods else ''} of other years"
    if rate.granted is None or rate.asked is None:
        return PermitChance(rate.chance or 0.0, None, None, None, f"As told {when}")
    met = rate_met(rate.granted, rate.asked, SURE_SHARE)
    says = f"{rate.granted:,} of {rate.asked:,} applications were granted {when}"
    return PermitChance(float(met.share), None, float(met.low), float(met.high), says)


@lru_cache(maxsize=64)
def _of_draw(way: PermitWay, places: int, size: int, seed: int) -> PermitChance:
    own = way.applications_per_party
    others = [(kind.applications, kind.people) for kind in way.applicants]
    applications = sum(count for count, _ in others)
    says = f"By draw: {applications:,} other applications for {places:,} places"
    if way.fits == "one place each":
        share = float(at_least_one(applications + own, places, own).chance)
        return PermitChance(share, None, None, None, says)
    if sum(count * people for count, people in others) + size <= places:
        return PermitChance(1.0, None, None, None, f"{says}: enough for all")
    if way.fits == "ends":
        room = max(places - size, 0)
        if room * min(room, applications) * applications <= MOST_EXACT_STEPS:
            return PermitChance(until_full(places, others, size, own=own), None, None, None, says)
        share, error = simulated_until_full(places, others, size, seed=seed, own=own)
        return PermitChance(share, error, None, None, says)
    asking = [Asking(count, people, (0,)) for count, people in others]
    met = free_dates([places], asking, size, seed=seed, own=own)
    found = list_chances(met, (0,))
    return PermitChance(found.any, None if met.exact else found.any_error, None, None, says)


def _by(way: PermitWay) -> str:
    return {"draw": "By draw", "first come": "By asking first"}.get(way.way, "In person")
