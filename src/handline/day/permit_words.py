"""Permits in words: why one is needed or not, how it is got, and what it costs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from handline.day.permit_setting import DayPermits
from handline.quantity import show_clock
from handline.season.day_words import day_words
from handline.season.permit_rules import ByDraw, Fee, FirstCome, NeededWhen, PermitRule, WalkUp, moment, season_year
from handline.season.rules import MissingDayError, Period
from handline.trip.permit_model import PermitWay

_STANDS = {"raised": "while the cables stand", "lowered": "while the cables lie on the rock"}


def why_words(rule: PermitRule, asked: DayPermits) -> str:
    """Why a permit is needed on the day, or why not."""
    against = [words for words, holds in _parts(rule.when, asked) if not holds]
    if rule not in asked.needed:
        return f"Only {', '.join(against)}."
    if against:
        by = [other.name for other in asked.needed if rule.name in other.needs]
        return f"Given together with {' and '.join(by)}."
    told = [words for words, _ in _parts(rule.when, asked)]
    return f"Needed {', '.join(told)}." if told else "Needed on any day."


def way_words(way: PermitWay, rule: PermitRule, number: int, day: date) -> str:
    """One way to get a permit for a day, in a sentence or two."""
    ruled, year = rule.ways[number], season_year(rule, day)
    match ruled:
        case ByDraw(opens=opens, closes=closes, result=result):
            first, last, told = (moment(when, day, year) for when in (opens, closes, result))
            span = f"from {at_words(first, ruled.opens_clock_s)} to {at_words(last, ruled.closes_clock_s)}"
            words = f"By draw: apply {span}; the result is told on {day_words(told)}."
            return " ".join([words, *_draw_words(way)])
        case FirstCome(opens=opens, opens_clock_s=clock_s):
            return f"Who asks first gets it, from {at_words(moment(opens, day, year), clock_s)} on."
        case WalkUp(clock_s=clock_s, given_out=given_out, where=where):
            place = f" at {where}" if where else ""
            return f"In person{place}: {at_words(moment(given_out, day, year), clock_s)}."


def at_words(day: date, clock_s: float | None) -> str:
    """ "31 March 2027", or "31 March 2027 at 16:00"."""
    return day_words(day) if clock_s is None else f"{day_words(day)} at {show_clock(clock_s)}"


def days_words(days_left: int) -> str:
    """ "in 12 days", "today", "3 days ago"."""
    if not days_left:
        return "today"
    count = "1 day" if abs(days_left) == 1 else f"{abs(days_left)} days"
    return f"in {count}" if days_left > 0 else f"{count} ago"


def fee_words(fees: Sequence[Fee], size: int) -> str:
    """What a permit costs: each fee, and what that makes for the party with one application; nothing where it is free
    or not told."""
    if not fees:
        return ""
    told = " and ".join(fee.words for fee in fees)
    sums: dict[str, float] = {}
    for fee in fees:
        sums[fee.currency] = sums.get(fee.currency, 0.0) + fee.amount * (size if fee.per == "person" else 1)
    total = " and ".join(f"{amount:,.2f} {currency}" for currency, amount in sums.items())
    if size == 1 and len(fees) == 1:
        return f"{told}."
    once = ", with one application" if any(fee.per == "application" for fee in fees) else ""
    return f"{told}: {total} for {'one person' if size == 1 else f'your party of {size}'}{once}."


def _parts(when: NeededWhen, asked: DayPermits) -> Iterator[tuple[str, bool]]:
    """Each part of when a permit is needed: in words, and whether it holds on the day."""
    if when.periods:
        inside = [period for period in when.periods if _holds(period, asked.day)]
        told = inside or when.periods
        yield f"from {' or from '.join(period.words for period in told)}", bool(inside)
    if when.states:
        yield _STANDS[when.states[0]], asked.state in when.states
    if when.night_out is not None:
        yield "for a night out" if when.night_out else "without a night out", when.night_out is asked.night_out
    if when.size_from > 1 or when.size_to is not None:
        fits = when.size_from <= asked.size and (when.size_to is None or asked.size <= when.size_to)
        yield f"for parties of {_sizes(when)}", fits


def _holds(period: Period, day: date) -> bool:
    """Whether a period holds a day. One that hangs on a day the year does not have is refused where it is needed."""
    try:
        return period.contains(day)
    except MissingDayError:
        return False


def _sizes(when: NeededWhen) -> str:
    if when.size_to is None:
        return f"{when.size_from} or more"
    return f"up to {when.size_to}" if when.size_from == 1 else f"{when.size_from} to {when.size_to}"


def _draw_words(way: PermitWay) -> Iterator[str]:
    if way.date_choices is not None:
        dates = "one date" if way.date_choices == 1 else f"up to {way.date_choices} dates, best first"
        yield f"An application names {dates}."
    if way.applications_per_party > 1:
        yield f"Your party may hand in {way.applications_per_party} applications."
