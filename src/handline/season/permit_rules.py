"""Permits: which of them a day needs, how each is got, and what in them cannot be true together.

Moments are days of the year in words, counted from the year in which the permit's period begins, or days before the
day itself. So "1 December to 31 March" has the same October draw for a day in December and the January after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from handline.season.rules import DateRule, MissingDayError, Period

LineState = Literal["raised", "lowered"]


@dataclass(frozen=True)
class OnDay:
    """A day of the year, so many years before the year of the permit's period."""

    rule: DateRule
    years_before: int = 0


@dataclass(frozen=True)
class DaysBefore:
    """So many days before the day on the mountain."""

    days: int

    def __post_init__(self) -> None:
        if self.days < 0:
            raise ValueError("days before are 0 or more")


@dataclass(frozen=True)
class DaysAfterResult:
    """So many days after the result of the draw; only to pay and to pick up."""

    days: int

    def __post_init__(self) -> None:
        if self.days < 0:
            raise ValueError("days after are 0 or more")


When = OnDay | DaysBefore
Later = OnDay | DaysBefore | DaysAfterResult


@dataclass(frozen=True)
class ByDraw:
    """Applications are taken from a first to a last day, both included, then drawn."""

    opens: When
    closes: When
    result: When
    opens_clock_s: float | None = None
    closes_clock_s: float | None = None


@dataclass(frozen=True)
class FirstCome:
    """Who asks first gets it, from an opening on."""

    opens: When
    opens_clock_s: float | None = None


@dataclass(frozen=True)
class WalkUp:
    """Given out in person, at a time of day; on the day itself or some days before."""

    clock_s: float
    given_out: DaysBefore = DaysBefore(0)
    where: str | None = None


Way = ByDraw | FirstCome | WalkUp


@dataclass(frozen=True)
class NeededWhen:
    """On which days, and by whom, a permit is needed: every part must hold. What is left out always holds."""

    periods: tuple[Period, ...] = ()
    states: tuple[LineState, ...] = ()
    night_out: bool | None = None
    size_from: int = 1
    size_to: int | None = None


@dataclass(frozen=True)
class Fee:
    """What it costs, in a currency by its three letters."""

    amount: float
    currency: str
    per: Literal["person", "party", "application"]

    def __post_init__(self) -> None:
        if not 0.0 <= self.amount < float("inf"):
            raise ValueError("a fee is 0 or more")

    @property
    def words(self) -> str:
        """ "10.00 USD per person"."""
        return f"{self.amount:,.2f} {self.currency} per {self.per}"


@dataclass(frozen=True)
class PermitRule:
    """A permit.

    ``ways`` are those to get it, the first tried first; none means that no way is known. ``largest_party`` is how many
    one permit may name. ``needs`` and ``excludes`` name other permits: those it is only given with, and those nobody
    may hold beside it.
    """

    name: str
    when: NeededWhen = NeededWhen()
    checked_at: str | None = None
    places_per_day: int | None = None
    largest_party: int | None = None
    ways: tuple[Way, ...] = ()
    fees: tuple[Fee, ...] = ()
    documents: tuple[str, ...] = ()
    pay_by: Later | None = None
    pick_up: Later | None = None
    pick_up_at: str | None = None
    needs: tuple[str, ...] = ()
    excludes: tuple[str, ...] = ()


def needed(
    permits: Sequence[PermitRule], day: date, state: LineState, night_out: bool, size: int
) -> tuple[PermitRule, ...]:
    """The permits a party needs on a day, in the order given; with each also those it is only given with.

    Parameters
    ----------
    permits : sequence of PermitRule
        All there are.
    day : date
        The first day on the mountain.
    state : str
        How the line stands: "raised" or "lowered".
    night_out : bool
        Whether the party stays for a night.
    size : int
        People in the party.

    Raises
    ------
    ValueError
        A party of nobody.
    MissingDayError
        A period hangs on a day that the year does not have.

    Sources: our_permit_rules.
    """
    if size < 1:
        raise ValueError("a party has at least one person")
    named = {permit.name: permit for permit in permits}
    waiting = [permit for permit in permits if _holds(permit.when, day, state, night_out, size)]
    wanted: set[str] = set()
    while waiting:
        permit = waiting.pop()
        if permit.name not in wanted:
            wanted.add(permit.name)
            waiting += [named[name] for name in permit.needs if name in named]
    return tuple(permit for permit in permits if permit.name in wanted)


def season_year(permit: PermitRule, day: date) -> int:
    """The year a permit's moments are counted from: that of the period the day lies in, else the day's own.

    Raises
    ------
    MissingDayError
        No period is found that holds the day, and one hangs on a day that the year does not have.
    """
    begun = _begun(permit.when.periods, day)
    return day.year if begun is None else begun


def moment(when: Later, day: date, year: int, result: date | None = None) -> date:
    """The date of a moment for a day on the mountain.

    Parameters
    ----------
    when : OnDay, DaysBefore or DaysAfterResult
        The moment.
    day : date
        The day on the mountain.
    year : int
        As ``season_year`` gives it.
    result : date, optional
        Of the draw.

    Raises
    ------
    MissingDayError
        The year has no such day.
    ValueError
        Days after a result, and there is no draw.
    """
    match when:
        case OnDay(rule=rule, years_before=before):
            return rule.on(year - before)
        case DaysBefore(days=days):
            return day - timedelta(days=days)
        case DaysAfterResult(days=days):
            if result is None:
                raise ValueError("days after the result of a draw need a draw")
            return result + timedelta(days=days)


def result_day(permit: PermitRule, day: date) -> date | None:
    """When the permit's draw is told, None where it has none."""
    draws = [way for way in permit.ways if isinstance(way, ByDraw)]
    return moment(draws[0].result, day, season_year(permit, day)) if draws else None


def _holds(when: NeededWhen, day: date, state: LineState, night_out: bool, size: int) -> bool:
    return (
        (not when.states or state in when.states)
        and (when.night_out is None or when.night_out is night_out)
        and when.size_from <= size
        and (when.size_to is None or size <= when.size_to)
        # Last, as only this can fail for want of a day.
        and (not when.periods or _begun(when.periods, day) is not None)
    )


def _begun(periods: Sequence[Period], day: date) -> int | None:
    """The year in which the first of the periods that holds a day begins, None where none does."""
    missing: MissingDayError | None = None
    for period in periods:
        # A rule may reach a few weeks into the next or the last year, and a period may run on for a year.
        for year in range(day.year - 2, day.year + 2):
            try:
                first, last = period.span(year)
            except MissingDayError as error:
                if year in (day.year, day.year - period.over_new_year):
                    missing = error
                continue
            if first <= day <= last:
                return year
    if missing is not None:
        raise missing
    return None
