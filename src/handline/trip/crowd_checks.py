"""What must fit together in [crowd], and between it, the permits and the party."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from handline.errors import Problem
from handline.trip.day_model import MOST_PEOPLE
from handline.trip.key_lines import Place
from handline.trip.typed_parts import Found, Typed, amount, clock_s, is_count, table, tables

_OF_STARTS = ("share_who_come", "starts", "starts_spread")
"""Keys that are about people who start and walk; typed arrivals are at the foot already."""
_ONLY_OF_SOME = {"night_out", "size_from", "size_to"}
"""A permit that only some people on the line need does not bound them all."""
_MOST_TIMES_AS_LONG = 20.0
"""A long wait, of the middle one. Waits are log-normal: past 27 times, their mean outgrows the long wait itself."""


def _long_waits_are_longer(typed: Typed) -> Iterator[Found]:
    crowd = table(typed, "crowd")
    for short in ("wait_up", "wait_down"):
        long = f"{short}_long"
        if long in crowd and short not in crowd:
            yield ("crowd", short), None, Problem(f"{short} is needed with {long}", mend=f'write {short} = "10 min"')
        short_s, long_s = amount(crowd.get(short), "duration"), amount(crowd.get(long), "duration")
        if short_s is not None and long_s is not None and long_s < short_s:
            yield (
                ("crowd", long),
                crowd[long],
                Problem(
                    f"nine in ten cannot wait less than half do: {long} is shorter than {short}",
                    allowed=f"at least {crowd[short]}",
                ),
            )
        elif short_s and long_s is not None and long_s > _MOST_TIMES_AS_LONG * short_s:
            yield (
                ("crowd", long),
                crowd[long],
                Problem(
                    f"{long} is more than {_MOST_TIMES_AS_LONG:g} times {short}: no wait is drawn so far apart",
                    allowed=f"at most {_MOST_TIMES_AS_LONG:g} times {crowd[short]}",
                    mend=f'write a longer {short}, such as "{math.ceil(long_s / _MOST_TIMES_AS_LONG / 60.0)} min"',
                ),
            )


def _one_form_of_crowd(typed: Typed) -> Iterator[Found]:
    crowd = table(typed, "crowd")
    if "arrivals" not in crowd:
        return
    if "people_per_day" in crowd:
        yield (
            ("crowd", "people_per_day"),
            crowd["people_per_day"],
            Problem(
                "the crowd is given twice: as people a day and as arrivals",
                allowed="people_per_day, or arrivals",
                mend="keep one of the two",
            ),
        )
    for key in _OF_STARTS:
        if key in crowd:
            yield (
                ("crowd", key),
                crowd[key],
                Problem(f"{key} does not count with arrivals: those are at the foot already", mend=f"leave {key} away"),
            )
    if crowd["arrivals"] == []:
        yield (
            ("crowd", "arrivals"),
            [],
            Problem("the list of arrivals is empty", mend='write arrivals = [{ from = "06:00", to = "08:00", ... }]'),
        )


def _arrivals_go_forward(typed: Typed) -> Iterator[Found]:
    for i, span in tables(table(typed, "crowd"), "arrivals"):
        start_s, end_s = clock_s(span.get("from")), clock_s(span.get("to"))
        if start_s is not None and end_s is not None and end_s <= start_s:
            yield (
                ("crowd", "arrivals", i, "to"),
                span["to"],
                Problem(
                    "these arrivals end before they begin" if end_s < start_s else "these arrivals last no time",
                    allowed=f"later than {span['from']}",
                    mend="a span past midnight is written as two",
                ),
            )


def _people_fit(typed: Typed) -> Iterator[Found]:
    """Not more than there are permits for, not fewer than the party itself."""
    crowd = table(typed, "crowd")
    spans = [span.get("people") for _, span in tables(crowd, "arrivals")]
    counts = [count for count in spans if is_count(count)]
    people: object = crowd.get("people_per_day")
    place: Place = ("crowd", "people_per_day")
    if "people_per_day" not in crowd and spans and len(counts) == len(spans):
        people, place = sum(counts), ("crowd", "arrivals")
    if place == ("crowd", "arrivals") and is_count(people) and people > MOST_PEOPLE:
        what = f"all arrivals together are {people:,} people"
        yield place, people, Problem(what, allowed=f"at most {MOST_PEOPLE:,} in a day")
    if not is_count(people) or not 1 <= people <= MOST_PEOPLE:
        return
    for permit in (permit for _, permit in tables(typed, "permits")):
        places = permit.get("places_per_day")
        if is_count(places) and people > places and not _ONLY_OF_SOME & table(permit, "needed").keys():
            yield (
                place,
                people,
                Problem(
                    f"{people} people a day are more than there are permits for",
                    allowed=f"at most {places}, the places of {permit.get('name', 'the permit')}",
                    mend="correct one of the two; who comes without a permit is not planned with",
                ),
            )
            return
    party = table(typed, "party")
    members = party.get("members")
    size = party.get("size", len(members) if isinstance(members, list) else None)
    if is_count(size) and people < size:
        yield (
            place,
            people,
            Problem(
                f"{people} people a day are fewer than your own party", allowed=f"at least {size}: your party counts in"
            ),
        )


CHECKS: tuple[Callable[[Typed], Iterator[Found]], ...] = (
    _long_waits_are_longer,
    _one_form_of_crowd,
    _arrivals_go_forward,
    _people_fit,
)
