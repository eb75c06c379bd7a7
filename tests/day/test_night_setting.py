"""A night out: the day before the date, the camp, the limits that count from it, and what cannot be slept at."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day.limits import exposed_from_s, kept_share
from handline.day.on_date import trip_on
from handline.day.planning import make_plan, simulate
from handline.day.setting import set_up, set_up_again
from handline.day.simulation import draw_days, walk
from handline.errors import TripError
from handline.weather.storms import storm_hazard
from tests.day.trips import STEADY, night_trip, typed_trip

HOUR_S = 3600.0
DAY_S = 86400.0


def test_the_party_sets_out_the_day_before_and_leaves_the_camp_in_the_morning() -> None:
    setting = set_up(night_trip())
    assert setting.camp is not None
    assert setting.route.points[setting.camp.stays].name == "Camp"
    days = walk(setting.itinerary, draw_days(setting.itinerary, 50, 1), np.array([setting.trip.depart_clock_s]))
    assert days.arrive_clock_s[0][0] == 14 * HOUR_S - DAY_S
    arrive_s, leave_s = days.arrive_clock_s[setting.camp.stays], days.leave_clock_s[setting.camp.stays]
    assert (arrive_s < 0.0).all()
    assert (leave_s == 4.5 * HOUR_S).all()


def test_who_comes_to_the_camp_after_its_hour_goes_on_at_once() -> None:
    setting = set_up(night_trip())
    assert setting.itinerary.night is not None
    night = setting.itinerary.night
    late_s = np.array([night.start_clock_s + 600.0])
    assert setting.itinerary.ready_clock_s(night.passing, late_s).tolist() == late_s.tolist()


def test_tiring_begins_anew_after_the_night() -> None:
    """Two days of work w each: tired as two days, not as one of 2 w. By hand: extra = share / 2 h (w - fresh)^2."""
    setting = set_up(night_trip(party='tiring_after = "0 h"\ntiring_per_hour = 0.1'))
    itinerary = setting.itinerary
    work_s = np.full((itinerary.legs, 1), HOUR_S)
    first, second = itinerary.starts[1], itinerary.legs - itinerary.starts[1]
    by_hand_s = sum(n * HOUR_S + 0.1 / HOUR_S / 2.0 * (n * HOUR_S) ** 2 for n in (first, second))
    assert float(itinerary.tired_s(work_s).sum()) == pytest.approx(by_hand_s)


def test_storms_count_from_leaving_the_camp() -> None:
    setting = set_up(night_trip())
    itinerary = setting.itinerary
    draws = draw_days(itinerary, 400, 1)
    days = walk(itinerary, draws, np.array([setting.trip.depart_clock_s]))
    storm = storm_hazard(0.6)
    kept = kept_share(setting.limits, itinerary, days, storm)["off_line_before_storm"]
    off_line_s = days.arrive_clock_s[itinerary.off_line]
    assert exposed_from_s(itinerary, days).tolist() == [4.5 * HOUR_S] * 400
    assert kept == pytest.approx(storm.none_between_share(4.5 * HOUR_S, off_line_s))


def test_the_camp_is_to_be_reached_before_dark_the_day_before() -> None:
    early, late = (set_up(night_trip(night=f'set_out = "{at}"')) for at in ("12:00", "22:30"))
    assert early.limits.camp_clock_s is not None
    assert early.limits.camp_clock_s < 0.0
    shares = [simulate(setting).kept["camp_before_dark"].mean() for setting in (early, late)]
    assert shares == [1.0, 0.0]
    unset = set_up(night_trip(limits="camp_before_dark = false"))
    assert unset.limits.camp_clock_s is None
    assert "camp_before_dark" not in simulate(unset).kept


def test_clock_limits_are_those_of_the_date() -> None:
    """A night out that sets out at 14:00 is home by 20:00 of the next day, not of the same."""
    assert set_up(night_trip(limits='home_by = "20:00"')).limits.home_by_clock_s == 20 * HOUR_S


def test_the_decision_tells_when_to_leave_the_camp() -> None:
    plan = make_plan(night_trip(limits="chance = 0.8", weather='storm_chance = "60 %"'))
    decision = plan.decision
    assert (decision.night_at, decision.set_out_clock_s, decision.start_clock_s) == ("Camp", -10 * HOUR_S, 4.5 * HOUR_S)
    (camp,) = [row for row in plan.timetable if row.sleeps_until_clock_s is not None]
    assert (camp.name, camp.way, camp.sleeps_until_clock_s, camp.stop_s) == ("Camp", "up", 4.5 * HOUR_S, 0.0)
    assert camp.leave_by_clock_s == decision.leave_by_clock_s
    assert decision.leave_by_clock_s is not None
    assert decision.leave_by_clock_s > 4.5 * HOUR_S


def test_a_night_makes_the_day_of_the_line_shorter() -> None:
    push, night = set_up(typed_trip(party=STEADY)), set_up(night_trip(party=STEADY, night='start = "06:00"'))
    ends = []
    for setting in (push, night):
        draws = draw_days(setting.itinerary, 10, 1)
        ends.append(walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s])).arrive_clock_s[-1][0])
    assert ends[1] < ends[0] - 0.75 * HOUR_S


def test_a_night_without_a_camp_is_refused_with_what_is_missing() -> None:
    with pytest.raises(TripError, match=r"no camp.*kind = \"camp\"") as refused:
        set_up(typed_trip(more="\n[night]\nout = true\n"))
    assert refused.value.problems[0].key == "night.out"


def test_a_camp_past_the_line_is_refused() -> None:
    with pytest.raises(TripError, match="Top is not on the way to the line"):
        set_up(typed_trip(more='\n[night]\nout = true\ncamp = "Top"\n'))


def test_another_date_of_the_same_file_is_as_if_it_were_typed() -> None:
    trip = typed_trip()
    there = set_up_again(set_up(trip), trip_on(trip, trip.about.date.replace(day=3), night_out=False))
    typed = set_up(trip_on(trip, trip.about.date.replace(day=3), night_out=False))
    assert there.light == typed.light
    assert np.array_equal(there.itinerary.walking_s, typed.itinerary.walking_s)
    assert np.array_equal(there.itinerary.dark_spans_clock_s, typed.itinerary.dark_spans_clock_s)
    assert there.limits == typed.limits
