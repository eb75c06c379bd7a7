"""What the plan says of the pace: its parts add up, and the slowest is named."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day.plan import Plan
from handline.day.planning import make_plan
from handline.day.setting import set_up
from handline.sources import sources
from tests.day.trips import STEADY, typed_trip

TWO = """
[[party.members]]
name = "Tove"
pace = { time_factor = 1.4, spread = "5 %" }

[[party.members]]
name = "Bram"
pace = { time_factor = 1.0, spread = "5 %" }

[[party.members]]
name = "Neve"
pace = { time_factor = 1.0, spread = "5 %" }
"""


def added_s(plan: Plan) -> dict[str, float]:
    return {factor.key: factor.added_s for factor in plan.pace.factors}


def test_parts_of_a_steady_day_add_up_to_it() -> None:
    """One model, no spread, no dark on the way: base, factors, rests and stops, the line and its wait are the day."""
    party = STEADY.split("\n")[0] + "\nleg_spread = 0.0\ntiring_after = '1 h'"
    trip = typed_trip(party=party, route='pace_model = "tobler_1993"', days=500)
    plan, setting = make_plan(trip), set_up(trip)
    walked_s = plan.pace.base_s + sum(added_s(plan).values())
    on_line_s = sum(leg.passage_by_rock_s[0] for leg in setting.itinerary.line_legs if leg)
    home_s = plan.timetable[-1].arrive_clock_s[3] - 6 * 3600.0
    # The line's own spread and the wait are drawn: the rest must be what they add, and no more.
    rest_s = home_s - walked_s - on_line_s
    assert 0.0 < rest_s < 0.6 * on_line_s + 2 * 3 * 300.0
    assert added_s(plan)["tiring"] > 0.0


def test_factors_say_where_they_come_from_and_where_they_are_changed() -> None:
    plan = make_plan(typed_trip(days=200))
    words = {source.words for source in sources().values()} | {"as typed"}
    assert {factor.key for factor in plan.pace.factors} >= {"load", "altitude", "snow", "ground", "group", "tiring"}
    for factor in plan.pace.factors:
        assert factor.source in words
        assert factor.trip_key
        assert factor.says
        assert 0.0 < factor.lowest <= factor.highest


def test_a_factor_switched_off_says_so_and_adds_nothing() -> None:
    plan = make_plan(typed_trip(days=200, party="factors = { load = false }"))
    load = next(factor for factor in plan.pace.factors if factor.key == "load")
    assert (load.on, load.added_s, load.lowest, load.highest) == (False, 0.0, 1.0, 1.0)


def test_the_slowest_is_named_with_the_leg() -> None:
    plan = make_plan(typed_trip(days=1000, more=TWO))
    walked = [leg for leg in plan.legs if not leg.is_line]
    assert {leg.slowest for leg in walked} == {"Tove"}
    assert all(leg.slowest_share > 0.98 for leg in walked)
    assert {leg.slowest for leg in plan.legs if leg.is_line} == {""}
    tove, others = plan.pace.members
    assert (tove.names, others.names, others.count) == ("Tove", "Bram or Neve", 2)
    # At a lower speed more of the effort goes into standing, so the same pack and thin air slow a little more.
    assert 1.4 * others.walking_s < tove.walking_s < 1.55 * others.walking_s
    assert tove.slowest_share + others.slowest_share == pytest.approx(1.0)


def test_people_who_are_not_listed_have_no_name() -> None:
    plan = make_plan(typed_trip(days=200))
    assert [member.names for member in plan.pace.members] == ["anyone"]
    assert plan.legs[0].slowest == "anyone"


def test_leg_factors_multiply_to_what_the_leg_takes() -> None:
    trip = typed_trip(days=200, route='pace_model = "tobler_1993"')
    plan, setting = make_plan(trip), set_up(trip)
    for j, leg in enumerate(plan.legs):
        if leg.is_line:
            assert leg.factors == ()
            continue
        product = np.prod([factor for key, factor in leg.factors if key != "tiring"])
        assert setting.itinerary.walking_s[0, 0, j] == pytest.approx(setting.pace.mix.time_s[0, j] * product)


def test_a_pace_of_the_party_stands_for_all_who_are_not_named() -> None:
    plan = make_plan(typed_trip(days=200, party="pace = { time_factor = 1.2 }"))
    assert [(member.names, member.count, member.slowest_share) for member in plan.pace.members] == [
        ("the party", 3, 1.0)
    ]
    assert plan.pace.base_says == "at the recorded pace"
    assert make_plan(typed_trip(days=200)).pace.base_says == "on a good path without a pack"
