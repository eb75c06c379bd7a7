"""Raised against lowered: which side the numbers speak for, and where they are too near to speak."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from handline.choose.state_sides import Side, starts_say, state_sides
from handline.choose.way_settings import WayWanted, way_settings
from handline.day.setting import set_up
from handline.trip.reading import read_trip_text
from tests.choose.option_trips import an_option, camp_text, camp_trip


@pytest.fixture(scope="module")
def both():
    trip = camp_trip()
    wanted = tuple(WayWanted("push", trip.about.date, forced) for forced in (False, True))
    return way_settings(trip, set_up(trip), wanted)


def _rows(both, raised, lowered):
    found = state_sides(Side(an_option(**raised), both[0]), Side(an_option(**lowered), both[1]), "si")
    return {side.what: side for side in found}


@pytest.mark.parametrize(
    ("what", "raised", "lowered", "speaks"),
    [
        ("All limits kept", {"chance": 0.95}, {"chance": 0.97}, "lowered"),
        ("All limits kept", {"chance": 0.95}, {"chance": 0.96}, ""),
        ("Waiting before it, both ways", {"wait_s": (600.0, 1800.0)}, {"wait_s": (0.0, 1500.0)}, "lowered"),
        ("Waiting before it, both ways", {"wait_s": (600.0, 1800.0)}, {"wait_s": (0.0, 1560.0)}, ""),
        ("Time on it, up and down", {"on_line_s": (3000.0, 4000.0)}, {"on_line_s": (3000.0, 4300.0)}, "raised"),
        ("Changeovers, one way", {"changeovers": 5}, {"changeovers": 2}, "lowered"),
        ("Changeovers, one way", {"changeovers": 5}, {"changeovers": 3}, ""),
        ("Slide at worst", {"slide_m": (1.0, 4.0)}, {"slide_m": (9.0, 25.0)}, "raised"),
        ("Stopping force at worst", {}, {"force_N": (math.nan, math.nan)}, "raised"),
        ("Slips not stopped within your limit", {"not_stopped_share": 0.0}, {"not_stopped_share": 0.05}, "raised"),
        ("Hardest pull on the hands", {"most_pull_N": 250.0}, {"most_pull_N": 230.0}, "lowered"),
        ("Felt at its ends, on the careful side", {"felt_C": 5.0}, {"felt_C": -2.0}, "raised"),
        ("Felt at its ends, on the careful side", {"felt_C": 5.0}, {"felt_C": 3.0}, ""),
        ("Felt at its ends, on the careful side", {"felt_C": 5.0}, {"felt_C": math.nan}, ""),
        ("Ice on tying on", {"ice_share": 0.0}, {"ice_share": 0.3}, "raised"),
        ("Rock not dry on tying on", {"not_dry_share": 0.2}, {"not_dry_share": 0.1}, "lowered"),
        ("Permits", {"permit_chance": 0.3}, {"permit_chance": 1.0}, "lowered"),
        ("Permits", {"permit_chance": None}, {"permit_chance": 1.0}, ""),
    ],
)
def test_the_numbers_speak(both, what, raised, lowered, speaks):
    assert _rows(both, raised, lowered)[what].speaks_for == speaks


OF_THE_HOUR = {
    "All limits kept": ({"chance": 0.65}, {"chance": 0.97}),
    "Waiting before it, both ways": ({"wait_s": (600.0, 1800.0)}, {"wait_s": (0.0, 300.0)}),
    "Time on it, up and down": ({"on_line_s": (3000.0, 4000.0)}, {"on_line_s": (3000.0, 9000.0)}),
    "Hardest pull on the hands": ({"most_pull_N": 250.0}, {"most_pull_N": 646.0}),
    "Felt at its ends, on the careful side": ({"felt_C": 5.0}, {"felt_C": -12.0}),
    "Ice on tying on": ({"ice_share": 0.0}, {"ice_share": 0.3}),
    "Rock not dry on tying on": ({"not_dry_share": 0.9}, {"not_dry_share": 0.1}),
}


@pytest.mark.parametrize("what", OF_THE_HOUR)
def test_what_comes_from_another_hour_speaks_for_neither(both, what):
    raised, lowered = OF_THE_HOUR[what]
    for apart_s, speaks in ((0.0, True), (3600.0, True), (-3600.0, True), (3601.0, False), (-28_200.0, False)):
        row = _rows(both, raised, {**lowered, "start_clock_s": 18_000.0 + apart_s})[what]
        assert bool(row.speaks_for) == speaks, apart_s
        assert row.raised != row.lowered, "its numbers are told all the same"


def test_what_comes_from_the_cable_speaks_from_whatever_start(both):
    lowered = {"changeovers": 3, "slide_m": (9.0, 25.0), "not_stopped_share": 0.3, "force_N": (9000.0, 40_000.0)}
    rows = _rows(both, {}, {**lowered, "start_clock_s": -3000.0})
    assert rows["Changeovers, one way"].speaks_for == "lowered"
    for what in ("Slide at worst", "Slips not stopped within your limit", "Stopping force at worst"):
        assert rows[what].speaks_for == "raised"
    # Hands are judged on the rock that is found: on ice they fail at once, whichever way the cable is.
    for start_s, speaks in ((18_000.0, "raised"), (-3000.0, "")):
        rows = _rows(both, {}, {"rock": "iced", "start_clock_s": start_s})
        assert rows["Hands of a median woman, going up"].speaks_for == speaks
    assert _rows(both, {}, {"start_clock_s": -3000.0})["Hands of a median woman, going up"].speaks_for == "raised"


def test_both_starts_are_told_and_what_the_hour_has_a_part_in():
    raised = an_option(start_clock_s=25_200.0, rock="wet")
    near = an_option(start_clock_s=28_800.0, rock="iced")
    assert starts_say(raised, near) == "Raised: leaving at 07:00; lowered: leaving at 08:00."
    far = starts_say(raised, an_option(start_clock_s=-3000.0, rock="wet"))
    assert far == (
        "Raised: leaving at 07:00; lowered: leaving at 23:10 the day before. The two starts are 7 h 50 min apart: the "
        "rows of limits, times, rock, ice, cold and the pull on the hands come also from the other hour, and so speak "
        "for neither by themselves."
    )
    iced = starts_say(raised, an_option(start_clock_s=-3000.0, rock="iced"))
    assert iced == (
        f"{far} Slips and hands are judged on wet rock raised and on iced rock lowered: part of what their rows say is "
        "the rock's."
    )
    night = an_option(way="night", start_clock_s=18_000.0)
    assert (
        starts_say(night, night) == "Raised: leaving from the camp at 05:00; lowered: leaving from the camp at 05:00."
    )


def test_a_crowd_of_unknown_size_when_lowered_is_said_to_be_one(both):
    text = camp_text().replace('wait_up = "5 min"\nwait_down = "5 min"', "people_per_day = 40")
    trip = read_trip_text(text, Path("by-the-camp") / "trip.toml")
    setting = set_up(trip)
    crowded = way_settings(trip, setting, tuple(WayWanted("push", trip.about.date, forced) for forced in (False, True)))
    found = state_sides(Side(an_option(), crowded[0]), Side(an_option(), crowded[1]), "si")
    rows = {side.what: side for side in found}
    people = rows["People who may come, with you"]
    assert people.raised == "40, as typed in the trip file"
    assert people.lowered == "40 too: nothing says how many come then; it may be far fewer"
    assert people.speaks_for == ""
    assert "Waiting before it, both ways, if as many come" in rows
    # Where waits are typed, nobody was counted.
    assert not any("if as many come" in what or "People" in what for what in _rows(both, {}, {}))


def test_both_sides_are_always_told(both):
    rows = _rows(both, {"untied_s": 0.0}, {"untied_s": 75.0, "changeovers": 3, "force_N": (math.nan, math.nan)})
    assert rows["Changeovers, one way"].lowered == "3, untied for 75 s in all"
    assert rows["Stopping force at worst"].lowered == "nothing stops it"
    assert rows["Waiting before it, both ways"].raised == "10 min; 30 min"
    hands = rows["Hands of a median woman, going up"]
    # A stanchion every 3 m from 0 m to 99 m, but for those at the anchors at 0 m and 75 m.
    assert hands.raised == "last all the way, 32 places to rest them"
    assert hands.lowered.endswith("0 places to rest them")
    assert all(row.raised and row.lowered for row in rows.values())
