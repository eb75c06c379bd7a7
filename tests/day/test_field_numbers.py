"""The numbers the brief draws days with: the plan's own, packed small, finite, and read back unchanged."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.field_numbers import (
    HAZARD_WITHIN,
    HOUR_S,
    MOST_FIELD_DAYS,
    ROCK_BEFORE_H,
    ROCK_HOURS,
    field_numbers,
    thinned,
)
from handline.day.line_wait import Wait, WaitByClock
from handline.day.plan_field import FieldWait, FieldWaitByClock
from handline.day.planning import Simulated, make_plan, simulate
from handline.day.setting import set_up
from handline.day.simulation import RockClock
from handline.day.subjects import Setting
from handline.weather.storms import StormHazard, storm_hazard
from tests.day.trips import night_trip, typed_trip


@cache
def _simulated() -> tuple[Setting, Simulated]:
    setting = set_up(typed_trip(days=200))
    return setting, simulate(setting)


def test_everything_is_finite_and_is_told_in_the_plan():
    for trip in (
        typed_trip(days=200),
        night_trip(days=200),
        typed_trip(days=200, rock="wet", limits='home_by = "16:00"'),
    ):
        told = json.loads(json.dumps(asdict(make_plan(trip).field), allow_nan=False))
        assert told["days"] == 200
        assert len(told["stop_s"]) == len(told["leaves_clock_s"]) + 1
    assert told["limits"]["home_by_clock_s"] == 16 * HOUR_S
    assert told["rock"]["names"][int(told["rock"]["hours"][0])] == "wet"


def test_the_streams_are_those_the_days_are_drawn_from():
    """A generator set to the told state gives the plan's own people: PCG64 of numpy, from outside."""
    setting, simulated = _simulated()
    told = field_numbers(setting, simulated.days).streams
    drawn = []
    for stream in (told.model, told.people):
        bits = np.random.PCG64()
        bits.state = {
            "bit_generator": "PCG64",
            "state": {"state": int(stream.state, 16), "inc": int(stream.step, 16)},
            "has_uint32": 0,
            "uinteger": 0,
        }
        drawn.append(np.random.Generator(bits).standard_normal(3).tolist())
    spawned = np.random.SeedSequence(setting.trip.about.seed).spawn(6)[:2]
    assert drawn == [np.random.default_rng(stream).standard_normal(3).tolist() for stream in spawned]


def test_no_more_days_than_a_phone_draws_in_a_moment():
    setting, simulated = _simulated()
    about = setting.trip.about.model_copy(update={"days": 200_000})
    many = replace(setting, trip=setting.trip.model_copy(update={"about": about}))
    assert field_numbers(many, simulated.days).days == MOST_FIELD_DAYS


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.0, 2.0), min_size=1, max_size=60), st.floats(1e-4, 0.5))
def test_a_thinned_line_is_right_everywhere(rises: list[float], within: float):
    x, y = np.arange(len(rises) + 1.0), np.concatenate([[0.0], np.cumsum(rises)])
    kept = thinned(x, y, within)
    assert kept[0] == 0
    assert kept[-1] == len(rises)
    assert kept == sorted(set(kept))
    assert np.abs(np.interp(x, x[kept], y[kept]) - y).max() <= within + 1e-12


def test_a_straight_line_needs_its_ends_only():
    x = np.linspace(0.0, 10.0, 50)
    assert thinned(x, 3.0 * x, 1e-9) == [0, 49]


@pytest.mark.parametrize("chance", [0.0, 0.05, 0.4, 0.99])
def test_the_chance_of_no_storm_stays_within_a_thousandth(chance: float):
    setting, simulated = _simulated()
    whole = storm_hazard(chance)
    told = field_numbers(replace(setting, storm=whole), simulated.days).storm
    thin = StormHazard(np.array(told.clock_s), np.array(told.hazard))
    clock_s = np.linspace(0.0, 2.0 * 86400.0, 400)
    for from_s in (0.0, 10.0 * HOUR_S, 13.3 * HOUR_S):
        expected = whole.none_between_share(from_s, clock_s)
        assert thin.none_between_share(from_s, clock_s) == pytest.approx(expected, rel=2.5 * HAZARD_WITHIN)
    assert len(told.clock_s) < 0.5 * whole.clock_s.size


def test_the_rock_is_read_back_as_it_is_by_the_hour():
    setting, simulated = _simulated()
    rng = np.random.default_rng(3)
    rock = RockClock(-36.0 * HOUR_S, rng.integers(0, 4, (5, 120)).astype(np.int8))
    told = field_numbers(replace(setting, itinerary=replace(setting.itinerary, rock=rock)), simulated.days).rock
    assert told.courses == 5
    begins_s = np.floor(setting.trip.morning_clock_s / HOUR_S) * HOUR_S - ROCK_BEFORE_H * HOUR_S
    assert told.first_clock_s == begins_s
    for clock_s in begins_s + HOUR_S * (np.arange(ROCK_HOURS) + rng.random(ROCK_HOURS)):
        hour = int((clock_s - told.first_clock_s) // HOUR_S)
        states = [int(hours[hour]) for hours in told.hours]
        assert states == rock.at(np.full(5, clock_s), np.arange(5)).tolist()


def test_rock_that_is_alike_in_all_courses_is_told_once():
    setting, simulated = _simulated()
    changing = np.tile(np.arange(120) % 4, (7, 1)).astype(np.int8)
    for state, hours in ((changing, ROCK_HOURS), (np.full((7, 1), 2, np.int8), 1)):
        rock = RockClock(-36.0 * HOUR_S, state)
        told = field_numbers(replace(setting, itinerary=replace(setting.itinerary, rock=rock)), simulated.days).rock
        assert (told.courses, len(told.hours), len(told.hours[0])) == (7, 1, hours)


def test_waits_by_the_clock_are_read_back():
    setting, simulated = _simulated()
    rng = np.random.default_rng(4)
    wait_s = np.sort(rng.uniform(0.0, 2000.0, (3, 8)))
    wait_s[1] = 0.0
    held_s = np.where(wait_s > 0.0, 60.0, 0.0)
    wait = WaitByClock(np.array([0.0, 1800.0, 3600.0, 5400.0]), wait_s, held_s)
    legs = tuple(None if leg is None else replace(leg, wait=wait) for leg in setting.itinerary.line_legs)
    told = field_numbers(replace(setting, itinerary=replace(setting.itinerary, line_legs=legs)), simulated.days)
    found = told.line[0].wait
    assert isinstance(found, FieldWaitByClock)
    assert (found.first_clock_s, found.step_s) == (0.0, 1800.0)
    assert found.wait_s[1] == found.held_s[1] == ()
    assert np.array(found.wait_s[0]) == pytest.approx(wait_s[0], abs=0.05)
    join_s, normal = rng.uniform(0.0, 1799.0, 50), rng.standard_normal(50)
    ranks = np.searchsorted(found.rank_edges, normal, side="right")
    expected_s, _ = wait.cost_s(join_s, normal)
    assert np.array(found.wait_s[0])[ranks] == pytest.approx(expected_s, abs=0.05)


def test_a_log_normal_wait_is_told_by_its_two_numbers():
    setting, simulated = _simulated()
    told = field_numbers(setting, simulated.days).line[0].wait
    wait = next(leg.wait for leg in setting.itinerary.line_legs if leg is not None)
    assert isinstance(wait, Wait)
    assert told == FieldWait(wait.median_s, wait.sigma)


def test_people_whom_a_number_tells_apart_are_told_apart():
    members = 'members = [ { name = "Ada", pack_mass = "14 kg" }, { name = "Bo" }, { name = "Cy" } ]'
    setting = set_up(typed_trip(days=200, party=members))
    told = field_numbers(setting, simulate(setting).days)
    assert told.walkers == 3
    assert told.groups == setting.itinerary.alike()
    assert len(told.groups) == 2
    walking_s = np.array(told.walking_s)
    assert walking_s.shape == (setting.itinerary.model_weight.size, 2, setting.itinerary.legs)
    for number, group in enumerate(told.groups):
        assert walking_s[:, number] == pytest.approx(setting.itinerary.walking_s[:, group[0]], abs=0.001)
