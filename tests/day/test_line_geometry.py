from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.day.file_checks import subject_problems
from handline.day.line_geometry import LEAST_RISE_M, SAME_SLOPE_RAD, sections_along
from handline.day.line_passage import gloves_of, passage_of
from handline.day.planning import make_plan
from handline.day.setting import set_up
from handline.errors import TripError
from handline.line.friction import ROCKS
from handline.line.grip import GLOVES
from handline.trip.model import Trip
from handline.trip.reading import read_trip, read_trip_text
from tests.day.trips import typed_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
TYPED = {"tamsin-dome": (96.0, 49.0), "petrel-slab": (132.0, 55.0)}


def _untyped(name: str, **changed: str) -> Trip:
    """An example without its slab; ``changed`` replaces whole keys of its text."""
    file = EXAMPLES / name / "trip.toml"
    text = re.sub(r"^sections = \[.*?^\]\n", "", file.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
    for key, value in changed.items():
        text, count = re.subn(rf"^{key} = .*$", f"{key} = {value}", text, flags=re.MULTILINE)
        assert count
    return read_trip_text(text, file, subject_problems)


@pytest.mark.parametrize("name", list(TYPED))
def test_a_slab_measured_from_the_track_is_near_the_typed_one(name: str) -> None:
    """The examples' tracks were made to follow their slabs, so the typed ones are the referee."""
    length_m, steepest_deg = TYPED[name]
    setting = set_up(_untyped(name))
    assert "slab" in setting.guessed
    assert setting.line.length_m == pytest.approx(length_m, rel=0.05)
    flatter_deg = steepest_deg - float(np.degrees(max(setting.line.section_angle_rad)))
    assert 3.0 < flatter_deg < 5.0  # the finding says that it reads too flat, easily by four
    leg = next(leg for leg in setting.route.legs if leg.is_line)
    assert setting.line.height_m == pytest.approx(float(leg.rise_m.sum()))
    assert "slab" not in set_up(read_trip(EXAMPLES / name / "trip.toml")).guessed


def test_a_measured_slab_is_said_twice() -> None:
    plan = make_plan(_untyped("tamsin-dome"))
    levels = {finding.key: finding.level for finding in plan.findings}
    assert (levels["slab_measured"], levels["slab_rough"]) == ("note", "heed")
    said = next(finding.sentence for finding in plan.findings if finding.key == "slab_measured")
    assert "track.gpx: 325 ft along the rock, 3 sections of 22 deg to 45 deg" in said
    typed = make_plan(read_trip(EXAMPLES / "tamsin-dome" / "trip.toml"))
    assert not {"slab_measured", "slab_rough"} & {finding.key for finding in typed.findings}


def test_a_place_between_foot_and_head_does_not_shorten_the_slab() -> None:
    trip = _untyped("tamsin-dome")
    between = trip.waypoints[0].model_copy(
        update={"name": "Ledge", "kind": "place", "at_m": 10_650.0, "latitude_deg": None, "longitude_deg": None}
    )
    with_it = trip.model_copy(update={"waypoints": (*trip.waypoints, between)})
    one, other = (set_up(each).line for each in (trip, with_it))
    assert other.length_m == pytest.approx(one.length_m, rel=0.01)
    assert other.height_m == pytest.approx(one.height_m, rel=0.01)


def test_anchors_beyond_a_measured_head_are_named() -> None:
    with pytest.raises(TripError) as refused:
        set_up(_untyped("tamsin-dome", anchors='["0 m", "96 m", "120 m"]'))
    (problem,) = refused.value.problems
    assert problem.key == "line.anchors[2]"
    assert problem.line is not None
    assert (problem.allowed or "").startswith("at most 98.9")


def test_a_track_that_falls_from_foot_to_head_is_refused(tmp_path: Path) -> None:
    """Invented: 1 km up to a knoll, 300 m down behind it, and on up; the foot on the knoll, the head behind it."""
    at_m = np.arange(0.0, 2001.0, 20.0)
    height_m = np.interp(at_m, [0.0, 1000.0, 1300.0, 2000.0], [1000.0, 1300.0, 1200.0, 1700.0])
    points = "".join(
        f'<trkpt lat="{46.6 + at / 111_160:.7f}" lon="-113.4"><ele>{height:.1f}</ele></trkpt>'
        for at, height in zip(at_m, height_m, strict=True)
    )
    (tmp_path / "track.gpx").write_text(
        f'<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1"><trk><trkseg>{points}</trkseg></trk></gpx>'
    )
    text = """
[trip]
date = 2027-07-17
[route]
track = "track.gpx"
[line]
[party]
size = 2
[[waypoints]]
name = "Knoll"
kind = "line_foot"
at = "{foot} m"
[[waypoints]]
name = "Behind it"
kind = "line_head"
at = "{head} m"
"""
    with pytest.raises(TripError) as refused:
        set_up(read_trip_text(text.format(foot=1020, head=1280), tmp_path / "trip.toml"))
    (problem,) = refused.value.problems
    assert problem.key == "line"
    assert problem.what == "the track does not climb from the foot of the line to its head"
    assert (problem.read or "").startswith("-")
    rising = set_up(read_trip_text(text.format(foot=1400, head=1600), tmp_path / "trip.toml"))
    # 500 m up on 700 m across are 35.5 deg.
    assert np.degrees(rising.line.section_angle_rad) == pytest.approx([35.54], abs=0.3)
    assert rising.line.stop_m.tolist() == pytest.approx([0.0, 200.0 / np.cos(np.radians(35.54))], rel=0.01)


@given(
    st.lists(st.tuples(st.floats(1.0, 30.0), st.floats(-20.0, 60.0)), min_size=1, max_size=12),
    st.floats(0.0, 0.2),
)
def test_sections_keep_length_and_rise(pieces: list[tuple[float, float]], same: float) -> None:
    run_m, rise_m = np.array(pieces).T
    if not rise_m.sum() > LEAST_RISE_M:
        with pytest.raises(ValueError, match="do not rise"):
            sections_along(run_m, rise_m, same)
        return
    length_m, angle_rad = (np.array(values) for values in sections_along(run_m, rise_m, same))
    assert np.all((angle_rad > 0) & (angle_rad < np.pi / 2))
    assert float(np.sum(length_m * np.sin(angle_rad))) == pytest.approx(float(rise_m.sum()), rel=1e-6, abs=1e-9)
    assert float(np.sum(length_m * np.cos(angle_rad))) == pytest.approx(float(run_m.sum()), rel=1e-6)


def test_a_rise_too_small_to_have_a_slope_is_level() -> None:
    with pytest.raises(ValueError, match="do not rise"):
        sections_along(np.array([2.0]), np.array([5e-324]), 0.0)
    length_m, angle_rad = sections_along(np.array([2.0, 2.0]), np.array([5e-324, 2.0]), 0.0)
    assert (len(length_m), np.degrees(angle_rad[0])) == (1, pytest.approx(26.565, abs=1e-3))


def test_neighbours_of_one_slope_are_one_section() -> None:
    length_m, angle_rad = sections_along(np.array([10.0, 10.0, 10.0, 10.0]), np.array([10.0, 10.5, 17.3, -0.5]))
    # 45.0 and 46.4 deg are one, of 20.5 on 20 m; 17.3 less 0.5 on 20 m are 40.0 deg.
    assert np.degrees(angle_rad) == pytest.approx([45.707, 40.030], abs=1e-3)
    assert length_m == pytest.approx([28.640, 26.120], abs=1e-3)
    assert np.degrees(SAME_SLOPE_RAD) == pytest.approx(3.0)


def test_a_fall_at_the_foot_is_joined_to_the_rise_after_it() -> None:
    length_m, angle_rad = sections_along(np.array([5.0, 5.0, 10.0]), np.array([-1.0, 6.0, 10.0]))
    assert np.degrees(angle_rad) == pytest.approx([26.565, 45.0], abs=1e-3)
    assert length_m == pytest.approx([11.180, 14.142], abs=1e-3)


def test_stances_reach_the_line_and_the_passage() -> None:
    trip = typed_trip(line='stances = ["20 m", "60 m"]\nstance_rest = "2 min"')
    setting, without = set_up(trip), set_up(typed_trip())
    assert setting.line.stance_m == (20.0, 60.0)
    for way in ("up", "down"):
        longer, shorter = (passage_of(one.trip, one.line, one.chosen, one.rock, way) for one in (setting, without))
        assert longer.climber_s - shorter.climber_s == pytest.approx(240.0)
    assert typed_trip().line.stance_rest_s == 60.0


def test_worse_rock_takes_the_hands_longer_and_dry_rock_is_the_rate() -> None:
    setting = set_up(typed_trip())
    trip, line, tether = setting.trip, setting.line, setting.chosen
    times = [passage_of(trip, line, tether, rock, "up").climber_s for rock in ROCKS.values()]
    # 100 m at 7 m a minute, and a changeover of 10 s at each of the 35 stops between foot and head.
    assert times[0] == pytest.approx(100.0 / (7 / 60) + 35 * 10.0)
    assert times == sorted(times)
    assert times[1] > times[0] + 60.0


def test_gloves_are_typed_or_carried() -> None:
    trip = typed_trip(line='gloves_up = "rubber-coated"')
    assert (gloves_of(trip, "up"), gloves_of(trip, "down")) == (GLOVES["rubber-coated"], GLOVES["leather"])
    bare = trip.model_copy(update={"gear": type(trip.gear)()})
    assert (gloves_of(bare, "up"), gloves_of(bare, "down")) == (GLOVES["rubber-coated"], GLOVES["bare"])


def test_unknown_gloves_are_named_with_the_choices() -> None:
    with pytest.raises(TripError) as refused:
        set_up(typed_trip(line='gloves_down = "lether"'))
    (problem,) = refused.value.problems
    assert problem.key == "line.gloves_down"
    assert problem.mend == 'did you mean "leather"?'
    assert "rubber-coated" in (problem.allowed or "")


def test_slabs_of_45_to_50_deg_on_15_mm_cable_run_through_the_whole_plan() -> None:
    # Common practice, no source.
    for angle_deg in (45, 50):
        trip = typed_trip(days=200, line='cable_diameter = "15 mm"\ncables = 2')
        steep = trip.line.model_copy(update={"angle_rad": float(np.radians(angle_deg))})
        plan = make_plan(trip.model_copy(update={"line": steep}))
        assert plan.line.cable_diameter_m == pytest.approx(0.015)
        assert {len(bay.hands_up) for bay in plan.line.bays} == {len(ROCKS)}
        assert {outcome.verdict for row in plan.line.tethers for outcome in row.outcomes} >= {"no stop", "breaks"}
