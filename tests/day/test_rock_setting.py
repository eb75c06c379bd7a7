"""The rock of the day: as typed, by the hour, or assumed; and the state the line is judged by."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from handline.day.line_report import LineReport
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.day.planning import make_plan
from handline.day.rock_setting import Met, judged_by
from handline.day.setting import set_up
from handline.line.friction import ROCKS
from handline.weather.rock_state import STATES
from handline.weather.sunshine import clear_beam_W_m2, clear_level_W_m2
from tests.day.skies import fair, weather_trip, write_forecast
from tests.day.trips import typed_trip


def rainy(hour: int) -> tuple[float, float, float, float, float, float, float]:
    """Rain all day and night, far from freezing."""
    return 12.0, 97.0, 2.0, 100.0, 1.0, 100.0, 0.0


def frosty(hour: int) -> tuple[float, float, float, float, float, float, float]:
    """Rain till the evening before, then a clear, still night far below zero, and a cold day."""
    if hour < -4:
        return 5.0, 97.0, 2.0, 100.0, 2.0, 100.0, 0.0
    return -9.0, 60.0, 1.0, 100.0 if hour < -2 else 0.0, 0.0, 0.0, 0.0


def test_the_states_stand_in_one_order_in_both_rooms() -> None:
    assert tuple(ROCKS) == STATES


@pytest.mark.parametrize("rock", STATES)
def test_a_typed_rock_stays_all_day(rock: str) -> None:
    setting = set_up(typed_trip(rock=rock))
    assert setting.rock.name == rock
    assert setting.itinerary.rock.state.tolist() == [[STATES.index(rock)]]


def test_rain_makes_the_line_judged_on_wet_rock_and_slower(tmp_path: Path) -> None:
    write_forecast(tmp_path, rainy)
    wet = make_plan(weather_trip(tmp_path))
    write_forecast(tmp_path, fair)
    dry = make_plan(weather_trip(tmp_path))
    assert (wet.weather.rock, dry.weather.rock) == ("wet", "dry")
    assert wet.line.rock == "wet"
    assert wet.line.passage_up_s > dry.line.passage_up_s
    assert wet.timetable[-1].arrive_clock_s > dry.timetable[-1].arrive_clock_s
    found = {finding.key: finding for finding in wet.findings}
    assert "wet on 100 %" in found["slab_up"].sentence
    assert "slab_up" not in {finding.key for finding in dry.findings}


def test_a_wet_slab_freezes_in_a_clear_night_and_is_a_stop(tmp_path: Path) -> None:
    write_forecast(tmp_path, frosty)
    plan = make_plan(weather_trip(tmp_path, start="02:00"))
    assert plan.weather.rock == "iced"
    found = {finding.key: finding for finding in plan.findings}
    assert found["slab_up"].level == "stop"
    assert found["rock_iced"].level == "stop"


def test_unknown_hours_count_as_wet_and_are_shown_as_unknown(tmp_path: Path) -> None:
    write_forecast(tmp_path, first=0, last=6)
    setting = set_up(weather_trip(tmp_path))
    assert setting.itinerary.rock.state[:, -1].tolist() == [STATES.index("wet")] * setting.itinerary.rock.members
    plan = make_plan(weather_trip(tmp_path))
    late = next(hour for hour in plan.weather.hours if hour.clock_s == 12 * 3600.0)
    assert late.rock_share == (0.0, 0.0, 0.0, 0.0)
    assert "weather_unknown" in {finding.key for finding in plan.findings}


def test_nothing_said_is_dry_and_told(tmp_path: Path) -> None:
    plan = make_plan(weather_trip(tmp_path, 'storm_chance = "10 %"'))
    assert plan.weather.rock == "dry"
    assert "rock_guessed" in {finding.key for finding in plan.findings}
    assert plan.weather.rock_says == "Nothing says how the rock will be: dry is assumed."


def test_the_most_slippery_state_that_is_met_often_enough_counts() -> None:
    def met(*share: float) -> Met:
        return Met(1, np.zeros(1), share)

    assert judged_by((met(0.92, 0.08, 0.0, 0.0),)) == "dry"
    assert judged_by((met(0.80, 0.08, 0.12, 0.0),)) == "wet"
    # Damp or worse on one day in ten, though neither damp nor wet is by itself.
    assert judged_by((met(0.88, 0.06, 0.06, 0.0),)) == "damp"
    assert judged_by((met(0.88, 0.0, 0.06, 0.06),)) == "wet"
    assert judged_by((met(0.95, 0.05, 0.0, 0.0), met(0.6, 0.3, 0.0, 0.10))) == "iced"


def test_shares_met_agree_with_the_plan_counted_by_hand(tmp_path: Path) -> None:
    """Independent: look every simulated day up in the slab's own table, hour by hour."""
    showers = lambda hour: (*fair(hour)[:4], 0.5 if -8 < hour < 9 else 0.0, 40.0 if -8 < hour < 9 else 0.0, 0.0)  # noqa: E731
    write_forecast(tmp_path, showers)
    trip = weather_trip(tmp_path)
    plan, setting = make_plan(trip), set_up(trip)
    from handline.day.simulation import draw_days, walk

    draws = draw_days(setting.itinerary, trip.about.days, trip.about.seed)
    days = walk(setting.itinerary, draws, np.array([trip.about.start_clock_s]))
    assert setting.slab is not None
    for met, leg in zip(plan.weather.met, (1, 4), strict=True):
        count = [0, 0, 0, 0]
        for day in range(draws.days):
            hour = int((days.leave_clock_s[leg][day] - setting.slab.rock.clock_s[0]) // 3600)
            count[setting.slab.rock.state[draws.member[day], hour]] += 1
        assert met.share == pytest.approx([number / draws.days for number in count])
    assert 0.0 < plan.weather.met[0].share[0] < 1.0


def test_line_and_plan_judge_by_the_same_rock(tmp_path: Path) -> None:
    write_forecast(tmp_path, rainy)
    trip = weather_trip(tmp_path)
    report: LineReport = line_report(trip)
    assert report.line.rock == make_plan(trip).line.rock == "wet"
    asked = line_report(trip, WhatIf(rock="dry"))
    assert asked.line.rock == "dry"
    assert asked.changed[0].file_says == "as the weather makes it"


def test_a_typed_rock_leaves_every_day_its_own_course_of_the_weather(tmp_path: Path) -> None:
    """Whatever the rock, the air at a passing is as uncertain as the forecast: it does not hang on what is typed."""
    write_forecast(tmp_path)
    by_hour = make_plan(weather_trip(tmp_path)).weather
    typed = make_plan(weather_trip(tmp_path, 'rock = "dry"\nforecast = "forecast.csv"')).weather
    assert typed.rock_typed
    # Up to the foot of the line each day is walked alike and meets the same course.
    assert typed.there[:2] == by_hour.there[:2]
    assert typed.there[0].temperature_C[2] - typed.there[0].temperature_C[0] > 3.0


def test_the_sun_of_a_part_of_an_hour_counts_once(tmp_path: Path) -> None:
    """A skyline in the east lets the sun in some way through an hour: the beam is the mean of its minutes."""
    write_forecast(tmp_path, lambda hour: (10.0, 50.0, 2.0, 0.0, 0.0, 0.0, 0.0))
    line = 'facing = "E"\nhorizon = [{ bearing = "0 deg", height = "14 deg" }]'
    slab = set_up(weather_trip(tmp_path, line=line)).slab
    assert slab is not None
    part = (slab.sun.shines_share > 0.2) & (slab.sun.shines_share < 0.8)
    hour = int(np.flatnonzero(part & (slab.sun.incidence_cos > 0.1))[0])
    beam = clear_beam_W_m2(slab.sun.altitude_deg[hour]) * slab.sun.incidence_cos[hour]
    level = clear_level_W_m2(slab.sun.altitude_deg[hour])
    sky = level - clear_beam_W_m2(slab.sun.altitude_deg[hour]) * np.sin(np.radians(slab.sun.altitude_deg[hour]))
    assert slab.sun_W_m2[0, hour] == pytest.approx(beam + sky * (1.0 + np.cos(np.radians(44.0))) / 2.0, rel=1e-9)
