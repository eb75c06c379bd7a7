"""What must fit together between the keys of a trip file."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from handline.errors import Problem
from handline.trip.model import Trip

Problems = Callable[[str], dict[str | None, Problem]]

LEGS = """
latitude = 46.6
longitude = -113.4
[[route.legs]]
from = "Gate"
to = "Base"
distance = "8 km"
[[route.legs]]
from = "Base"
to = "Top"
distance = "1 km"
"""


def waypoint(keys: str) -> str:
    return f"\n[[waypoints]]\n{keys}\n"


def test_track_or_legs(problems: Problems, short: str) -> None:
    assert "no way to walk" in problems(short.replace('track = "track.gpx"', ""))["route"].what
    both = problems(short.replace('track = "track.gpx"', 'track = "track.gpx"\n' + LEGS))
    assert "both a track and typed legs" in both["route.legs"].what


def test_typed_legs_need_a_place_and_join(problems: Problems, short: str) -> None:
    legs = LEGS.replace("latitude = 46.6", "").replace('from = "Base"', 'from = "Bass"')
    found = problems(short.replace('track = "track.gpx"', legs))
    assert found["route.latitude"].what == "latitude is needed with typed legs"
    assert found["route.legs[1].from"].allowed == '"Base"'
    assert set(found) == {"route.latitude", "route.legs[1].from"}


def test_latitude_goes_with_longitude(problems: Problems, short: str) -> None:
    found = problems(short.replace('track = "track.gpx"', 'track = "track.gpx"\nlatitude = 46.6'))
    assert set(found) == {"route.longitude"}


def test_with_typed_legs_waypoints_are_ends_of_legs(problems: Problems, short: str) -> None:
    text = short.replace('track = "track.gpx"', LEGS)
    found = problems(text + waypoint('name = "Base"\nat = "3 km"') + waypoint('name = "Tops"'))
    assert found["waypoints[0].at"].mend == "leave at away"
    assert found["waypoints[1].name"].mend == 'did you mean "Top"?'


def test_each_waypoint_has_one_place(problems: Problems, short: str) -> None:
    found = problems(
        short
        + waypoint('name = "A"')
        + waypoint('name = "B"\nat = "1 km"\nlatitude = 46\nlongitude = 7')
        + waypoint('name = "C"\nlatitude = 46')
        + waypoint('name = "D"\nlatitude = 46\nlongitude = 7')
        + waypoint('name = "E"\nat = "end"')
    )
    assert found["waypoints[0]"].what == "this waypoint has no place"
    assert found["waypoints[1]"].what == found["waypoints[2]"].what == "this waypoint has no one place"
    assert len(found) == 3


def test_names_are_given_once(problems: Problems, short: str) -> None:
    found = problems(
        short.replace("size = 4", 'members = [{ name = "Ada" }, { name = "Ada" }]')
        + waypoint('name = "A"\nat = "1 km"')
        + waypoint('name = " A "\nat = "2 km"')
        + '\n[[tethers.own]]\nname = "T"\nkind = "running"\n[[tethers.own]]\nname = "T"\nkind = "running"\n'
    )
    assert set(found) == {"waypoints[1].name", "party.members[1].name", "tethers.own[1].name"}
    assert {problem.what for problem in found.values()} == {"this name is taken"}


def test_places_that_are_named_exist(problems: Problems, short: str) -> None:
    text = short.replace("[line]", '[line]\nfoot = "Bas"') + '\n[[permits]]\nname = "P"\nchecked_at = "Basse"\n'
    found = problems(text + waypoint('name = "Base"\nat = "1 km"'))
    assert found["line.foot"].mend == found["permits[0].checked_at"].mend == 'did you mean "Base"?'
    assert problems(text)["line.foot"].mend == "add it as a [[waypoints]]"


def test_foot_and_head_are_clear(problems: Problems, short: str) -> None:
    two = waypoint('name = "A"\nkind = "line_foot"\nat = "1 km"') + waypoint(
        'name = "B"\nkind = "line_foot"\nat = "2 km"'
    )
    assert problems(short + two)["waypoints[1].kind"].mend == "name the one that is meant as foot in [line]"
    same = short.replace("[line]", '[line]\nfoot = "A"\nhead = "A"') + two
    assert problems(same)["line.head"].what == "foot and head of the line are the same waypoint"


@pytest.mark.parametrize(
    ("slab", "key"),
    [
        ("", "line"),
        ('length = "120 m"', "line"),
        ("sections = []", "line"),
        ('length = "20 m"\nsections = [{ length = "20 m", angle = "38 deg" }]', "line.length"),
        ('angle = "20 deg"\nsections = [{ length = "20 m", angle = "38 deg" }]', "line.angle"),
    ],
)
def test_the_slab_is_given_in_one_form(problems: Problems, short: str, slab: str, key: str) -> None:
    found = problems(short.replace('length = "120 m"\nangle = "45 deg"', slab))
    assert set(found) == {key}
    assert "length and angle, or sections" in (found[key].allowed or "")


ENDS = waypoint('name = "A"\nkind = "line_foot"\nat = "1 km"') + waypoint(
    'name = "B"\nkind = "line_head"\nat = "1.1 km"'
)


def test_a_track_may_tell_the_slab(read: Callable[[str], Trip], problems: Problems, short: str) -> None:
    bare = short.replace('length = "120 m"\nangle = "45 deg"', 'anchors = ["0 m", "900 m"]')
    line = read(bare + ENDS).line
    assert line.slab == ()
    named = bare.replace("[line]", '[line]\nfoot = "C"\nhead = "D"')
    ends = waypoint('name = "C"\nat = "1 km"') + waypoint('name = "D"\nat = "2 km"')
    assert read(named + ends).line.slab == ()
    one_end = bare + waypoint('name = "A"\nkind = "line_foot"\nat = "1 km"')
    assert problems(one_end)["line"].what.endswith("its head is not named")
    assert problems(bare)["line"].what.endswith("its foot and head is not named")


def test_no_track_tells_no_slab(problems: Problems, short: str) -> None:
    legs = short.replace(
        'track = "track.gpx"',
        'latitude = 46.6\nlongitude = -113.4\nlegs = [{ from = "A", to = "B", distance = "1 km" }]',
    )
    found = problems(legs.replace('length = "120 m"\nangle = "45 deg"', 'foot = "A"\nhead = "B"'))
    assert found["line"].what == "the slab has no length and angle"


def test_stances_go_up_and_stay_on_the_slab(problems: Problems, short: str) -> None:
    found = problems(short.replace("[line]", '[line]\nstances = ["10 m", "50 m", "50 m", "121 m"]'))
    assert found["line.stances[2]"].what == "stances go up the line, each farther from the foot than the one before"
    assert found["line.stances[3]"].what == "this stance is beyond the head of the line"
    assert set(found) == {"line.stances[2]", "line.stances[3]"}
    assert set(problems(short.replace("[line]", '[line]\nstances = ["-1 m"]'))) == {"line.stances[0]"}


@pytest.mark.parametrize(
    ("wrong", "key"),
    [
        ('angle = "91 deg"', "line.angle"),
        ('angle = "45 deg"\nstanchion_spacing = "0 m"', "line.stanchion_spacing"),
        ('angle = "45 deg"\nstance_rest = "-1 min"', "line.stance_rest"),
        ('angle = "45 deg"\nanchors = ["121 m"]', "line.anchors[0]"),
    ],
)
def test_no_such_line(problems: Problems, short: str, wrong: str, key: str) -> None:
    assert set(problems(short.replace('angle = "45 deg"', wrong))) == {key}


def test_anchors_go_up_and_stay_on_the_slab(problems: Problems, short: str) -> None:
    found = problems(short.replace("[line]", '[line]\nanchors = ["0 m", "50 m", "50 m", "40 m", "120 m", "394 ft"]'))
    assert set(found) == {"line.anchors[2]", "line.anchors[3]", "line.anchors[5]"}
    assert found["line.anchors[5]"].allowed == "at most 120 m (393.701 ft), where the slab ends"


def test_an_anchor_at_the_very_head_may_be_typed_in_feet(read: Callable[[str], Trip], short: str) -> None:
    sections = 'sections = [{ length = "100 ft", angle = "38 deg" }, { length = "215 ft", angle = "40 deg" }]'
    trip = read(short.replace('length = "120 m"\nangle = "45 deg"', sections + '\nanchors = ["0 m", "96.012 m"]'))
    assert trip.line.anchors_m[-1] == pytest.approx(315 * 0.3048)


def test_size_and_members_agree(problems: Problems, short: str) -> None:
    found = problems(short + 'members = [{ name = "Ada" }]\n')
    assert (found["party.size"].what, found["party.size"].allowed) == ("the members listed make 1", "1")


def test_an_empty_party_is_refused(problems: Problems, short: str) -> None:
    assert problems(short.replace("size = 4", "size = 0"))["party.size"].mend == "a party has at least one person"
    assert problems(short.replace("size = 4", "members = []"))["party.size"].mend == "a party has at least one person"
    assert "empty" in problems(short + "members = []\n")["party.members"].what
    assert problems(short.replace("size = 4", ""))["party.size"].what == "size is needed here"


@pytest.mark.parametrize("size", ["61", "1_000_000_000", "1e9", "inf"])
def test_a_crowd_is_no_party(problems: Problems, short: str, size: str) -> None:
    assert "split into parties" in (problems(short.replace("size = 4", f"size = {size}"))["party.size"].mend or "")


def test_long_waits_are_longer(problems: Problems, short: str) -> None:
    found = problems(short + '[crowd]\nwait_up = "20 min"\nwait_up_long = "10 min"\nwait_down_long = "5 min"\n')
    assert found["crowd.wait_up_long"].allowed == "at least 20 min"
    assert found["crowd.wait_down"].what == "wait_down is needed with wait_down_long"


def test_equal_waits_are_allowed(read: Callable[[str], Trip], short: str) -> None:
    crowd = read(short + '[crowd]\nwait_up = "20 min"\nwait_up_long = "20 min"\n').crowd
    assert crowd.wait_up_s == crowd.wait_up_long_s == 1200.0


@pytest.mark.parametrize(("middle", "long"), [("1 min", "1200.5 s"), ("1e-168 s", "20 min")])
def test_a_wait_is_not_drawn_too_far_apart(problems: Problems, short: str, middle: str, long: str) -> None:
    """As a log-normal its mean would outgrow every day, and then every number."""
    found = problems(short + f'[crowd]\nwait_up = "{middle}"\nwait_up_long = "{long}"\n')["crowd.wait_up_long"]
    assert found.allowed == f"at most 20 times {middle}"
    assert "wait_up" in (found.mend or "")


def test_twenty_times_the_middle_wait_is_allowed(read: Callable[[str], Trip], short: str) -> None:
    assert read(short + '[crowd]\nwait_up = "1 min"\nwait_up_long = "20 min"\n').crowd.wait_up_long_s == 1200.0


def test_one_unusable_key_does_not_hide_the_others(problems: Problems, short: str) -> None:
    text = short.replace("[line]", '[line]\ncables = 7\nfoot = "nowhere"\nanchors = ["0 m", "x", "500 m"]')
    assert set(problems(text)) == {"line.cables", "line.foot", "line.anchors[1]", "line.anchors[2]"}


def own_tether(kind: str, part: str) -> str:
    return f'\n[[tethers.own]]\nname = "T"\nkind = "{kind}"\n[[tethers.own.parts]]\n{part}\n'


@pytest.mark.parametrize(("cable", "wide"), [("", "12 mm"), ('cable_diameter = "16 mm"', "16 mm")])
def test_connectors_go_round_the_cable(
    problems: Problems, read: Callable[[str], Trip], short: str, cable: str, wide: str
) -> None:
    text = short.replace("[line]", f"[line]\n{cable}")
    part = 'part = "connector B"\nopening = "{}"'
    found = problems(text + own_tether("running", part.format(wide)))
    assert found["tethers.own[0].parts[0].opening"].allowed == f"more than {wide}, the cable"
    assert found["tethers.own[0].parts[0].opening"].line is not None
    assert read(text + own_tether("running", part.format("16.1 mm"))).tethers.own[0].parts[
        0
    ].opening_m == pytest.approx(0.0161)
    # A hitch's connector hangs on its cord.
    assert read(text + own_tether("gripping", part.format("10 mm"))).tethers.own[0].parts[0].opening_m == 0.010


def test_cords_are_thinner_than_the_cable(problems: Problems, read: Callable[[str], Trip], short: str) -> None:
    part = 'part = "PA cord"\ndiameter = "{}"'
    for thick in ("12 mm", "13 mm", "0.5 in"):
        found = problems(short + own_tether("gripping", part.format(thick)))
        assert "at least 3 mm thinner" in (found["tethers.own[0].parts[0].diameter"].mend or "")
    # Less than 3 mm thinner is a finding of the day, not an error; in a running tether it is no hitch.
    assert read(short + own_tether("gripping", part.format("11 mm"))).tethers.own[0].parts
    assert read(short + own_tether("running", part.format("13 mm"))).tethers.own[0].parts


@pytest.mark.parametrize(
    ("part", "key"),
    [
        ('part = "PA sling"\nlength = "0 m"', "length"),
        ('part = "PA sling"\nlength = "3.1 m"', "length"),
        ('part = "PA cord"\ndiameter = "0 mm"', "diameter"),
        ('part = "PA sling"\nstrength = "0 kN"', "strength"),
        ('part = "PA sling"\nstiffness = "0.9 kN"', "stiffness"),
        ('part = "connector B"\nopening = "101 mm"', "opening"),
    ],
)
def test_parts_have_sizes_that_can_be(problems: Problems, short: str, part: str, key: str) -> None:
    assert f"tethers.own[0].parts[0].{key}" in problems(short + own_tether("running", part))


def test_one_or_two_arms(problems: Problems, short: str) -> None:
    found = problems(short + '\n[[tethers.own]]\nname = "T"\nkind = "running"\narms = 3\n')
    assert found["tethers.own[0].arms"].allowed == "1, 2"
