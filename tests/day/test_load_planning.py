"""One push and a night out as they are shown: members, stops, legs, and how the two compare."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.day.load_planning import plan_load, plan_night
from handline.day.load_setting import carry_settled
from handline.day.plan_load import LoadPlan
from handline.day.setting import Setting, set_up
from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.drinking import MOST_L_DAY, overdrinking
from tests.day.load_trips import ITEMS, LISTED, load_trip, months


def push(**changes: str) -> LoadPlan:
    return plan_load(set_up(load_trip(**changes)))


def both(**changes: str) -> tuple[Setting, LoadPlan, LoadPlan]:
    setting = set_up(load_trip(items=ITEMS, **changes))
    night, says = plan_night(setting)
    assert night is not None, says
    return setting, plan_load(setting), night


def test_members_who_are_alike_stand_together() -> None:
    (alike,) = push().members
    assert (alike.names, alike.count, alike.body_mass_kg) == ("each of the 3", 3, 60.0)
    ada, bo = push(party=LISTED).members
    assert (ada.names, bo.names, ada.count, bo.body_mass_kg) == ("Ada", "Bo", 1, 58.0)
    apart = push(items=ITEMS).members
    assert sorted(member.names for member in apart) == ["1 of the 3", "2 of the 3"]
    assert sum(member.count for member in apart) == 3
    assert push(party="size = 1").members[0].names == "each"


def test_a_pack_adds_up() -> None:
    for load in (push(), push(items=ITEMS), push(items=ITEMS, party=LISTED, load='bottles = "2 L"')):
        assert load.overdrinking == overdrinking("si")
        assert len(load.distance_m) == 2 * len(load.passings) == 22
        for member in load.members:
            assert member.start_kg == pytest.approx(member.gear_kg + member.food_kg + member.water_kg)
            assert member.most_kg == max(member.pack_kg)
            assert member.share == pytest.approx(member.most_kg / member.body_mass_kg)
            assert len(member.pack_kg) == 22
            # Nobody comes to the start, and food and water are gone at the end but for the reserve.
            assert member.pack_kg[0] == member.pack_kg[1] == member.start_kg
            assert member.pack_kg[-1] >= member.gear_kg - 1e-9
            assert member.line_kg == member.pack_kg[7]
            assert set(member.flags) <= set(CARRIED_FLAGS)


def test_own_and_shared_gear_as_typed() -> None:
    """By hand: shell and pack are everybody's, of two kits one goes to each of two, the harness is worn."""
    setting = set_up(load_trip(items=ITEMS))
    by_gear = sorted((round(m.gear_kg, 6), m.count) for m in plan_load(setting).members)
    assert by_gear == [(2.0, 1), (2.8, 2)]
    assert {round(m.worn_kg, 6) for m in plan_load(setting).members} == {1.2}
    shown = {gear.name: gear for gear in plan_load(setting).gear}
    assert set(shown) == {"shell", "harness and lanyard", "pack", "kit"}
    assert shown["kit"].carriers == ("person 1", "person 2")
    assert shown["shell"].carriers == ("person 1", "person 2", "person 3")


def test_one_member_has_what_is_theirs_and_two_of_a_kind_are_counted() -> None:
    rope = '\n[[gear.items]]\nname = "rope"\nmass = "3 kg"\nwho = "Bo"\n'
    many = '\n[[gear.items]]\nname = "slings"\nmass = "0.1 kg"\ncount = 5\nshared = true\n'
    load = push(items=ITEMS + rope + many, party=LISTED)
    ada, bo = load.members
    assert bo.gear_kg - ada.gear_kg == pytest.approx(2.9, abs=0.2)
    slings = next(gear for gear in load.gear if gear.name == "slings")
    assert slings.carriers in (("Ada (3)", "Bo (2)"), ("Ada (2)", "Bo (3)"))
    assert next(gear for gear in load.gear if gear.name == "rope").carriers == ("Bo",)


def test_stops_tell_the_plan_of_who_needs_most() -> None:
    setting = set_up(load_trip(items=ITEMS, party=LISTED, load='treatment = "filter"'))
    load = plan_load(setting)
    _, found = carry_settled(setting.trip, setting.route, setting.weather, setting.itinerary, setting.packs)
    most = int(np.argmax(found.need_L.at(0.9).sum(axis=1)))
    assert [stop.leave_L for stop in load.water] == pytest.approx(found.water.leave_L[most].tolist())
    assert [stop.name for stop in load.water if stop.source] == ["Creek", "Creek"]
    up = load.water[1]
    assert up.leave_L == pytest.approx(up.arrive_L + up.refill_L)
    assert up.treat_L == pytest.approx(found.water.refill_L[:, 1].sum())
    assert up.treat_hands_s == pytest.approx(120.0 * up.treat_L)
    assert load.treatment == "a pressed or pumped filter"
    assert load.longest.words == "Creek by Top and back"
    assert load.longest.duration_s == max(stretch.duration_s for stretch in load.stretches)
    assert sum(stretch.duration_s for stretch in load.stretches) == pytest.approx(sum(leg.time_s for leg in load.legs))


def test_a_source_may_be_dry_on_the_date() -> None:
    dry = push(water='dry = ["1 July to 30 September"]')
    wet = push(water='dry = ["1 August to 30 September"]')
    assert [stop.dry_says for stop in dry.water if stop.name == "Creek"] == [
        "it may be dry from 1 July to 30 September"
    ] * 2
    assert not any(stop.source for stop in dry.water)
    assert [stop.name for stop in wet.water if stop.source] == ["Creek", "Creek"]
    assert dry.water[0].leave_L > wet.water[0].leave_L
    assert len(dry.stretches) == 1


def test_a_night_out_meets_the_source_a_day_earlier_on_the_way_up() -> None:
    """It sets out the day before the date: what falls dry on the date itself still runs then."""
    _, one, night = both(water='dry = ["17 July to 30 September"]')
    assert [stop.source for stop in one.water if stop.name == "Creek"] == [False, False]
    assert [stop.source for stop in night.water if stop.name == "Creek"] == [True, False]


def test_a_source_may_have_its_own_treatment() -> None:
    load = push(water='treatment = "boiling"', load='treatment = "filter"')
    assert load.treatment == "a rolling boil of three minutes"
    assert load.water[1].treat_hands_s == pytest.approx(360.0 * load.water[1].treat_L)


def test_legs_tell_rate_heat_and_time() -> None:
    load = push(weather=months("5 C", "15 C"))
    assert [(leg.start, leg.end) for leg in load.legs][:2] == [("Gate", "Creek"), ("Creek", "Camp")]
    for leg in load.legs:
        assert 150.0 < leg.rate_W[0] <= leg.rate_W[1] <= leg.rate_W[2] < 1500.0
        assert leg.energy_J[1] < leg.rate_W[2] * leg.time_s
        assert math.isfinite(leg.wbgt_C)
    assert sum(load.day_s) == pytest.approx(sum(leg.time_s for leg in load.legs))
    # By hand, climbing: 5, 5.8 and 7.5 kcal an hour for each kg of body and pack.
    on_line = load.legs[3]
    assert on_line.rate_W[2] / on_line.rate_W[0] == pytest.approx(7.5 / 5.0)
    loaded_kg = 85.0 + 0.5 * sum(load.members[0].pack_kg[7:9])
    assert on_line.rate_W[1] == pytest.approx(5.8 * 4184.0 / 3600.0 * loaded_kg, rel=0.01)


def test_a_night_out_against_one_push() -> None:
    """Heavier to the camp, two shorter days, more food; from the camp on nothing of the night is carried."""
    setting, one, night = both(party=LISTED)
    assert (night.key, night.title) == ("night", "A night out at Camp")
    assert len(night.day_s) == 2
    assert max(night.day_s) < one.day_s[0] < sum(night.day_s)
    assert night.walking_s > one.walking_s
    assert {gear.name for gear in night.gear} - {gear.name for gear in one.gear} == {"tent", "bag"}
    for tonight, today in zip(night.members, one.members, strict=True):
        assert tonight.start_kg > today.start_kg + 0.9
        assert tonight.food_kg > 1.3 * today.food_kg
        assert tonight.energy_J[1] > 1.3 * today.energy_J[1]
        # Leaving the camp on the way up, coming to it on the way down, and going on from there.
        at_camp_kg = tonight.gear_kg - today.gear_kg
        assert at_camp_kg > 0.85
        assert tonight.pack_kg[17] == pytest.approx(tonight.pack_kg[16] + at_camp_kg)
        assert tonight.pack_kg[4] - tonight.pack_kg[5] > at_camp_kg
        assert max(tonight.drunk_L, today.drunk_L) <= 2.0 * MOST_L_DAY
    # The camp's water comes out of the bottles: no water is typed there.
    assert night.water[2].arrive_L - night.water[2].leave_L == pytest.approx(3.0)
    assert setting.packs.load_kg is not None


def test_the_morning_is_that_of_the_date_at_its_typed_time() -> None:
    """Set out at noon of the day before, up at 04:00: nobody needs water for the hours of the night between."""
    setting, one, night = both(night='camp = "Camp"\nset_out = "12:00"\nstart = "04:00"')
    assert setting.trip.depart_clock_s == 6 * 3600.0  # the trip itself is one push
    assert one.day_s[0] == pytest.approx(sum(leg.time_s for leg in one.legs))
    assert sum(leg.time_s for leg in night.legs) == pytest.approx(sum(night.day_s))
    hours = [hour.clock_s / 3600.0 for hour in night.members[0].need_by_hour]
    assert (hours[0], max(h for h in hours if h < 0.0)) == (-12.0, np.floor((night.day_s[0] - 12 * 3600.0) / 3600.0))
    assert min(h for h in hours if h >= 0.0) == 4.0


def test_a_trip_that_sleeps_out_is_planned_so() -> None:
    """The same as the night that is set beside one push."""
    _, _, beside = both()
    out = plan_load(set_up(load_trip(items=ITEMS, night="out = true")))
    assert (out.key, out.title) == (beside.key, beside.title)
    assert out.day_s == pytest.approx(beside.day_s, rel=0.01)
    assert [member.start_kg for member in out.members] == pytest.approx(
        [member.start_kg for member in beside.members], abs=0.05
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"camp": "place"}, "No waypoint is a camp"),
        ({"night": 'camp = "Top"'}, "Top is not on the way to the line"),
        ({"night": 'camp = "Gate"'}, "Gate is not on the way to the line"),
        ({"items": ITEMS.replace("night = true\n", "")}, "not invented"),
    ],
)
def test_no_night_out_says_why(changes: dict[str, str], words: str) -> None:
    night, says = plan_night(set_up(load_trip(**({"items": ITEMS} | changes))))
    assert night is None
    assert words in says


def test_notes_say_what_stands_for_what_is_unknown() -> None:
    said = " ".join(push().notes)
    assert "The weather is not known" in said
    assert "Who is not listed eats and drinks as the heaviest, 85 kg, and carries as the lightest, 60 kg" in said
    listed = " ".join(push(items=ITEMS, party=LISTED, weather=months("5 C", "12 C")).notes)
    assert "not known" not in listed
    assert "not listed" not in listed
    assert "without a weight in the list, so not in the packs: gloves, light" in listed


def test_every_member_has_every_leg_and_the_hardest_is_among_them() -> None:
    """Energies of the legs add up to the day's for each; the plan's own row of a leg is the largest rate of it."""
    plan = plan_load(set_up(load_trip(items=ITEMS, party=LISTED)))
    for member in plan.members:
        assert sum(leg.energy_J[1] for leg in member.legs) == pytest.approx(member.energy_J[1])
        assert [leg.start for leg in member.legs] == [leg.start for leg in plan.legs]
    for j, hardest in enumerate(plan.legs):
        assert hardest.rate_W[1] == max(member.legs[j].rate_W[1] for member in plan.members)


def test_hours_of_the_clock_add_up_to_the_day_and_the_warm_ones_ask_for_more() -> None:
    plan = plan_load(set_up(load_trip(items=ITEMS, party=LISTED, weather=months("24 C", "38 C"))))
    for member in plan.members:
        for end in range(3):
            total_L = sum(hour.need_L[end] for hour in member.need_by_hour)
            assert total_L == pytest.approx(member.need_L[end])
        clocks = [hour.clock_s for hour in member.need_by_hour]
        assert clocks == sorted(clocks)
        # Whole hours of walking: in the cool of the morning less than after noon.
        whole = member.need_by_hour[1:-1]
        assert whole[0].need_L[1] < max(hour.need_L[1] for hour in whole)
