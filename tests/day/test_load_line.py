"""The body that falls on the line: the same for the plan and for the line alone, and never lighter than the plan's."""

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
    day, line = set_up(trip), set_up_line(trip)
    assert day.body_mass_kg == line.body_mass_kg == line_report(trip).body_mass_kg
    assert day.trip.party.packs_kg == line.trip.party.packs_kg
    bodies_kg = {member.name: member.body_mass_kg for member in trip.party.members}
    for member in plan_load(day).members:
        body_kg = bodies_kg.get(member.names) or max(trip.party.masses_kg)
        assert body_kg + member.worn_kg + member.line_kg <= day.body_mass_kg + 1e-9


def test_by_hand_with_small_bottles() -> None:
    """Everything that is carried counts: bottles full, all the food, gear and what is worn."""
    trip = load_trip(items=ITEMS, party=LISTED, load='bottles = "2 L"\neaten = 0')
    packs_kg = set_up_line(trip).trip.party.packs_kg
    assert packs_kg == pytest.approx((0.5 + 1.2 + 1.5 + 0.8 + 2.0,) * 2)
    assert set_up_line(trip).body_mass_kg == pytest.approx(82.0 + 6.0)


def test_typed_packs_are_left_alone() -> None:
    trip = load_trip()
    assert set_up_line(trip).trip is trip
    assert set_up_line(trip).body_mass_kg == trip.party.loaded_kg == 93.0
