"""Rules of turning back: how often they turn a day round, what is kept then, and rules that cannot be."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day.planning import make_plan, simulate
from handline.day.setting import set_up
from handline.day.turn_back import TurnRule, with_rules
from handline.errors import TripError
from tests.day.trips import night_trip, typed_trip

HOUR_S = 3600.0
RULE = 'turn_back = [ { at = "Foot", after = "08:50" } ]'


def _with(setting, *rules):
    simulated = simulate(setting)
    return simulated, with_rules(
        setting.limits, setting.itinerary, simulated.draws, simulated.days, setting.storm, rules
    )


def test_a_rule_turns_the_days_that_come_after_its_time() -> None:
    setting = set_up(typed_trip(limits=RULE))
    assert setting.turn_rules == (TurnRule(1, 8 * HOUR_S + 50 * 60.0),)
    simulated, found = _with(setting, *setting.turn_rules)
    late = (simulated.days.arrive_clock_s[1] > setting.turn_rules[0].after_clock_s).mean()
    assert found.turned == (pytest.approx(late),)
    assert 0.05 < late < 0.95
    assert found.top == pytest.approx(1.0 - late)


def test_who_turns_at_the_foot_keeps_the_limits_of_the_line_and_is_home_early() -> None:
    setting = set_up(typed_trip(weather='storm_chance = "90 %"', limits=RULE))
    simulated, all_turn = _with(setting, TurnRule(1, 0.0))
    assert all_turn.turned == (1.0,)
    assert all_turn.kept["off_line_before_storm"] == 1.0
    assert (all_turn.home_clock_s < simulated.days.arrive_clock_s[-1]).all()
    assert all_turn.kept_at_top == 0.0


def test_who_turns_above_the_line_still_comes_down_it_in_the_storm() -> None:
    setting = set_up(typed_trip(weather='storm_chance = "90 %"'))
    _, found = _with(setting, TurnRule(2, 0.0))
    assert found.kept["off_line_before_storm"] < 1.0


def test_no_rule_changes_nothing() -> None:
    setting = set_up(typed_trip())
    simulated, found = _with(setting)
    assert found.top == 1.0
    assert found.kept["all"] == pytest.approx(simulated.kept["all"].mean())
    assert np.array_equal(found.home_clock_s, simulated.days.arrive_clock_s[-1])


def test_a_rule_that_never_turns_changes_nothing() -> None:
    setting = set_up(typed_trip())
    simulated, found = _with(setting, TurnRule(1, 48 * HOUR_S))
    assert found.turned == (0.0,)
    assert found.kept["all"] == pytest.approx(simulated.kept["all"].mean())


def test_a_day_turns_once() -> None:
    setting = set_up(typed_trip())
    _, found = _with(setting, TurnRule(1, 0.0), TurnRule(2, 0.0))
    assert found.turned == (1.0, 0.0)


def test_the_latest_passing_time_is_no_later_than_the_rule() -> None:
    plan = make_plan(typed_trip(limits=f'{RULE}\nhome_before_dark = false\nhome_by = "23:30"'))
    foot = plan.timetable[1]
    assert foot.latest_clock_s == 8 * HOUR_S + 50 * 60.0
    assert plan.turned.turning_back is not None
    assert [rule.place for rule in plan.turned.turning_back.rules] == ["Foot"]


def test_a_place_that_is_not_on_the_way_up_is_refused_with_those_that_are() -> None:
    with pytest.raises(TripError, match="Foot, Head") as refused:
        set_up(typed_trip(limits='turn_back = [ { at = "Gate", after = "08:50" } ]'))
    assert refused.value.problems[0].key == "limits.turn_back[0].at"


def test_a_rule_on_the_way_to_the_camp_is_of_the_day_before() -> None:
    rules = 'turn_back = [ { at = "Camp", after = "17:30" }, { at = "Foot", after = "08:50" } ]'
    found = set_up(night_trip(limits=rules)).turn_rules
    assert [rule.after_clock_s for rule in found] == [17.5 * HOUR_S - 24 * HOUR_S, 8 * HOUR_S + 50 * 60.0]


def test_where_the_way_turns_of_itself_no_rule_is_needed() -> None:
    with pytest.raises(TripError, match="before the top"):
        set_up(typed_trip(limits='turn_back = [ { at = "Top", after = "08:50" } ]'))


def test_an_unknown_place_is_refused_when_the_file_is_read() -> None:
    with pytest.raises(TripError, match="Foot"):
        typed_trip(limits='turn_back = [ { at = "Fot", after = "08:50" } ]')


def test_no_rules_on_a_way_that_does_not_come_back_the_same() -> None:
    back = """
[[route.legs]]
from = "Top"
to = "Head"
distance = "500 m"
down = "50 m"

[[route.legs]]
from = "Head"
to = "Foot"
distance = "70 m"
down = "70 m"

[[route.legs]]
from = "Foot"
to = "Gate"
distance = "6 km"
down = "600 m"
"""
    with pytest.raises(TripError, match="way home is not the way up"):
        set_up(typed_trip(route="out_and_back = false", limits=RULE, more=back))
