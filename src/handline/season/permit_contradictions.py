"""What in permits cannot be true together: found for a day, and said in words with how to mend it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from handline.errors import near_miss
from handline.season.day_words import day_words
from handline.season.permit_rules import (
    ByDraw,
    DaysAfterResult,
    FirstCome,
    Later,
    LineState,
    PermitRule,
    WalkUp,
    moment,
    needed,
    result_day,
    season_year,
)
from handline.season.rules import MissingDayError

About = tuple[str | int, ...]
"""What of a permit is meant, by the names of its parts: ("ways", 0, "result"); nothing for all of it."""
Told = Iterator[tuple[About, str]]

_EARLIER = 'write an earlier day, such as "the day before"'


@dataclass(frozen=True)
class Contradiction:
    """What cannot be, about one permit and a part of it."""

    permit: str
    words: str
    about: About = ()


def rule_contradictions(permits: Sequence[PermitRule]) -> tuple[Contradiction, ...]:
    """What cannot be whatever the day: names, sizes, quotas, and permits that need and exclude each other.

    Sources: our_permit_rules.
    """
    return tuple(
        Contradiction(permit.name, words, about)
        for rule in (_names, _sizes, _missing_draw)
        for permit in permits
        for about, words in rule(permit, permits)
    )


def day_contradictions(
    permits: Sequence[PermitRule], day: date, state: LineState, night_out: bool, size: int
) -> tuple[Contradiction, ...]:
    """What cannot be for a party on a day, about the permits it needs.

    Arguments and Raises as ``permit_rules.needed``; a moment that the year does not have is told, not raised.

    Sources: our_permit_rules.
    """
    wanted = needed(permits, day, state, night_out, size)
    found = party_contradictions(wanted, day, size)
    found += tuple(Contradiction(permit.name, _no_way(permit), ("ways",)) for permit in wanted if not permit.ways)
    return found + tuple(one for permit in wanted for one in time_contradictions(permit, day))


def party_contradictions(wanted: Sequence[PermitRule], day: date, size: int) -> tuple[Contradiction, ...]:
    """What keeps a party of a size from holding the permits that a day needs of it: these and no others.

    Sources: our_permit_rules.
    """
    found = [Contradiction(permit.name, words, about) for permit in wanted for about, words in _party(permit, size)]
    found += [
        Contradiction(one.name, _both_needed(one, other, day), ("excludes",))
        for number, one in enumerate(wanted)
        for other in wanted[number + 1 :]
        if _exclude(one, other)
    ]
    return tuple(found)


def time_contradictions(permit: PermitRule, day: date) -> tuple[Contradiction, ...]:
    """What cannot be in the moments of one permit for a day; a moment that the year does not have is told.

    Sources: our_permit_rules.
    """
    year = season_year(permit, day)
    missing = [
        Contradiction(permit.name, f'"{permit.name}" has no such day: {words}', about)
        for about, when in moments_of(permit)
        if (words := _missing(when, day, year))
    ]
    return tuple(missing) or tuple(Contradiction(permit.name, words, about) for about, words in _times(permit, day))


def moments_of(permit: PermitRule) -> Iterator[tuple[About, Later]]:
    """Every moment of a permit and where it stands in it."""
    for number, way in enumerate(permit.ways):
        match way:
            case ByDraw(opens=opens, closes=closes, result=result):
                yield ("ways", number, "opens"), opens
                yield ("ways", number, "closes"), closes
                yield ("ways", number, "result"), result
            case FirstCome(opens=opens):
                yield ("ways", number, "opens"), opens
    if permit.pay_by is not None:
        yield ("pay_by",), permit.pay_by
    if permit.pick_up is not None:
        yield ("pick_up",), permit.pick_up


def _missing(when: Later, day: date, year: int) -> str:
    """Why a moment is not on a day of its year; nothing where it is, or hangs on a result."""
    if not isinstance(when, DaysAfterResult):
        try:
            moment(when, day, year)
        except MissingDayError as error:
            return str(error)
    return ""


def _names(permit: PermitRule, permits: Sequence[PermitRule]) -> Told:
    names = [other.name for other in permits]
    if names.count(permit.name) > 1:
        yield ("name",), f'"{permit.name}" is the name of more than one permit: give each its own'
    for word, named in (("needs", permit.needs), ("excludes", permit.excludes)):
        for place, name in enumerate(named):
            if name == permit.name:
                yield (word, place), f'"{permit.name}" {word} itself: leave that out'
            elif name not in names:
                guess = near_miss(name, names)
                hint = f'did you mean "{guess}"?' if guess else f"there are: {', '.join(names)}"
                yield (word, place), f'"{permit.name}" {word} "{name}", which is no permit here; {hint}'
    for other in permits:
        if other is not permit and other.name in permit.needs and _exclude(permit, other):
            yield (
                ("needs",),
                f'"{permit.name}" is only given with "{other.name}", and excludes it: one of the two is wrong',
            )


def _both_needed(one: PermitRule, other: PermitRule, day: date) -> str:
    return (
        f'"{one.name}" and "{other.name}" are both needed on {day_words(day)}, but they exclude each other: '
        "choose another date, another size of party, or correct when each is needed"
    )


def _exclude(one: PermitRule, other: PermitRule) -> bool:
    return other.name in one.excludes or one.name in other.excludes


def _sizes(permit: PermitRule, _: Sequence[PermitRule]) -> Told:
    when = permit.when
    if when.size_from < 1:
        yield ("when", "size_from"), f'"{permit.name}" is needed from {when.size_from} people: write 1 or more'
    if when.size_to is not None and when.size_to < when.size_from:
        yield (
            ("when", "size_to"),
            f'"{permit.name}" is needed from {when.size_from} to {when.size_to} people, which is nobody: '
            "the second number is not below the first",
        )
    for key, what, count in (
        ("places_per_day", "places a day", permit.places_per_day),
        ("largest_party", "people on one permit", permit.largest_party),
    ):
        if count is not None and count < 1:
            yield (
                (key,),
                f'"{permit.name}" has {count} {what}: write 1 or more, or leave it out where it is not known',
            )


def _missing_draw(permit: PermitRule, _: Sequence[PermitRule]) -> Told:
    drawn = [number for number, way in enumerate(permit.ways) if isinstance(way, ByDraw)]
    if len(drawn) > 1:
        yield ("ways", drawn[1]), f'"{permit.name}" has {len(drawn)} draws: make each a permit of its own'
    for key, what, when in (("pay_by", "paid", permit.pay_by), ("pick_up", "picked up", permit.pick_up)):
        if isinstance(when, DaysAfterResult) and not drawn:
            yield (
                (key,),
                f'"{permit.name}" is {what} some days after the result, but it has no draw: write days before the day',
            )


def _party(permit: PermitRule, size: int) -> Told:
    for key, most, of_what in (
        ("largest_party", permit.largest_party, "on one permit"),
        ("places_per_day", permit.places_per_day, "a day"),
    ):
        if most is not None and size > most:
            yield (
                (key,),
                f'a party of {size} does not fit "{permit.name}", which has {most} places {of_what}: go as fewer',
            )


def _no_way(permit: PermitRule) -> str:
    where = f" at {permit.checked_at}" if permit.checked_at else ""
    return f'no way to get "{permit.name}" is given: ask those who check it{where}'


def _times(permit: PermitRule, day: date) -> Told:
    name, year = permit.name, season_year(permit, day)
    for number, way in enumerate(permit.ways):
        place: About = ("ways", number)
        match way:
            case ByDraw():
                yield from _draw_times(name, way, place, day, year)
            case FirstCome(opens=opens):
                opening = moment(opens, day, year)
                if opening > day:
                    said = f'"{name}" opens on {day_words(opening)}, after the day itself, {day_words(day)}; {_EARLIER}'
                    yield (*place, "opens"), said
            case WalkUp(clock_s=clock_s):
                if not 0.0 <= clock_s < 86400.0:
                    said = f'"{name}" is given out at no time of day: write a clock time from 00:00 to 23:59'
                    yield (*place, "clock_s"), said
    result = result_day(permit, day)
    for key, what, when in (("pay_by", "paid", permit.pay_by), ("pick_up", "picked up", permit.pick_up)):
        if when is None or (isinstance(when, DaysAfterResult) and result is None):
            continue  # the second is told by rule_contradictions
        due = moment(when, day, year, result)
        if due > day:
            yield (key,), f'"{name}" is {what} by {day_words(due)}, after the day itself, {day_words(day)}; {_EARLIER}'
        if result is not None and due < result:
            said = f'"{name}" is {what} by {day_words(due)}, before the result on {day_words(result)}'
            yield (key,), f"{said}; write a later day, or an earlier result"


def _draw_times(name: str, way: ByDraw, place: About, day: date, year: int) -> Told:
    opens, closes, result = (moment(when, day, year) for when in (way.opens, way.closes, way.result))
    # Without clock times the end of one day is the beginning of the next.
    if closes < opens or _instant(closes, way.closes_clock_s, 86400.0) < _instant(opens, way.opens_clock_s, 0.0):
        yield (
            (*place, "closes"),
            f'the window of "{name}" ends before it begins: {day_words(opens)} to {day_words(closes)}; '
            "for a window over the new year let the first day be of the year before",
        )
    if result < closes:
        yield (
            (*place, "result"),
            f'the result of "{name}" on {day_words(result)} comes before its window closes on {day_words(closes)}',
        )
    for key, what, when in (("closes", "window closes", closes), ("result", "result comes", result)):
        if when > day:
            yield (
                (*place, key),
                f'"{name}": the {what} on {day_words(when)}, after the day itself, {day_words(day)}; '
                "if the year before is meant, say so",
            )


def _instant(day: date, clock_s: float | None, otherwise_s: float) -> timedelta:
    return timedelta(days=day.toordinal(), seconds=otherwise_s if clock_s is None else clock_s)
