"""What must fit together in [[permits]]: between its keys, between the permits, and with the ways to get them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from handline.errors import Problem, unknown_choice
from handline.trip.key_lines import Place
from handline.trip.permit_model import DRAW, FIRST_COME, MOST_APPLICATIONS, WALK_UP
from handline.trip.typed_parts import Found, Typed, is_count, is_text, table, tables

_ASKED_OF: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        DRAW: ("opens", "opens_at", "closes", "closes_at", "result", "applicants", "fits", "date_choices",
               "applications_per_party"),
        FIRST_COME: ("opens", "opens_at"),
        WALK_UP: ("given_out", "days_before", "where", "people_ahead", "parties_of"),
    }
)  # fmt: skip
"""Which keys only some ways have; the others are for all of them."""
_NEEDED_BY: Mapping[str, tuple[tuple[str, str], ...]] = MappingProxyType(
    {
        DRAW: (("opens", '"1 March"'), ("closes", '"31 March"'), ("result", '"second Monday of April"')),
        FIRST_COME: (("opens", '"168 days before"'),),
        WALK_UP: (("given_out", '"07:00"'),),
    }
)
"""Which keys a way cannot be without, each with an example."""
_MOST: tuple[tuple[str, int], ...] = (("ways", 10), ("fees", 20), ("documents", 20), ("needs", 20), ("excludes", 20))
_MOST_PERMITS = 20
_MOST_PERIODS = 20
_MOST_RATES = 60
_MOST_KINDS = 6
"""Kinds of applicants: more sizes than these in one draw take long to work out."""


def _not_too_many(typed: Typed) -> Iterator[Found]:
    yield from _short(typed, "permits", _MOST_PERMITS, ())
    for i, permit in tables(typed, "permits"):
        for name, most in _MOST:
            yield from _short(permit, name, most, ("permits", i))
        yield from _short(table(permit, "needed"), "periods", _MOST_PERIODS, ("permits", i, "needed"))
        for j, way in tables(permit, "ways"):
            place: Place = ("permits", i, "ways", j)
            yield from _short(way, "rates", _MOST_RATES, place)
            yield from _short(way, "applicants", _MOST_KINDS, place)
            for k, rate in tables(way, "rates"):
                yield from _short(rate, "periods", _MOST_PERIODS, (*place, "rates", k))


def _short(typed: Typed, name: str, most: int, around: Place) -> Iterator[Found]:
    listed = typed.get(name)
    if isinstance(listed, list) and len(listed) > most:
        yield (*around, name), None, Problem(f"this list has {len(listed)} entries", allowed=f"at most {most}")


def _names(typed: Typed) -> Iterator[Found]:
    """Each permit has its own name, and only such names are needed or excluded."""
    permits = tables(typed, "permits")
    known = [permit["name"].strip() for _, permit in permits if is_text(permit.get("name"))]
    seen: set[str] = set()
    for i, permit in permits:
        name = permit.get("name")
        if is_text(name):
            if name.strip() in seen:
                yield ("permits", i, "name"), name, Problem("this name is taken", mend="give each its own name")
            seen.add(name.strip())
        for key in ("needs", "excludes"):
            listed = permit.get(key)
            for j, other in enumerate(listed if isinstance(listed, list) else []):
                if not is_text(other):
                    continue
                place: Place = ("permits", i, key, j)
                if is_text(name) and other.strip() == name.strip():
                    yield place, other, Problem(f"a permit {key} others, not itself", mend="leave it out")
                elif other.strip() not in known:
                    yield place, other, unknown_choice("permit", other, known)


def _sizes(typed: Typed) -> Iterator[Found]:
    for i, permit in tables(typed, "permits"):
        needed = table(permit, "needed")
        low, high = needed.get("size_from"), needed.get("size_to")
        if is_count(low) and is_count(high) and 1 <= high < low:
            yield (
                ("permits", i, "needed", "size_to"),
                high,
                Problem("no party is of this size and of size_from or more", allowed=f"at least {low}"),
            )


def _ways_have_their_keys(typed: Typed) -> Iterator[Found]:
    for i, permit in tables(typed, "permits"):
        drawn = False
        for j, way in tables(permit, "ways"):
            kind, place = way.get("way"), ("permits", i, "ways", j)
            if not isinstance(kind, str) or kind not in _ASKED_OF:
                continue
            for key, value in way.items():
                owners = [owner for owner, keys in _ASKED_OF.items() if key in keys]
                if owners and kind not in owners:
                    yield (
                        (*place, key),
                        value,
                        Problem(f"{key} is for {_or(owners)} only", mend=f"leave {key} away, or correct way"),
                    )
            for key, example in _NEEDED_BY[kind]:
                if key not in way:
                    yield (*place, key), None, Problem(f"{_or([kind])} needs {key}", mend=f"write {key} = {example}")
            if kind == DRAW and drawn:
                yield (
                    (*place, "way"),
                    kind,
                    Problem("this permit has another draw already", mend="make each draw a permit of its own"),
                )
            drawn = drawn or kind == DRAW


def _one_chance(typed: Typed) -> Iterator[Found]:
    """The chance of a way is given once, and with all it needs."""
    for i, permit in tables(typed, "permits"):
        for j, way in tables(permit, "ways"):
            place: Place = ("permits", i, "ways", j)
            reckoned = [key for key in ("applicants", "people_ahead") if key in way]
            if reckoned and "chance" in way:
                yield (
                    (*place, "chance"),
                    way["chance"],
                    Problem(f"the chance is given twice: as chance and by {reckoned[0]}", mend="keep one of the two"),
                )
            if reckoned and "places" not in way and "places_per_day" not in permit:
                yield (
                    (*place, "places"),
                    None,
                    Problem(f"{reckoned[0]} tells a chance only with the places", mend="write places = 120"),
                )
            yield from _applicants(way, place)
            for k, rate in tables(way, "rates"):
                yield from _rate(rate, (*place, "rates", k))


def _applicants(way: Typed, place: Place) -> Iterator[Found]:
    counts = [kind.get("applications") for _, kind in tables(way, "applicants")]
    total = sum(count for count in counts if is_count(count))
    if len(counts) > 1 and total > MOST_APPLICATIONS:
        yield (
            (*place, "applicants"),
            None,
            Problem(
                f"these are {total:,} applications together",
                allowed=f"at most {MOST_APPLICATIONS:,}",
                mend="write the share that gets one as chance instead",
            ),
        )


def _rate(rate: Typed, place: Place) -> Iterator[Found]:
    granted, asked = rate.get("granted"), rate.get("asked")
    forms = "granted and asked, or chance"
    if "chance" in rate and ("granted" in rate or "asked" in rate):
        yield (*place, "chance"), rate["chance"], Problem("the rate is given twice", allowed=forms)
    elif "chance" not in rate and not ("granted" in rate and "asked" in rate):
        yield place, None, Problem("this rate says nothing", allowed=forms)
    if is_count(granted) and is_count(asked) and granted > asked:
        yield (
            (*place, "granted"),
            granted,
            Problem("no more can be granted than were asked for", allowed=f"at most {asked}"),
        )


def _or(words: list[str]) -> str:
    named = [f"a {word}" if word != FIRST_COME else word for word in words]
    return " or ".join(named)


CHECKS: tuple[Callable[[Typed], Iterator[Found]], ...] = (
    _not_too_many,
    _names,
    _sizes,
    _ways_have_their_keys,
    _one_chance,
)
