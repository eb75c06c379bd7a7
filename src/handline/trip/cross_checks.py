"""What must fit together between the keys of a trip file.

The checks read the file as typed and pass over values that are themselves unusable (those are reported anyway),
so that one wrong key never hides what is wrong between the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise

from handline import quantity
from handline.errors import Problem, unknown_choice
from handline.trip import choice_checks, crowd_checks, load_checks, permit_checks, weather_checks
from handline.trip.key_lines import Place
from handline.trip.line_model import USUAL_CABLE
from handline.trip.typed_parts import Found, Typed, amount, is_text, table, tables

_LENGTH_SLACK_m = 1e-6
"""An anchor at the very head, typed in another unit than the slab, may differ in the last digits."""


def cross_problems(typed: Typed) -> Iterator[Found]:
    """Everything that does not fit together, in the order of the checks."""
    for check in CHECKS:
        yield from check(typed)


def _track_or_legs(typed: Typed) -> Iterator[Found]:
    route = typed.get("route")
    if not isinstance(route, Mapping):
        return
    if "track" in route and "legs" in route:
        yield ("route", "legs"), None, Problem("both a track and typed legs are given", mend="keep one of the two")
    elif "track" not in route and not route.get("legs"):
        yield (
            ("route",),
            None,
            Problem("there is no way to walk", allowed="track, or [[route.legs]]", mend='write track = "track.gpx"'),
        )


def _legs_have_a_place(typed: Typed) -> Iterator[Found]:
    route = table(typed, "route")
    for name, other in (("latitude", "longitude"), ("longitude", "latitude")):
        if name not in route and ("legs" in route or other in route):
            why = "typed legs" if "legs" in route else other
            yield ("route", name), None, Problem(f"{name} is needed with {why}", mend=f"write {name} = ... in degrees")


def _legs_join(typed: Typed) -> Iterator[Found]:
    legs = tables(table(typed, "route"), "legs")
    for (_, before), (index, leg) in pairwise(legs):
        start, end = leg.get("from"), before.get("to")
        if is_text(start) and is_text(end) and start.strip() != end.strip():
            yield (
                ("route", "legs", index, "from"),
                start,
                Problem("this leg does not start where the one before it ends", allowed=f'"{end}"'),
            )


def _waypoint_names_once(typed: Typed) -> Iterator[Found]:
    yield from _names_once(tables(typed, "waypoints"), ("waypoints",))


def _tether_names_once(typed: Typed) -> Iterator[Found]:
    yield from _names_once(tables(table(typed, "tethers"), "own"), ("tethers", "own"))


def _tethers_fit_the_cable(typed: Typed) -> Iterator[Found]:
    cable = table(typed, "line").get("cable_diameter", USUAL_CABLE)
    cable_m = amount(cable, "length")
    if cable_m is None:
        return
    for i, tether in tables(table(typed, "tethers"), "own"):
        for j, part in tables(tether, "parts"):
            place: Place = ("tethers", "own", i, "parts", j)
            opening_m = amount(part.get("opening"), "length")
            if opening_m is not None and opening_m <= cable_m + _LENGTH_SLACK_m and tether.get("kind") != "gripping":
                yield (
                    (*place, "opening"),
                    part["opening"],
                    Problem("this connector does not go round the cable", allowed=f"more than {cable}, the cable"),
                )
            cord_m = amount(part.get("diameter"), "length")
            if cord_m is not None and cord_m >= cable_m - _LENGTH_SLACK_m and tether.get("kind") == "gripping":
                yield (
                    (*place, "diameter"),
                    part["diameter"],
                    Problem(
                        "a cord as thick as the cable or thicker does not bite on it",
                        allowed=f"less than {cable}, the cable",
                        mend="tie the hitch with a cord at least 3 mm thinner",
                    ),
                )


def _member_names_once(typed: Typed) -> Iterator[Found]:
    yield from _names_once(tables(table(typed, "party"), "members"), ("party", "members"))


def _names_once(named: list[tuple[int, Typed]], place: Place) -> Iterator[Found]:
    seen: set[str] = set()
    for index, one in named:
        name = one.get("name")
        if not is_text(name):
            continue
        if name.strip() in seen:
            yield (*place, index, "name"), name, Problem("this name is taken", mend="give each its own name")
        seen.add(name.strip())


def _waypoints_are_somewhere(typed: Typed) -> Iterator[Found]:
    route = table(typed, "route")
    leg_places = _leg_places(typed)
    for index, waypoint in tables(typed, "waypoints"):
        place: Place = ("waypoints", index)
        given = [key for key in ("latitude", "longitude", "at") if key in waypoint]
        if "legs" in route:
            for key in given:
                yield (
                    (*place, key),
                    waypoint[key],
                    Problem("with typed legs a waypoint has its place by its name", mend=f"leave {key} away"),
                )
            name = waypoint.get("name")
            if is_text(name) and leg_places and name.strip() not in leg_places:
                yield (*place, "name"), name, unknown_choice("end of a leg", name, leg_places)
        elif given not in (["latitude", "longitude"], ["at"]):
            yield (
                place,
                None,
                Problem(
                    "this waypoint has no one place" if given else "this waypoint has no place",
                    allowed='either at = "3.4 km" along the track (or "start", "end"), or latitude and longitude',
                ),
            )


def _places_exist(typed: Typed) -> Iterator[Found]:
    known = _place_names(typed)
    line = table(typed, "line")
    named: list[tuple[Place, object]] = [(("line", key), line.get(key)) for key in ("foot", "head")]
    named += [
        (("permits", index, "checked_at"), permit.get("checked_at")) for index, permit in tables(typed, "permits")
    ]
    named += [
        (("limits", "turn_back", index, "at"), rule.get("at"))
        for index, rule in tables(table(typed, "limits"), "turn_back")
    ]
    named += [
        (("route", "ground", index, key), part.get(key))
        for index, part in tables(table(typed, "route"), "ground")
        for key in ("from", "to")
    ]
    for place, name in named:
        if not is_text(name) or name.strip() in known:
            continue
        if known:
            yield place, name, unknown_choice("waypoint", name, known)
        else:
            yield place, name, Problem("unknown waypoint", mend="add it as a [[waypoints]]")


def _foot_and_head_are_clear(typed: Typed) -> Iterator[Found]:
    line = table(typed, "line")
    for key, kind in (("foot", "line_foot"), ("head", "line_head")):
        of_kind = [index for index, waypoint in tables(typed, "waypoints") if waypoint.get("kind") == kind]
        if key not in line and len(of_kind) > 1:
            yield (
                ("waypoints", of_kind[1], "kind"),
                kind,
                Problem(f"two waypoints are a {kind}", mend=f"name the one that is meant as {key} in [line]"),
            )
    foot, head = line.get("foot"), line.get("head")
    if is_text(foot) and foot == head:
        yield ("line", "head"), head, Problem("foot and head of the line are the same waypoint")


def _one_form_of_slab(typed: Typed) -> Iterator[Found]:
    line = typed.get("line")
    if not isinstance(line, Mapping):
        return
    short = [key for key in ("length", "angle") if key in line]
    forms = 'length and angle, or sections = [{ length = "20 m", angle = "38 deg" }]'
    forms += ", or none of them with a track and both ends of the line named"
    if "sections" in line and short:
        yield (
            ("line", short[0]),
            line[short[0]],
            Problem("the slab is given twice", allowed=forms, mend="keep one form"),
        )
    elif not line.get("sections") and len(short) < 2:
        untyped = "sections" not in line and not short
        if not (untyped and "track" in table(typed, "route")):
            yield ("line",), None, Problem("the slab has no length and angle", allowed=forms)
        elif unnamed := _unnamed_ends(typed):
            yield (
                ("line",),
                None,
                Problem(
                    f"the slab is to be measured from the track, and its {' and '.join(unnamed)} is not named",
                    allowed=forms,
                    mend='give two waypoints kind = "line_foot" and kind = "line_head", or type the slab',
                ),
            )


def _unnamed_ends(typed: Typed) -> list[str]:
    """Which ends of the line no waypoint is."""
    kinds = [waypoint.get("kind") for _, waypoint in tables(typed, "waypoints")]
    line = table(typed, "line")
    return [end for end in ("foot", "head") if not is_text(line.get(end)) and f"line_{end}" not in kinds]


def _places_in_order(typed: Typed) -> Iterator[Found]:
    line = table(typed, "line")
    total_m = _slab_length_m(line)
    for key, what in (("anchors", "anchor"), ("stances", "stance")):
        places = line.get(key)
        before_m: float | None = None
        for index, typed_at in enumerate(places if isinstance(places, list) else []):
            at_m = amount(typed_at, "length")
            place: Place = ("line", key, index)
            if at_m is None:
                continue
            if before_m is not None and at_m <= before_m:
                yield place, typed_at, Problem(f"{key} go up the line, each farther from the foot than the one before")
            if total_m is not None and at_m > total_m + _LENGTH_SLACK_m:
                yield place, typed_at, beyond_the_head(what, total_m)
            before_m = at_m


def beyond_the_head(what: str, total_m: float) -> Problem:
    """The Problem for an anchor or a stance that lies past the end of the slab."""
    total_ft = total_m / quantity.parse("1 ft", "length")
    return Problem(
        f"this {what} is beyond the head of the line",
        allowed=f"at most {total_m:.6g} m ({total_ft:.6g} ft), where the slab ends",
    )


def _size_or_members(typed: Typed) -> Iterator[Found]:
    party = table(typed, "party")
    size, members = party.get("size"), party.get("members")
    if members == [] and "size" not in party:
        return  # counted as a party of none, which the model refuses
    if members == []:
        yield ("party", "members"), members, Problem("the list of members is empty", mend="list them, or leave it away")
    elif isinstance(members, list) and isinstance(size, int) and size != len(members):
        yield (
            ("party", "size"),
            size,
            Problem(
                f"the members listed make {len(members)}",
                allowed=str(len(members)),
                mend="list every member, or leave size away",
            ),
        )


def _lightest_is_lighter(typed: Typed) -> Iterator[Found]:
    party = table(typed, "party")
    lightest_kg, heaviest_kg = amount(party.get("lightest_mass"), "mass"), amount(party.get("body_mass"), "mass")
    if lightest_kg is not None and heaviest_kg is not None and lightest_kg > heaviest_kg:
        yield (
            ("party", "lightest_mass"),
            party["lightest_mass"],
            Problem(
                "the lightest person is heavier than body_mass, which is the heaviest",
                allowed=f"at most {party['body_mass']}",
            ),
        )


CHECKS: tuple[Callable[[Typed], Iterator[Found]], ...] = (
    _track_or_legs,
    _legs_have_a_place,
    _legs_join,
    _waypoint_names_once,
    _waypoints_are_somewhere,
    _places_exist,
    _foot_and_head_are_clear,
    _one_form_of_slab,
    _places_in_order,
    _size_or_members,
    _member_names_once,
    _tether_names_once,
    _tethers_fit_the_cable,
    _lightest_is_lighter,
    *crowd_checks.CHECKS,
    *weather_checks.CHECKS,
    *load_checks.CHECKS,
    *permit_checks.CHECKS,
    *choice_checks.CHECKS,
)


# --- parts of what was typed ---------------------------------------------------------------------------------------


def _leg_places(typed: Typed) -> list[str]:
    legs = tables(table(typed, "route"), "legs")
    ends = [leg.get(key) for _, leg in legs for key in ("from", "to")]
    return list(dict.fromkeys(end.strip() for end in ends if isinstance(end, str) and end.strip()))


def _place_names(typed: Typed) -> list[str]:
    names = [waypoint.get("name") for _, waypoint in tables(typed, "waypoints")]
    return [*(name.strip() for name in names if isinstance(name, str)), *_leg_places(typed)]


def _slab_length_m(line: Typed) -> float | None:
    """The length of the whole line, or None where a part of it cannot be read."""
    sections = line.get("sections")
    if isinstance(sections, list) and sections:
        pieces = [section.get("length") if isinstance(section, Mapping) else None for section in sections]
    else:
        pieces = [line.get("length")]
    lengths_m = [amount(piece, "length") for piece in pieces]
    known_m = [length_m for length_m in lengths_m if length_m is not None]
    return sum(known_m) if len(known_m) == len(lengths_m) else None
