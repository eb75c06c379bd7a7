"""The way and its places as a GPX 1.1 file, for the map of a phone or a receiver with no signal.

Devices cut the names of places short, so the latest passing times stand first in them, the place's own name after them:
"10:40 up, 16:18 down, Lower Step". There are no other times in it, and the same plan gives the same bytes.

Sources: gpx_1_1, practice_gpx_names.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from handline.brief.load_words import stop_words
from handline.brief.words import SLOWER_THAN_PLANNED, latest_words, other_days, walk_words
from handline.day.plan import NO_TIME, NOT_FROM_THIS_START, PROBABILITIES, Passing, Plan
from handline.day.plan_load import WaterStop
from handline.quantity import (
    Units,
    show_clock,
    show_duration,
    show_height,
    show_length,
    show_share,
    show_water,
)

GPX_NAME = "plan.gpx"
NAMESPACE = "http://www.topografix.com/GPX/1/1"
# Both times of a day there and back stand within this many characters of a name. [practice_gpx_names]
SURE_OF_A_NAME = len("10:40 up, 16:18")
_LOW, _HALF, _HIGH = (PROBABILITIES.index(probability) for probability in (0.10, 0.50, 0.90))
_BACK_WITHIN_M = 1.0


@dataclass(frozen=True)
class _Passed:
    """One passing of a place, its number on the way, and the water there as words."""

    number: int
    passing: Passing
    water: str


def gpx_of(plan: Plan) -> bytes:
    """The track as it was understood and every place on it with its latest passing times in the name.

    Typed legs have no coordinates: then there is no track and no place, and the description says so and tells the
    times.

    Returns
    -------
    bytes
        A GPX file in UTF-8, the same for the same plan.
    """
    root = Element("gpx", {"version": "1.1", "creator": f"Handline {plan.provenance.version}", "xmlns": NAMESPACE})
    metadata = SubElement(root, "metadata")
    _texts(metadata, name=f"{plan.name}, {plan.date}", desc="\n".join(_told_first(plan)))
    for passed in _by_place(plan):
        _place(root, passed, plan)
    if plan.route.track_latitude_deg:
        _track(root, plan)
    indent(root, " ")
    written: bytes = tostring(root, encoding="UTF-8", xml_declaration=True)
    return written + b"\n"


def no_track(plan: Plan) -> str:
    """Why there is no track to follow, in words; empty where there is one."""
    if plan.route.track_latitude_deg:
        return ""
    return "no track and no place on a map: the legs of this trip are typed and tell no coordinates"


# --- what it is ----------------------------------------------------------------------------------------------------


def _told_first(plan: Plan) -> Iterator[str]:
    """Go or not, how to read the names, and what comes before all of it."""
    decision = plan.decision
    yield f"{decision.level.upper()}: {decision.headline} {decision.why}"
    met = f"your limits still hold in {show_share(plan.wanted_chance)} of days, if no storm has begun"
    clocks = f"Clock times are {plan.timezone}.{other_days(plan.timetable)}"
    missing = no_track(plan)
    if missing:
        yield f"{missing[:1].upper()}{missing[1:]}."
        yield f"The latest time to pass each place: by then {met}. {SLOWER_THAN_PLANNED} {clocks}"
        for number, row in enumerate(plan.timetable):
            yield f"{row.name} ({_way(number, row)}): {latest_words(row)}"
    else:
        yield f"Names of places begin with the latest times to pass them: by then {met}. {SLOWER_THAN_PLANNED} {clocks}"
    yield from plan.cautions


# --- places --------------------------------------------------------------------------------------------------------


def _by_place(plan: Plan) -> Iterator[list[_Passed]]:
    """Every place that has coordinates, with all its passings, in the order of walking."""
    waters = _waters(plan)
    places: dict[tuple[str, str], list[_Passed]] = {}
    for number, passing in enumerate(plan.timetable):
        told = waters.get((passing.name, passing.way), [])
        passed = _Passed(number, passing, told.pop(0) if told else "")
        if passing.latitude_deg is not None and passing.longitude_deg is not None:
            places.setdefault((passing.name, passing.kind), []).append(passed)
    yield from places.values()


def _waters(plan: Plan) -> Mapping[tuple[str, str], list[str]]:
    """What is to know of the water, by place and way, passing after passing."""
    found: dict[tuple[str, str], list[str]] = {}
    for number, stop in enumerate(plan.load.water):
        says = stop_words(stop, number, len(plan.load.water))
        found.setdefault((stop.name, stop.way), []).append(_water(stop, says, plan.units))
    return found


def _water(stop: WaterStop, says: str, units: Units) -> str:
    parts = [says] if stop.source or stop.dry_says else []
    if stop.refill_L > 0.0:
        parts.append(f"fill in {show_water(stop.refill_L, units)} each, go on with {show_water(stop.leave_L, units)}")
    if stop.treat_L > 0.0:
        parts.append(f"{show_water(stop.treat_L, units)} to treat in all")
    return f"Water: {'; '.join(parts)}." if parts else ""


def _place(root: Element, passed: Sequence[_Passed], plan: Plan) -> None:
    first = passed[0].passing
    place = _at(root, "wpt", first.latitude_deg or 0.0, first.longitude_deg or 0.0, first.elevation_m)
    times = [words for one in passed for words in _times(one.passing)]
    lines = [show_height(first.elevation_m, plan.units)]
    lines += [line for one in passed for line in _passing_lines(one, plan)]
    _texts(place, name=", ".join([*times, first.name]), desc="\n".join(lines), type=first.kind.replace("_", " "))


def _times(passing: Passing) -> Iterator[str]:
    """The latest times of a passing, as short as they may be; none where there is no limit left to miss."""
    if passing.latest_clock_s is not None:
        yield f"{show_clock(passing.latest_clock_s)} {passing.way}"
    elif passing.latest_says in ("", NO_TIME, NOT_FROM_THIS_START):
        yield f"no time {passing.way}"
    if passing.leave_by_clock_s is not None:
        yield f"{show_clock(passing.leave_by_clock_s)} leave"
    elif passing.sleeps_until_clock_s is not None:
        yield "no time leave"


def _passing_lines(passed: _Passed, plan: Plan) -> Iterator[str]:
    passing = passed.passing
    where = f"{_way(passed.number, passing).capitalize()}, {walk_words(passing.distance_m, plan.units)} from the start"
    clocks = passing.arrive_clock_s
    low, half, high = (show_clock(clocks[index]) for index in (_LOW, _HALF, _HIGH))
    if passed.number == 0:
        yield f"Start: {half} as planned; latest: {latest_words(passing)}."
    else:
        yield f"{where}: half of days there by {half}, 1 in 10 by {low}, 9 in 10 by {high}; latest: " + (
            f"{latest_words(passing)}."
        )
    if passing.sleeps_until_clock_s is not None:
        leave = NO_TIME if passing.leave_by_clock_s is None else show_clock(passing.leave_by_clock_s)
        yield f"The night is here, until {show_clock(passing.sleeps_until_clock_s)}; latest to leave: {leave}."
    if passing.stop_s > 0.0:
        yield f"Stop {show_duration(passing.stop_s)}."
    if passed.water:
        yield passed.water


def _way(number: int, passing: Passing) -> str:
    return "start" if number == 0 else passing.way


# --- the track -----------------------------------------------------------------------------------------------------


def _track(root: Element, plan: Plan) -> None:
    route = plan.route
    back = abs(route.length_m - 2.0 * route.profile_distance_m[-1]) < _BACK_WITHIN_M
    said = [
        f"The way as it was understood{', one way: you come back by it' if back else ''}. To be light for a phone it "
        f"has fewer points: the whole way lies within {show_length(route.track_within_m, plan.units)} of it, up and "
        "down included. On the ground look at the ground.",
        *(f"{note[:1].upper()}{note[1:]}." for note in route.notes),
    ]
    track = SubElement(root, "trk")
    _texts(track, name=plan.name, desc="\n".join(said))
    segment = SubElement(track, "trkseg")
    points: Iterable[tuple[float, float, float]] = zip(
        route.track_latitude_deg, route.track_longitude_deg, route.track_elevation_m, strict=True
    )
    for point in points:
        _at(segment, "trkpt", *point)


def _at(parent: Element, tag: str, latitude_deg: float, longitude_deg: float, elevation_m: float) -> Element:
    """A point: to a tenth of a metre, which is less than anybody measures."""
    longitude = round(longitude_deg, 6)
    # The schema counts the 180th meridian as west.
    east = longitude if longitude < 180.0 else longitude - 360.0
    point = SubElement(parent, tag, {"lat": f"{latitude_deg:.6f}", "lon": f"{east:.6f}"})
    _texts(point, ele=f"{elevation_m:.1f}")
    return point


def _texts(parent: Element, **texts: str) -> None:
    for tag, text in texts.items():
        SubElement(parent, tag).text = text
