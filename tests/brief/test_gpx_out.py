"""The GPX file as others read it: gpxpy, and the published schema (source: gpx_1_1)."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import gpxpy
import pytest
from gpxpy.gpx import GPX, GPXWaypoint
from hypothesis import given, settings
from hypothesis import strategies as st
from xmlschema import XMLSchema

from handline.brief.gpx_out import SURE_OF_A_NAME, gpx_of, no_track
from handline.day.plan import NO_TIME, PROBABILITIES, Plan
from handline.quantity import show_clock
from handline.route.gpx import read_gpx
from tests.brief.written_plans import placed, tamsin, typed, typed_night

SCHEMA = Path(__file__).parents[1] / "tables" / "gpx_1_1.xsd"
PLANS = {"track": tamsin, "typed": typed, "night": typed_night, "night on a map": lambda: placed(typed_night())}


def _read(plan: Plan) -> GPX:
    return gpxpy.parse(gpx_of(plan).decode("utf-8"))


def _place(plan: Plan, name: str) -> GPXWaypoint:
    return next(place for place in _read(plan).waypoints if place.name.endswith(name))


def _row(plan: Plan, name: str, way: str) -> int:
    return next(i for i, row in enumerate(plan.timetable) if (row.name, row.way) == (name, way))


def _changed(plan: Plan, name: str, way: str, /, **changes: Any) -> Plan:
    i = _row(plan, name, way)
    rows = list(plan.timetable)
    rows[i] = replace(rows[i], **changes)
    return replace(plan, timetable=tuple(rows))


def test_the_track_comes_back_point_by_point() -> None:
    plan = tamsin()
    (track,) = _read(plan).tracks
    (segment,) = track.segments
    route = plan.route
    assert len(segment.points) == len(route.track_latitude_deg) > 100
    assert [point.latitude for point in segment.points] == pytest.approx(route.track_latitude_deg, abs=5.1e-7)
    assert [point.longitude for point in segment.points] == pytest.approx(route.track_longitude_deg, abs=5.1e-7)
    assert [point.elevation for point in segment.points] == pytest.approx(route.track_elevation_m, abs=0.051)
    assert track.name == plan.name
    assert "one way: you come back by it" in track.description
    assert "within 16 ft of it" in track.description
    assert "bridged straight" in track.description


def test_our_own_reader_takes_it_for_the_same_way(tmp_path: Path) -> None:
    path = tmp_path / "plan.gpx"
    path.write_bytes(gpx_of(tamsin()))
    track = read_gpx(path)
    assert track.latitude_deg == pytest.approx(tamsin().route.track_latitude_deg, abs=5.1e-7)
    assert track.elevation_m == pytest.approx(tamsin().route.track_elevation_m, abs=0.051)


def test_every_place_is_there_once_where_the_plan_passes_it() -> None:
    plan = tamsin()
    places = _read(plan).waypoints
    names = list(dict.fromkeys(row.name for row in plan.timetable))
    assert [place.name.rsplit(", ", 1)[1] for place in places] == names
    for place, name in zip(places, names, strict=True):
        row = plan.timetable[_row(plan, name, "up")]
        assert (place.latitude, place.longitude) == pytest.approx((row.latitude_deg, row.longitude_deg), abs=5.1e-7)
        assert place.elevation == pytest.approx(row.elevation_m, abs=0.051)
        assert place.type == row.kind.replace("_", " ")


def test_names_have_the_latest_times_and_they_stand_first() -> None:
    plan = tamsin()
    seen = 0
    for place in _read(plan).waypoints:
        rows = [row for row in plan.timetable if place.name.endswith(f", {row.name}")]
        clocks = [show_clock(row.latest_clock_s) for row in rows if row.latest_clock_s is not None]
        assert clocks
        # What is left of a name that is cut has every time of the day.
        cut = place.name[:SURE_OF_A_NAME]
        assert all(clock in cut for clock in clocks), place.name
        assert place.name == ", ".join([*(f"{c} {row.way}" for c, row in zip(clocks, rows, strict=True)), rows[0].name])
        seen += len(clocks)
    assert seen == len(plan.timetable)
    assert SURE_OF_A_NAME == 15


def test_a_description_has_range_stop_and_water() -> None:
    plan = tamsin()
    name = "Quill River bridge"
    words = _place(plan, name).description
    for way in ("up", "down"):
        row = plan.timetable[_row(plan, name, way)]
        low, half, high = (
            show_clock(row.arrive_clock_s[PROBABILITIES.index(probability)]) for probability in (0.1, 0.5, 0.9)
        )
        assert f"half of days there by {half}, 1 in 10 by {low}, 9 in 10 by {high}" in words
        assert f"latest: {show_clock(row.latest_clock_s or 0.0)}." in words
    assert "Stop 15 min." in words
    assert words.count("Water: sure water; fill in ") == 2
    assert " to treat in all." in words
    start = _place(plan, "Larch Landing").description
    assert "Start: 04:00 as planned; latest: " in start
    assert not re.search(r"\bsafe\b", gpx_of(plan).decode(), re.IGNORECASE)


def test_another_day_is_said_with_the_time() -> None:
    plan = placed(typed_night())
    camp = _place(plan, "Camp")
    up, down = (plan.timetable[_row(plan, "Camp", way)] for way in ("up", "down"))
    assert up.latest_clock_s is not None
    assert down.latest_clock_s is not None
    assert up.leave_by_clock_s is not None
    assert up.latest_clock_s < 0.0
    assert camp.name.startswith(f"{show_clock(up.latest_clock_s)} up, {show_clock(up.leave_by_clock_s)} leave, ")
    assert "(-1) up" in camp.name
    assert f"until 04:30; latest to leave: {show_clock(up.leave_by_clock_s)}." in camp.description
    assert "(-1) is the day before" in _read(plan).description
    late = _changed(plan, "Gate", "down", latest_clock_s=86400.0 + 4200.0)
    assert "01:10 (+1) down, Gate" in _place(late, "Gate").name
    assert "(+1) is the day after" in _read(late).description


def test_no_time_is_said_and_no_limit_is_not_a_time() -> None:
    plan = placed(typed_night())
    none = _changed(plan, "Camp", "up", latest_clock_s=None, latest_says=NO_TIME, leave_by_clock_s=None)
    assert _place(none, "Camp").name.startswith("no time up, no time leave, ")
    assert f"latest to leave: {NO_TIME}." in _place(none, "Camp").description
    free = _changed(plan, "Top", "up", latest_clock_s=None, latest_says="no limit left to miss")
    assert _place(free, "Top").name == "Top"
    assert "latest: no limit left to miss." in _place(free, "Top").description


def test_the_file_says_what_it_is_and_what_comes_first() -> None:
    for plan in (tamsin(), typed()):
        told = _read(plan)
        assert told.name == f"{plan.name}, {plan.date}"
        assert told.description.startswith(plan.decision.level.upper())
        for caution in plan.cautions:
            assert caution in told.description
        assert f"Clock times are {plan.timezone}." in told.description
        assert "90 % of days, if no storm has begun" in told.description


def test_typed_legs_have_no_track_and_say_why() -> None:
    plan = typed()
    told = _read(plan)
    assert (told.tracks, told.waypoints, told.routes) == ([], [], [])
    assert "No track and no place on a map: the legs of this trip are typed" in told.description
    for row in plan.timetable[1:]:
        assert f"{row.name} ({row.way}): " in told.description
    assert no_track(plan)
    assert no_track(tamsin()) == ""


def test_the_same_plan_gives_the_same_bytes_and_no_time_of_making() -> None:
    assert gpx_of(tamsin()) == gpx_of(replace(tamsin(), name=tamsin().name))
    assert b"<time" not in gpx_of(tamsin())
    assert len(gpx_of(tamsin())) < 60_000


@pytest.mark.parametrize(("longitude_deg", "written"), [(180.0, -180.0), (179.9999999, -180.0), (-180.0, -180.0)])
def test_the_180th_meridian_is_written_as_the_schema_wants_it(longitude_deg: float, written: float) -> None:
    plan = placed(typed())
    count = len(plan.route.track_latitude_deg)
    moved = replace(plan, route=replace(plan.route, track_longitude_deg=(longitude_deg,) * count))
    assert {point.longitude for point in _read(moved).tracks[0].segments[0].points} == {written}


@settings(max_examples=40, deadline=None)
@given(st.text(st.characters(categories=("L", "M", "N", "P", "S", "Zs")), min_size=1).map(str.strip).filter(bool))
def test_any_name_comes_back(name: str) -> None:
    plan = placed(typed())
    named = _changed(replace(plan, name=name), "Top", "up", name=name)
    read = _read(named)
    assert read.tracks[0].name == name
    assert any(place.name.endswith(name) for place in read.waypoints)


# --- the schema ----------------------------------------------------------------------------------------------------


@cache
def _schema() -> XMLSchema:
    return XMLSchema(SCHEMA)


@pytest.mark.parametrize("name", list(PLANS))
def test_it_keeps_to_the_schema(name: str) -> None:
    _schema().validate(gpx_of(PLANS[name]()).decode("utf-8"))


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ('version="1.1"', 'version="1.0"'),
        ("<ele>1200.0</ele>", "<ele>high</ele>"),
        ('lat="46.500000"', 'lat="96.500000"'),
        ('lon="-113.500000"', 'lon="180.0"'),
        ("<type>trailhead</type>", "<type>trailhead</type><name>again</name>"),
        ("</trk>", "</trk><metadata/>"),
    ],
)
def test_the_schema_refuses_what_is_wrong(was: str, becomes: str) -> None:
    good = gpx_of(placed(typed())).decode("utf-8")
    assert was in good
    assert _schema().is_valid(good)
    assert not _schema().is_valid(good.replace(was, becomes, 1))
