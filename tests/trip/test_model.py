"""What a short file means, and what the examples say in SI."""

from __future__ import annotations

import datetime as dt
import math
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from pydantic import ValidationError

from handline.errors import TripError
from handline.trip.model import Trip
from handline.trip.reading import read_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
Read = Callable[[str], Trip]


def example(name: str, folder: Path) -> Trip:
    """An example trip, beside empty files for what it names."""
    shutil.copy(EXAMPLES / name / "trip.toml", folder)
    for beside in ("track.gpx", "terrain.tif", "forecast.csv"):
        (folder / beside).touch()
    return read_trip(folder / "trip.toml")


def test_a_short_file_is_filled_up(read: Read, short: str) -> None:
    trip = read(short)
    assert trip.about.date == dt.date(2027, 7, 17)
    assert (trip.about.start_clock_s, trip.about.units, trip.about.seed, trip.about.days) == (18000.0, "si", 1, 10_000)
    assert (trip.route.track, trip.route.out_and_back, trip.route.dead_band_m) == ("track.gpx", True, 5.0)
    assert (trip.line.state, trip.line.cables, trip.line.cable_diameter_m) == ("by season", 1, 0.012)
    assert trip.line.climb_rate_m_s == trip.line.descend_rate_m_s == pytest.approx(7 / 60)
    assert (trip.season.raised, trip.season.open, trip.waypoints, trip.permits) == ((), (), (), ())
    assert (trip.party.size, trip.party.body_mass_kg, trip.party.masses_kg) == (4, 80.0, (80.0,) * 4)
    assert (trip.party.pace_spread, trip.party.leg_spread) == (0.12, 0.08)
    assert (trip.party.rest_per_hour_s, trip.party.dark_factor) == (300.0, 1.25)
    assert (trip.tethers.chosen, trip.tethers.own, trip.weather.rock) == ("none", (), None)
    assert (trip.limits.chance, trip.limits.off_line_before_storm, trip.limits.home_before_dark) == (0.9, True, True)
    assert trip.limits.body_force_N == 6000.0
    assert (trip.foot_name, trip.head_name) == (None, None)


def test_one_length_and_angle_are_a_slab_of_one_piece(read: Read, short: str) -> None:
    line = read(short).line
    assert [(piece.length_m, piece.angle_rad) for piece in line.slab] == [(120.0, math.pi / 4)]


def test_the_northern_example_in_si(tmp_path: Path) -> None:
    trip = example("tamsin-dome", tmp_path)
    assert trip.about.start_clock_s == 4 * 3600
    assert [piece.length_m for piece in trip.line.slab] == [18.0, 24.0, 30.0, 24.0]
    assert trip.tethers.reach_m == pytest.approx(0.9144)
    assert trip.party.body_mass_kg == pytest.approx(187 * 0.45359237)
    assert (trip.crowd.wait_up_s, trip.crowd.starts_clock_s) == (None, 5 * 3600)
    assert (trip.weather.forecast, trip.line.facing_deg, trip.limits.chance) == ("forecast.csv", 208.0, 0.9)
    assert (trip.foot_name, trip.head_name) == ("Foot of the cables", "Head of the cables")
    assert (trip.waypoints[0].at_m, trip.waypoints[-1].at_m) == (None, "end")
    assert [waypoint.stop_s for waypoint in trip.waypoints] == [0.0, 900.0, 600.0, 300.0, 600.0, 0.0, 1800.0]
    assert trip.waypoints[0].longitude_deg == -113.462
    assert trip.permits[0].held


def test_the_southern_example_in_si(tmp_path: Path) -> None:
    trip = example("petrel-slab", tmp_path)
    assert sum(piece.length_m for piece in trip.line.slab) == trip.line.anchors_m[-1] == 132.0
    assert trip.season.open == ("1 December to 31 March",)
    assert trip.line.state == "raised"
    assert trip.line.facing_deg == 180.0
    assert [month.month for month in trip.weather.months] == [12, 1, 2, 3]


def test_foot_and_head_are_found_by_their_kind(read: Read, short: str) -> None:
    trip = read(
        short
        + '[[waypoints]]\nname = "Base"\nkind = "line_foot"\nat = "3 km"\n'
        + '[[waypoints]]\nname = "Top"\nkind = "line_head"\nat = "end"\n'
    )
    assert (trip.foot_name, trip.head_name) == ("Base", "Top")


def test_a_named_foot_and_head_go_before_their_kind(read: Read, short: str) -> None:
    places = [("A", "line_foot"), ("B", "line_foot"), ("C", "line_head"), ("D", "line_head")]
    waypoints = "".join(f'[[waypoints]]\nname = "{n}"\nkind = "{kind}"\nat = "3 km"\n' for n, kind in places)
    trip = read(short.replace("[line]", '[line]\nfoot = "B"\nhead = "D"') + waypoints)
    assert (trip.foot_name, trip.head_name) == ("B", "D")


def test_members_make_the_party(read: Read, short: str) -> None:
    trip = read(
        short.replace("size = 4", 'body_mass = "90 kg"')
        + '[[party.members]]\nname = "Ada"\nbody_mass = "62 kg"\n[[party.members]]\nname = "Ben"\n'
    )
    assert trip.party.size == 2
    assert trip.party.masses_kg == (62.0, 90.0)


TYPED_LEGS = """\
[trip]
date = "2027-07-17"

[route]
latitude = "46.62 deg"
longitude = -113.41
timezone = "America/Denver"
start_elevation = "1262 m"

[[route.legs]]
from = "Gate"
to = "Base"
distance = "4.5 mi"
up = "2,300 ft"

[[route.legs]]
from = "Base"
to = "Top"
distance = "3.5 mi"
up = "2,900 ft"
down = "0 ft"

[[waypoints]]
name = "Base"
kind = "line_foot"
stop = "10 min"

[line]
head = "Top"
sections = [{ length = "20 m", angle = "90 deg" }]

[party]
size = 1

[[tethers.own]]
name = "long sling"
kind = "running"
reach = "1.2 m"
stiffness = "75 kN"
strength = "22 kN"

[weather]
storm_from = "12:30"
"""


# Common practice: legs of 4.5 mi and 2,300 ft and of 3.5 mi and 2,900 ft make 8 mi and 5,200 ft.
def test_typed_legs_and_their_places(read: Read) -> None:
    trip = read(TYPED_LEGS)
    assert sum(leg.distance_m for leg in trip.route.legs) == pytest.approx(8 * 1609.344)
    assert sum(leg.up_m for leg in trip.route.legs) == pytest.approx(5200 * 0.3048)
    assert [leg.down_m for leg in trip.route.legs] == [0.0, 0.0]
    assert (trip.route.latitude_deg, trip.route.longitude_deg) == (46.62, -113.41)
    assert (trip.foot_name, trip.head_name) == ("Base", "Top")
    assert trip.tethers.own[0].stiffness_N == 75_000.0
    assert trip.weather.storm_from_clock_s == 12.5 * 3600


@pytest.mark.parametrize(("typed", "wrong"), [('"4.5 mi"', '"0 mi"'), ('"2,300 ft"', '"-2,300 ft"')])
def test_legs_have_a_length_and_no_minus(read: Read, typed: str, wrong: str) -> None:
    with pytest.raises(TripError, match=r"\[route\.legs\[0\]\.(distance|up)\]: this length is too small"):
        read(TYPED_LEGS.replace(typed, wrong))


def test_a_trip_knows_its_file(trip_file: Path) -> None:
    trip = read_trip(trip_file)
    assert (trip.path, trip.folder) == (trip_file, trip_file.parent)
    assert trip.file("track.gpx").is_file()


def test_a_trip_is_frozen(read: Read, short: str) -> None:
    trip = read(short)
    with pytest.raises(ValidationError, match="frozen"):
        setattr(trip.party, "size", 5)  # noqa: B010


# The limits as they were decided, each as the last value inside and the first one outside.
LIMITS = [
    ("party", "size", "60", "61"),
    ("party", "body_mass", '"30 kg"', '"29.9 kg"'),
    ("party", "body_mass", '"200 kg"', '"200.1 kg"'),
    ("party", "dark_factor", "1", "0.999"),
    ("tethers", "reach", '"0.1 m"', '"0.0999 m"'),
    ("tethers", "reach", '"3 m"', '"3.001 m"'),
    ("line", "cable_diameter", '"4 mm"', '"3.999 mm"'),
    ("line", "cable_diameter", '"40 mm"', '"40.01 mm"'),
    ("line", "stanchion_holds", '"0.001 N"', '"0 N"'),
    ("limits", "chance", "0.5", "0.4999"),
    ("limits", "chance", '"99 %"', '"99.01 %"'),
    ("limits", "body_force", '"12 kN"', '"12.01 kN"'),
    ("trip", "days", "100", "99"),
    ("trip", "days", "200_000", "200_001"),
    ("trip", "seed", "0", "-1"),
    ("trip", "seed", "9223372036854775807", "9223372036854775808"),
    ("route", "dead_band", '"0 m"', '"-0.001 m"'),
]


@pytest.mark.parametrize(("section", "key", "inside", "outside"), LIMITS)
def test_limits_of_keys(read: Read, short: str, section: str, key: str, inside: str, outside: str) -> None:
    def text(value: str) -> str:
        lines = [line for line in short.splitlines() if not line.startswith(f"{key} =")]
        if f"[{section}]" not in lines:
            lines.append(f"[{section}]")
        lines.insert(lines.index(f"[{section}]") + 1, f"{key} = {value}")
        return "\n".join(lines)

    read(text(inside))
    with pytest.raises(TripError, match=rf"\[{section}\.{key}\]: this .* (small|large|limits)"):
        read(text(outside))
