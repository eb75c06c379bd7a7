"""An option is what the plan, ``handline line`` and ``handline load`` say of a trip that types it."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from handline.choose.option_days import tied_with
from handline.choose.side_by_side import SideBySide
from handline.choose.way_settings import WayWanted, way_of, way_settings
from handline.day.chance_planning import NEAR_LATEST_S
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.day.planning import make_plan, simulate
from handline.day.setting import set_up
from handline.line.audit import CASE_STOPS_HOLD
from handline.line.friction import ROCKS
from tests.choose.option_trips import a_permit, camp_trip

MONTH = """
[[weather.months]]
month = 7
low = "3 C"
high = "17 C"
rain_days = 12
rain = "90 mm"
storm_days = 6
humidity = 0.7
wind = "6 m/s"
cloud = 0.6
"""
LIMITS = 'home_by = "14:30"'
TRIPS = {
    "push": lambda: camp_trip(storm=True, limits=LIMITS),
    "night": lambda: camp_trip(out=True, storm=True, dark=True, tether="two slings", more=a_permit("night_out = true")),
    "months": lambda: camp_trip(start="07:00", storm=True, weather='months_elevation = "1200 m"', more=MONTH),
    "lowered": lambda: camp_trip(date="2027-05-17", storm=True, tether="friction hitch"),
}


def _own(trip):
    """The way and the tether of a trip file, with its option."""
    setting = set_up(trip)
    (way,) = way_settings(trip, setting, (WayWanted(way_of(trip), trip.about.date),))
    return way, setting.chosen, SideBySide((way,))


def _stops(findings):
    """What is not to be gone like this, but for a chance that is missed: every option has that by itself."""
    return {f.sentence for f in findings if f.level == "stop" and f.key != "limits_missed"}


@pytest.mark.parametrize("which", TRIPS)
def test_as_planned_it_is_the_plan(which):
    trip = TRIPS[which]()
    way, chosen, side = _own(trip)
    option, plan = side.option(way, chosen, trip.morning_clock_s, as_planned=True), make_plan(trip)
    chance = next(chance for chance in plan.chances if chance.key == "all")
    assert (option.chance, option.error) == (chance.share, chance.error)
    assert (option.state, option.rock, option.date) == (plan.line.state, plan.line.rock, plan.date)
    assert option.home_clock_s == plan.timetable[-1].arrive_clock_s[3]
    row = next(row for row in plan.line.tethers if row.chosen)
    assert (option.sentence, option.changeovers) == (row.sentence, row.changeovers)
    main = next(one for one in row.outcomes if one.rock == plan.line.rock)
    assert (option.slide_m, option.force_N) == (main.slide_m, main.force_N)
    assert option.untied_s == pytest.approx(row.untied_s)
    assert _stops(option.stops) == _stops(plan.findings)
    told = {(finding.key, finding.sentence) for finding in plan.findings if finding.level == "heed"}
    assert {(finding.key, finding.sentence) for finding in option.heeds} <= told
    assert option.pack_kg == tuple(
        max(getattr(member, key) for member in plan.load.members) for key in ("start_kg", "line_kg", "most_kg")
    )
    index = list(ROCKS).index(plan.line.rock)
    assert option.most_pull_N == max(bay.pull_N[index] for bay in plan.line.bays)
    assert option.not_dry_share == pytest.approx(max(1.0 - met.share[0] for met in plan.weather.met))
    assert option.ice_share == max(met.share[3] for met in plan.weather.met)
    if which == "push":
        # The plan tells its last start to the minute; here it is one of the sweep's own.
        assert option.window_clock_s is not None
        assert plan.turned.starts.window_clock_s is not None
        assert option.window_clock_s[0] == plan.turned.starts.window_clock_s[0]
        assert abs(option.window_clock_s[1] - plan.turned.starts.window_clock_s[1]) <= NEAR_LATEST_S
    if plan.weather.there:
        line = [there.felt.value_C for there in plan.weather.there if there.name in ("Foot", "Head")]
        assert option.felt_C == min(line)
    else:
        assert math.isnan(option.felt_C)


def test_every_audit_is_the_plans():
    trip = TRIPS["push"]()
    way, _, side = _own(trip)
    rows = {row.name: row for row in make_plan(trip).line.tethers}
    for tether in (tether for tether in way.setting.tethers if tether.name in rows):
        option, row = side.option(way, tether, trip.morning_clock_s), rows[tether.name]
        main = next(one for one in row.outcomes if one.rock == option.rock)
        assert option.slide_m == main.slide_m
        assert np.array_equal(option.force_N, main.force_N, equal_nan=True)
        assert (option.sentence, option.changeovers) == (row.sentence, row.changeovers)
    assert len(rows) >= 6


def test_another_tether_is_that_of_a_file_that_chooses_it():
    trip, other = TRIPS["push"](), camp_trip(storm=True, limits=LIMITS, tether="friction hitch")
    way, _, side = _own(trip)
    hitch = next(tether for tether in way.setting.tethers if tether.name == "friction hitch")
    option = side.option(way, hitch, trip.morning_clock_s)
    kept = simulate(set_up(other)).kept["all"]
    assert option.chance == float(kept.mean())
    assert option.chance < side.option(way, way.setting.chosen, trip.morning_clock_s).chance, "25 s at each stop"
    assert option.untied_s == pytest.approx(25.0 * option.changeovers)
    assert {"tether_static", "hitch_unproven"} <= {finding.key for finding in option.heeds}


def test_with_nothing_attached_all_the_way_up_is_untied():
    way, _, side = _own(TRIPS["push"]())
    nothing = next(tether for tether in way.setting.tethers if tether.name == "none")
    option = side.option(way, nothing, way.setting.trip.morning_clock_s)
    line = way.setting.line.length_m
    assert option.untied_s == pytest.approx(line / way.setting.trip.line.climb_rate_m_s)
    assert option.changeovers == 0
    assert option.called_out == ""


def test_not_stopped_and_called_out_are_those_of_handline_line():
    trip = TRIPS["push"]()
    way, _, side = _own(trip)
    shown = {tether.name: tether for tether in line_report(trip, whole=False).line.tethers}
    for tether in way.setting.tethers:
        option, told = side.option(way, tether, trip.morning_clock_s), shown[tether.name]
        assert option.not_stopped_share == pytest.approx(1.0 - told.today[0].stopped_share, abs=1e-12)
        assert option.looks_like_protection == (told.call_out is not None)
        assert option.called_out == ("" if told.call_out is None else told.call_out.sentence)
    assert shown["two slings"].today[0].case == CASE_STOPS_HOLD


def test_the_other_state_is_that_of_what_if():
    trip = TRIPS["push"]()
    wanted = tuple(WayWanted("push", trip.about.date, forced) for forced in (False, True))
    natural, other = way_settings(trip, set_up(trip), wanted)
    assert (natural.state, natural.on_date, other.state, other.on_date) == ("raised", True, "lowered", False)
    option = SideBySide((natural, other)).option(other, other.setting.chosen, trip.morning_clock_s)
    shown = line_report(trip, WhatIf(state="lowered"), whole=False)
    told = next(tether for tether in shown.line.tethers if tether.chosen)
    assert option.sentence == told.sentence
    assert option.not_stopped_share == pytest.approx(1.0 - told.today[0].stopped_share, abs=1e-12)
    assert "as asked, whatever the file says" in next(f.detail for f in option.heeds if f.key == "line_lowered")


def test_a_start_moves_the_days_and_nothing_of_the_line():
    trip = camp_trip(storm=True, limits=LIMITS)
    later = camp_trip(storm=True, limits=LIMITS, start="05:40")
    way, chosen, side = _own(trip)
    option = side.option(way, chosen, later.morning_clock_s)
    assert option.chance == float(simulate(set_up(later)).kept["all"].mean())
    assert option.slide_m == side.option(way, chosen, trip.morning_clock_s).slide_m
    days = side.day(way, chosen, later.morning_clock_s)
    assert option.day_s == pytest.approx(option.home_clock_s - later.morning_clock_s)
    legs = [j for j, leg in enumerate(days.setting.itinerary.line_legs) if leg is not None]
    arrive, leave = days.days.arrive_clock_s, days.days.leave_clock_s
    on_line = sum(arrive[j + 1] - leave[j] for j in legs)
    assert option.on_line_s == pytest.approx(tuple(np.quantile(on_line, (0.5, 0.9))))
    stops = [days.setting.itinerary.stop_s[j] for j in legs]
    waits = sum(leave[j] - arrive[j] - stop for j, stop in zip(legs, stops, strict=True))
    assert option.wait_s == pytest.approx(tuple(np.quantile(waits, (0.5, 0.9))))


def test_each_start_is_judged_by_the_rock_of_its_own_start():
    drier = MONTH.replace("rain_days = 12", "rain_days = 3").replace("humidity = 0.7", "humidity = 0.5")

    def trip(start):
        return camp_trip(
            start=start, storm=True, weather='months_elevation = "1200 m"', line='facing = "S"', more=drier
        )

    way, chosen, side = _own(trip("07:00"))
    judged = []
    for start in ("05:00", "07:00", "09:00"):
        typed = trip(start)
        option = side.option(way, chosen, typed.morning_clock_s)
        setting = set_up(typed)
        assert option.rock == setting.rock.name
        index = list(ROCKS).index(option.rock)
        assert option.most_pull_N == pytest.approx(max(bay.pull_N[index] for bay in way.bays))
        judged.append(option.rock)
    assert len(set(judged)) == 3, "iced before dawn, damp after it, dry later"


def test_on_wet_rock_it_is_a_file_that_types_wet_rock():
    trip, wet = TRIPS["push"](), camp_trip(storm=True, limits=LIMITS, weather='rock = "wet"')
    way, chosen, side = _own(trip)
    option = side.option(way, chosen, trip.morning_clock_s, "wet")
    plan = make_plan(wet)
    assert option.rock == "wet"
    assert option.chance == next(chance.share for chance in plan.chances if chance.key == "all")
    assert _stops(option.stops) == _stops(plan.findings)


def test_a_permit_is_held_for_the_date_of_the_trip_alone():
    trip = camp_trip(more=a_permit('state = "raised"', chance="30 %", held=True))
    days = (trip.about.date, trip.about.date + dt.timedelta(days=1))
    held, other = way_settings(trip, set_up(trip), tuple(WayWanted("push", day) for day in days))
    assert (held.permit_chance, other.permit_chance) == (1.0, 0.3)
    assert [permit.held for permit in (*held.permits, *other.permits)] == [True, False]
    nothing = camp_trip(more=a_permit().replace('chance = "50 %"\n', ""))
    (untold,) = way_settings(nothing, set_up(nothing), (WayWanted("push", days[0]),))
    assert (untold.permit_chance, untold.permit_says) == (None, "Nothing is said of the chance of Line permit")


def test_others_and_packs_stay_where_the_tether_changes():
    way, _, _ = _own(TRIPS["push"]())
    hitch = next(tether for tether in way.setting.tethers if tether.name == "friction hitch")
    tied = tied_with(way.setting, hitch)
    before, after = (setting.itinerary for setting in (way.setting, tied))
    assert np.array_equal(before.walking_s, after.walking_s)
    for one, other in zip(before.line_legs, after.line_legs, strict=True):
        assert (one is None) == (other is None)
        if one is not None:
            assert other.wait is one.wait
            assert other.passage_by_rock_s > one.passage_by_rock_s
