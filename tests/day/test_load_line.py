"""The body that falls on the line: the same for the plan and for the line alone, and no lighter than at the foot."""

from __future__ import annotations

import pytest

from handline.day.line_reporting import line_report
from handline.day.line_setting import set_up_line
from handline.day.load_planning import plan_load
from handline.day.setting import set_up
from tests.day.load_trips import ITEMS, LISTED, load_trip, months

TRIPS = [
    {},
    {"party": LISTED},
    {"load": 'bottles = "2 L"'},
    {"load": 'sure = "99 %"', "weather": months("24 C", "38 C")},
    {"weather": months("-5 C", "5 C")},
    {"water": 'dry = ["1 July to 30 September"]'},
    {"creek": "place", "party": 'size = 2\nrest_per_hour = "20 min"\ndark_factor = 2'},
]


@pytest.mark.parametrize("changes", TRIPS, ids=lambda changes: " ".join(changes) or "plain")
def test_both_count_the_same_body_and_no_lighter_than_the_pack_at_the_foot(changes: dict[str, str]) -> None:
    trip = load_trip(items=ITEMS, **changes)
    day = set_up(trip)
    assert day.body_mass_kg == pytest.approx(line_report(trip).body_mass_kg, abs=1e-12)
    bodies_kg = {member.name: member.body_mass_kg for member in trip.party.members}
    for member in plan_load(day).members:
        body_kg = bodies_kg.get(member.names) or max(trip.party.masses_kg)
        # The mean of the leg up to the foot, which ends at the pack there: between it and that of setting out.
        assert body_kg + member.worn_kg + member.line_kg <= day.body_mass_kg + 1e-9


def test_by_hand_without_food_and_water_to_speak_of() -> None:
    """Nothing is eaten and the bottles are tiny: gear, what is worn, and some of the bottle of the leg to the foot."""
    trip = load_trip(items=ITEMS, party=LISTED, load='bottles = "0.2 L"\nreserve = "0 L"\neaten = 0')
    packs_kg = set_up(trip).trip.party.packs_kg
    assert packs_kg == pytest.approx((0.5 + 1.2 + 1.5 + 0.8,) * 2, abs=0.2)


def test_typed_packs_are_left_alone() -> None:
    trip = load_trip()
    assert set_up_line(trip).trip is trip
    assert set_up(trip).trip is trip
    assert set_up_line(trip).body_mass_kg == trip.party.loaded_kg == 93.0
