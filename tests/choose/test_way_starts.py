"""The chance over the start, against the plan's own simulation of a trip that types that start."""

from __future__ import annotations

import numpy as np
import pytest

from handline.choose.way_starts import WayStarts, way_starts
from handline.day.planning import simulate
from handline.day.setting import set_up
from handline.day.start_sweep import REACH_S, STEP_S, sweep_starts
from tests.choose.option_trips import camp_trip

LIMITS = 'home_by = "14:00"'


def _all(trip):
    return float(simulate(set_up(trip)).kept["all"].mean())


def _starts(trip):
    simulated = simulate(set_up(trip))
    return way_starts(set_up(trip), simulated.draws)


def test_of_a_push_they_are_the_plans_own():
    trip = camp_trip(storm=True, dark=True, limits=LIMITS)
    setting, simulated = set_up(trip), simulate(set_up(trip))
    found = way_starts(setting, simulated.draws)
    sweep = sweep_starts(setting.limits, setting.itinerary, simulated.draws, setting.storm, trip.depart_clock_s)
    assert found.clock_s.tolist() == sweep.start_clock_s.tolist()
    assert found.chance.tolist() == sweep.chance["all"].tolist()
    assert found.best_clock_s == sweep.best_clock_s
    window = found.window(trip.limits.chance)
    assert window is not None
    assert window == (sweep.window_clock_s, sweep.goes_on)


@pytest.mark.parametrize("late_s", [0.0, 1800.0, -5400.0])
def test_after_a_night_out_a_start_is_that_of_a_file_that_types_it(late_s):
    # The party comes to the camp about dusk, so that being there before dark is in the chance, and some come late.
    trip = camp_trip(out=True, night='set_out = "19:15"', storm=True, limits=LIMITS)
    assert 0.9 < float(simulate(set_up(trip)).kept["camp_before_dark"].mean()) < 0.98
    start_s = trip.night.start_clock_s + late_s
    typed = trip.model_copy(update={"night": trip.night.model_copy(update={"start_clock_s": start_s})})
    assert _starts(trip).at(start_s) == pytest.approx(_all(typed), abs=1e-12)


def test_who_comes_to_the_camp_after_the_start_leaves_when_they_come():
    trip = camp_trip(out=True, night='set_out = "23:50"\nstart = "05:00"', limits=LIMITS + "\ncamp_before_dark = false")
    starts, simulated = _starts(trip), simulate(set_up(trip))
    early_s = trip.night.start_clock_s - 6.0 * 3600.0
    camp = set_up(trip).itinerary.night.passing
    assert (simulated.days.arrive_clock_s[camp] > early_s).all(), "nobody is there six hours before"
    assert starts.at(early_s) == starts.at(early_s - 3600.0)


def _made(chance):
    clock_s = STEP_S * np.arange(-round(REACH_S / STEP_S), round(REACH_S / STEP_S) + 1)
    return WayStarts(clock_s, np.interp(clock_s, [-36000.0, 0.0, 36000.0], chance))


def test_the_start_a_way_is_set_beside_others_with():
    falls = _made([1.0, 0.8, 0.6])
    assert falls.planned_clock_s == 0.0
    # The planned one where it does; else the latest that does: 0.9 lies 5 h before, 0.95 lies 7 h 30 min before.
    assert falls.start_for(0.8) == 0.0
    assert falls.start_for(0.9) == -5 * 3600.0
    assert falls.start_for(0.95) == -7.5 * 3600.0
    # None does: the best, the latest of equals.
    assert _made([0.7, 0.7, 0.6]).start_for(0.8) == 0.0
    assert _made([0.5, 0.6, 0.7]).start_for(0.8) == REACH_S
    # It dries late: only later starts do.
    assert _made([0.5, 0.7, 0.9]).start_for(0.8) == REACH_S
    assert _made([0.5, 0.7, 0.9]).window(0.95) is None
    assert _made([0.9, 0.9, 0.9]).window(0.9) == ((-REACH_S, REACH_S), (True, True))
