"""What must fit together in [gear], [load] and [night], and what the subjects refuse there."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.day.setting import set_up
from handline.errors import InputError, Problem, TripError
from handline.trip.reading import read_trip_text
from tests.day.load_trips import ITEMS, LISTED, load_text


def problems(**changes: str) -> dict[str, Problem]:
    """Every problem of a file by its key."""
    try:
        trip = read_trip_text(load_text(**changes), Path("creek") / "trip.toml")
        set_up(trip)
    except (InputError, TripError) as error:
        return {problem.key or "": problem for problem in error.problems}
    return {}


def test_what_fits_has_no_problem() -> None:
    assert problems(items=ITEMS, party=LISTED, load='treatment = "filter"', night='camp = "Camp"') == {}


@pytest.mark.parametrize(
    ("changes", "key", "words"),
    [
        ({"items": ITEMS, "party": 'size = 2\npack_mass = "8 kg"'}, "party.pack_mass", "given twice"),
        ({"items": ITEMS, "party": LISTED + 'pack_mass = "8 kg"'}, "party.members[1].pack_mass", "given twice"),
        ({"items": ITEMS + ITEMS}, "gear.items[6].name", "name is taken"),
        ({"items": ITEMS + 'who = "Cyr"', "party": LISTED}, "gear.items[5].who", "Cyr"),
        ({"items": ITEMS + 'who = "Cyr"'}, "gear.items[5].who", "no member"),
        ({"items": ITEMS + 'who = "Bo"\nshared = true', "party": LISTED}, "gear.items[5].who", "neither worn"),
        ({"items": ITEMS + "worn = true\nshared = true"}, "gear.items[5].worn", "neither worn"),
        ({"night": 'camp = "Cmap"'}, "night.camp", "waypoint"),
        ({"load": 'camp = "Camp"'}, "load.camp", "it belongs in [night]"),
        ({"creek": "place", "water": 'treatment = "filter"'}, "waypoints[0].treatment", "water only"),
        ({"creek": "place", "water": 'dry = ["1 July to 2 July"]'}, "waypoints[0].dry", "water only"),
        ({"load": 'treatment = "fliter"'}, "load.treatment", "treatment"),
        ({"water": 'treatment = "magic"'}, "waypoints[0].treatment", "treatment"),
        ({"water": 'dry = ["July"]'}, "waypoints[0].dry[0]", "not a period"),
        ({"water": 'dry = ["1 July to 31 September"]'}, "waypoints[0].dry[0]", "September has no day 31"),
    ],
)
def test_what_does_not_fit_is_told_at_its_key(changes: dict[str, str], key: str, words: str) -> None:
    found = problems(**changes)
    assert key in found, found
    told = found[key]
    assert words in f"{told.what} {told.read} {told.allowed} {told.mend}"


def test_a_near_miss_is_named() -> None:
    assert 'did you mean "filter"' in str(problems(load='treatment = "fliter"')["load.treatment"])
    assert "Camp" in str(problems(night='camp = "Cmap"')["night.camp"].mend)


def test_everything_at_once() -> None:
    found = problems(items=ITEMS, party='size = 2\npack_mass = "8 kg"', night='camp = "Nowhere"')
    assert {"party.pack_mass", "night.camp"} <= set(found)
    also = problems(load='treatment = "magic"', water='dry = ["soon"]')
    assert {"load.treatment", "waypoints[0].dry[0]"} <= set(also)
