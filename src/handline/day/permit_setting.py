"""From the trip file to the rules of its permits, and which of them a day needs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from handline.day.season_periods import overlap_problems
from handline.errors import Problem, TripError
from handline.season.moment_words import parse_later, parse_moment
from handline.season.permit_contradictions import (
    Contradiction,
    party_contradictions,
    rule_contradictions,
    time_contradictions,
)
from handline.season.permit_rules import (
    ByDraw,
    DaysBefore,
    Fee,
    FirstCome,
    LineState,
    NeededWhen,
    PermitRule,
    WalkUp,
    Way,
    needed,
)
from handline.season.recurrence import recurrence
from handline.season.rules import MissingDayError, Period, SeasonRuleError, parse_period
from handline.trip.key_lines import Place
from handline.trip.model import Trip
from handline.trip.permit_model import DRAW, FIRST_COME, Permit, PermitWay
from handline.trip.problems import written_key
from handline.trip.typed_parts import table, tables

Found = tuple[Place, Problem]
_Read = TypeVar("_Read")

_KEYS: Mapping[str | int, str] = {"when": "needed", "clock_s": "given_out"}
"""Parts of a rule that the file calls otherwise."""


@dataclass(frozen=True)
class DayPermits:
    """The permits there are, and what one day asks of one party.

    ``against`` is what keeps this party from holding those it needs; ``amiss`` what cannot be in their moments.
    """

    rules: tuple[PermitRule, ...]
    day: date
    state: LineState
    night_out: bool
    size: int
    needed: tuple[PermitRule, ...]
    against: tuple[Contradiction, ...]
    amiss: tuple[Contradiction, ...]


def permit_rules(trip: Trip) -> tuple[PermitRule, ...]:
    """The rules of every permit in a trip, in the order of the file.

    Raises
    ------
    TripError
        Whatever of them cannot be, at its key and all at once: words that are no day, a day that never comes, periods
        that lie over each other, permits that contradict.
    """
    rules, problems = _read_rules(trip)
    if not problems:
        problems = [_located(rules, one) for one in rule_contradictions(rules)]
    if problems:
        raise TripError([trip.located(problem) for problem in problems])
    return rules


def permits_on(rules: Sequence[PermitRule], day: date, state: LineState, night_out: bool, size: int) -> DayPermits:
    """What a day, a state of the line and a party need of some permits.

    Parameters
    ----------
    rules : sequence of PermitRule
        As ``permit_rules`` gives them.
    day : date
        The day on the line.
    state : str
        How the line stands: "raised" or "lowered".
    night_out : bool
        Whether the party sleeps out on the way.
    size : int
        People in the party.

    Raises
    ------
    MissingDayError
        A period hangs on a day that the year does not have.
    """
    wanted = needed(rules, day, state, night_out, size)
    return DayPermits(
        rules=tuple(rules),
        day=day,
        state=state,
        night_out=night_out,
        size=size,
        needed=wanted,
        against=party_contradictions(wanted, day, size),
        amiss=tuple(one for rule in wanted for one in time_contradictions(rule, day)),
    )


def permits_of_trip(trip: Trip, day: date, state: LineState, night_out: bool) -> DayPermits:
    """What a day needs of the permits of a trip, for its party. Raises TripError, with whatever cannot be."""
    rules = permit_rules(trip)
    try:
        found = permits_on(rules, day, state, night_out, trip.party.size)
    except SeasonRuleError as error:
        raise TripError(trip.located(Problem(str(error), key="permits"))) from None
    if found.amiss:
        raise TripError([trip.located(_located(rules, one)) for one in found.amiss])
    return found


def permit_problems(trip: Trip) -> list[Problem]:
    """Everything that cannot be in the permits of a trip, each at its key.

    Moments are looked at for the trip's date wherever a permit's period holds it, whatever the line and the party.
    """
    rules, problems = _read_rules(trip)
    if problems:
        return problems
    problems = [_located(rules, one) for one in rule_contradictions(rules)]
    for number, rule in enumerate(rules):
        try:
            if _in_season(rule, trip.about.date):
                problems += [_located(rules, one) for one in time_contradictions(rule, trip.about.date)]
        except MissingDayError as error:
            problems.append(Problem(str(error), key=_key(number, ("when", "periods", _hanging(rule, trip.about.date)))))
        except SeasonRuleError as error:
            problems.append(Problem(str(error), key=_key(number, ())))
        except OverflowError:
            problems.append(Problem("its days lie before the first year there is", key=_key(number, ())))
    return problems + list(_rate_problems(trip))


def permit_word_problems(typed: Mapping[str, Any]) -> Iterator[Found]:
    """Words of [[permits]] in a file as typed that are no day and no period."""
    for i, permit in tables(typed, "permits"):
        place: Place = ("permits", i)
        yield from _period_words(table(permit, "needed"), (*place, "needed"))
        for j, way in tables(permit, "ways"):
            for key in ("opens", "closes", "result"):
                yield from _words(way.get(key), parse_moment, (*place, "ways", j, key))
            for k, rate in tables(way, "rates"):
                yield from _period_words(rate, (*place, "ways", j, "rates", k))
        for key in ("pay_by", "pick_up"):
            yield from _words(permit.get(key), parse_later, (*place, key))


def _period_words(typed: Mapping[str, Any], place: Place) -> Iterator[Found]:
    periods = typed.get("periods")
    for j, text in enumerate(periods if isinstance(periods, list) else []):
        yield from _words(text, parse_period, (*place, "periods", j))


def _words(text: object, parse: Callable[[str], object], place: Place) -> Iterator[Found]:
    if isinstance(text, str) and text.strip():
        try:
            parse(text)
        except SeasonRuleError as error:
            yield place, Problem(str(error), read=text[:80])


# --- from the file to rules ----------------------------------------------------------------------------------------


def _read_rules(trip: Trip) -> tuple[tuple[PermitRule, ...], list[Problem]]:
    """The rules, and what is wrong with single ones; no rules where anything is."""
    typed = {"permits": [permit.model_dump(mode="json", by_alias=True) for permit in trip.permits]}
    problems = [problem.at(key=written_key(place)) for place, problem in permit_word_problems(typed)]
    if problems:
        return (), problems
    rules = tuple(_rule(permit) for permit in trip.permits)
    for number, rule in enumerate(rules):
        problems += _period_problems(rule.when.periods, number, trip.about.date.year)
    return rules, problems


def _rule(permit: Permit) -> PermitRule:
    when = permit.needed
    return PermitRule(
        name=permit.name,
        when=NeededWhen(
            periods=tuple(parse_period(text) for text in when.periods),
            states=() if when.state is None else (when.state,),
            night_out=when.night_out,
            size_from=when.size_from,
            size_to=when.size_to,
        ),
        checked_at=permit.checked_at,
        places_per_day=permit.places_per_day,
        largest_party=permit.largest_party,
        ways=tuple(_way(way) for way in permit.ways),
        fees=tuple(Fee(fee.amount, fee.currency, fee.per) for fee in permit.fees),
        documents=permit.documents,
        pay_by=_said(permit.pay_by, parse_later),
        pick_up=_said(permit.pick_up, parse_later),
        pick_up_at=permit.pick_up_at,
        needs=permit.needs,
        excludes=permit.excludes,
    )


def _way(way: PermitWay) -> Way:
    """A way as a rule. The file was checked: each has the keys it cannot be without."""
    if way.way == DRAW:
        opens, closes, result = (parse_moment(text or "") for text in (way.opens, way.closes, way.result))
        return ByDraw(opens, closes, result, way.opens_clock_s, way.closes_clock_s)
    if way.way == FIRST_COME:
        return FirstCome(parse_moment(way.opens or ""), way.opens_clock_s)
    return WalkUp(way.given_out_clock_s or 0.0, DaysBefore(way.days_before), way.where)


def _said(text: str | None, parse: Callable[[str], _Read]) -> _Read | None:
    return None if text is None else parse(text)


def _period_problems(periods: Sequence[Period], number: int, year: int) -> Iterator[Problem]:
    """Periods of one permit whose days never come about that year, and those that lie over each other."""
    years, fine = range(year - 1, year + 2), True
    for place, period in enumerate(periods):
        try:
            for rule in (period.first, period.last):
                recurrence(rule, years)
        except SeasonRuleError as error:
            fine = False
            yield Problem(str(error), read=period.words, key=_key(number, ("when", "periods", place)))
    for place, problem in overlap_problems(periods, year) if fine else ():
        yield problem.at(key=_key(number, ("when", "periods", place)))


def _rate_problems(trip: Trip) -> Iterator[Problem]:
    """Rates whose period hangs on a day that the year of the date does not have."""
    for i, permit in enumerate(trip.permits):
        for j, way in enumerate(permit.ways):
            for k, rate in enumerate(way.rates):
                for m, text in enumerate(rate.periods):
                    try:
                        parse_period(text).contains(trip.about.date)
                    except SeasonRuleError as error:
                        key = written_key(("permits", i, "ways", j, "rates", k, "periods", m))
                        yield Problem(str(error), read=text, key=key)


def _in_season(rule: PermitRule, day: date) -> bool:
    """Whether a day lies in a permit's periods, or it has none. Raises MissingDayError."""
    return bool(needed([PermitRule(rule.name, NeededWhen(periods=rule.when.periods))], day, "raised", False, 1))


def _hanging(rule: PermitRule, day: date) -> int:
    """Which of a permit's periods hangs on a day that the year does not have."""
    for place, period in enumerate(rule.when.periods):
        try:
            period.contains(day)
        except MissingDayError:
            return place
    raise AssertionError("one of them was found to")


def _located(rules: Sequence[PermitRule], found: Contradiction) -> Problem:
    number = max(i for i, rule in enumerate(rules) if rule.name == found.permit)
    return Problem(found.words, key=_key(number, found.about))


def _key(number: int, about: Place) -> str:
    return written_key(("permits", number, *(_KEYS.get(part, part) for part in about)))
