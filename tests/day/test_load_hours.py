"""The middle day by hand, and the corners of effort and loads that no whole trip reaches."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from handline.day import load_setting
from handline.day.load_effort import burn
from handline.day.load_hours import middle_day
from handline.day.load_planning import plan_night
from handline.day.load_subject import walked_ground
from handline.day.setting import set_up
from handline.day.simulation import Itinerary, LineLeg, Night, RockClock, Wait
from handline.day.walking_setting import walkers
from handline.line.passage import PASSAGE_SIGMA
from handline.walking.drinking import MOST_L_DAY
from handline.walking.snow import snow_n
from tests.day.load_trips import ITEMS, LISTED, load_trip, months

HOUR_S = 3600.0


def itinerary(**changes: object) -> Itinerary:
    """Two alike who walk an hour, are on the line, and walk another hour. No rests, no tiring, light."""
    given: dict[str, object] = {
        "walking_s": np.array([[[HOUR_S, 0.0, HOUR_S]] * 2]),
        "model_weight": np.ones(1),
        "line_legs": (None, LineLeg((600.0,), Wait(900.0, 2700.0)), None),
        "stop_s": np.array([0.0, 300.0, 120.0, 0.0]),
        "off_line": 2,
        "size": 2,
        "walker_sigma": np.array([0.2, 0.2]),
        "leg_sigma": 0.1,
        "tiring_after_s": 100 * HOUR_S,
        "tiring_per_hour": 0.0,
        "rest_s_per_hour": 0.0,
        "dark_spans_clock_s": np.empty((0, 2)),
        "dark_factor": 1.25,
    }
    return Itinerary(**(given | changes))  # type: ignore[arg-type]


def test_by_hand() -> None:
    """The later of two is at the 71st percentile in half of all days; long waits count in the mean of waits."""
    z = NormalDist().inv_cdf(math.sqrt(0.5))
    walk_s = HOUR_S * math.exp(0.2 * z)
    mean_wait_s = 900.0 * math.exp((math.log(3.0) / NormalDist().inv_cdf(0.9)) ** 2 / 2.0)
    passage_s = 600.0 * math.exp(PASSAGE_SIGMA * z)
    day = middle_day(itinerary(), 6 * HOUR_S)
    lasts = [walk_s, 300.0 + mean_wait_s + passage_s, 120.0 + walk_s]
    assert day.duration_s == pytest.approx(lasts)
    assert day.moving_s == pytest.approx([walk_s, passage_s, walk_s])
    assert day.still_s == pytest.approx([0.0, 300.0 + mean_wait_s, 120.0], abs=1e-6)
    assert day.arrive_clock_s[0] == 6 * HOUR_S
    assert day.middle_clock_s[0] == pytest.approx(6 * HOUR_S + walk_s / 2.0)


def test_rests_stand_and_the_dark_moves() -> None:
    day = middle_day(itinerary(rest_s_per_hour=600.0, dark_spans_clock_s=np.array([[0.0, 24 * HOUR_S]])), 6 * HOUR_S)
    light_s = day.light_s[0]
    assert day.duration_s[0] == pytest.approx(1.25 * light_s * (1.0 + 600.0 / 3600.0))
    assert day.moving_s[0] == pytest.approx(1.25 * light_s)


def test_a_night_out_is_a_fresh_morning() -> None:
    """Set out at 06:00 the day before, on the trail at 05:00 on the date: the stop at the camp is the night.

    Tiring begins anew.
    """
    tired = itinerary(tiring_after_s=0.5 * HOUR_S, tiring_per_hour=0.5)
    one, night = middle_day(tired, -18 * HOUR_S), middle_day(replace(tired, night=Night(1, 5 * HOUR_S)), -18 * HOUR_S)
    assert night.begin_clock_s[1] == 5 * HOUR_S
    assert night.night_s == pytest.approx(5 * HOUR_S - night.arrive_clock_s[1])
    assert night.day.tolist() == [0.0, 1.0, 1.0]
    assert night.duration_s[1] == pytest.approx(one.duration_s[1] - 300.0)
    assert night.light_s[0] == pytest.approx(one.light_s[0])
    assert night.light_s[2] < one.light_s[2]
    assert night.each_day_s == pytest.approx((night.duration_s[0], night.duration_s[1:].sum()))


def test_a_camp_reached_after_the_start_in_the_morning_has_no_night() -> None:
    slow = itinerary(walking_s=np.array([[[40 * HOUR_S, 0.0, HOUR_S]] * 2]), night=Night(1, 5 * HOUR_S))
    day = middle_day(slow, -18 * HOUR_S)
    assert day.night_s == 0.0
    assert day.begin_clock_s[1] == day.arrive_clock_s[1]


def test_the_passage_is_that_of_the_middle_course_of_the_rock_when_they_tie_on() -> None:
    leg = LineLeg((600.0, 1200.0), Wait(0.0, 0.0))
    state = np.array([[0, 1], [0, 1], [0, 0]], np.int8)
    for start_s, passage_s in ((0.0, 600.0), (10 * HOUR_S, 1200.0)):
        day = middle_day(itinerary(line_legs=(None, leg, None), rock=RockClock(5 * HOUR_S, state)), start_s)
        slowest = math.exp(PASSAGE_SIGMA * NormalDist().inv_cdf(math.sqrt(0.5)))
        assert day.moving_s[1] == pytest.approx(passage_s * slowest)


def test_the_slowest_of_those_who_differ_sets_the_pace_leg_by_leg() -> None:
    walking_s = np.array([[[HOUR_S, 0.0, 2 * HOUR_S], [2 * HOUR_S, 0.0, HOUR_S]]])
    day = middle_day(itinerary(walking_s=walking_s, walker_sigma=np.zeros(2)), 0.0)
    assert day.light_s == pytest.approx([2 * HOUR_S, 0.0, 2 * HOUR_S])


def test_what_nobody_knows_is_hard_work_and_burns_like_climbing() -> None:
    setting = set_up(load_trip())
    ground = walked_ground(setting.trip, setting.route)
    day = middle_day(setting.itinerary, 6 * HOUR_S)
    is_line = np.array([leg.is_line for leg in setting.route.legs])
    nowhere = replace(ground, grade=np.full_like(ground.grade, np.nan))
    found = burn(nowhere, is_line, day, np.array([80.0]), np.full((1, is_line.size), 10.0))
    assert found.unknown
    assert np.isnan(found.rate_W.centre[0, 0])
    assert found.work[0].tolist() == [2] * is_line.size
    moved_J = 5.8 * 4184.0 / 3600.0 * 90.0 * day.moving_s[0]
    assert found.energy_J.centre[0, 0] > moved_J
    assert found.energy_J.centre[0, 0] == pytest.approx(moved_J, rel=0.05)


def test_the_harder_of_snow_and_ground_counts() -> None:
    part = 'ground = [{{ from = "Gate", to = "Creek", surface = "{}", snow = "{}" }}]'
    for surface, snow, n in (("bog", "1 cm", 1.8), ("meadow", "20 cm", float(snow_n(0.20)))):
        trip = load_trip(route=part.format(surface, snow))
        ground = walked_ground(trip, set_up(trip).route)
        walked = ground.length_m[0] > 0.0
        assert ground.terrain_n[0][walked] == pytest.approx(n)
        assert ground.terrain_n[-1][ground.length_m[-1] > 0.0] == pytest.approx(n)
        assert ground.terrain_n[1].tolist() == [1.0] * ground.terrain_n.shape[1]


def test_who_share_a_pace_go_as_the_most_loaded_on_each_leg() -> None:
    party = load_trip(party=LISTED.replace('fitness = "high"\n', "") + "\n[party.pace]\ntime_factor = 1.1\n").party
    load_kg = np.array([[16.4, 4.1, 8.2], [5.8, 5.8, 5.8]])
    (together,) = walkers(party, load_kg)
    assert together.body_mass_kg == 82.0
    assert together.pack_by_leg_kg == pytest.approx((16.4, 8.2, 8.2))


def test_the_days_cap_begins_anew_after_a_night() -> None:
    hot = load_trip(items=ITEMS, weather=months("26 C", "40 C"), load='sure = "99 %"')
    night, _ = plan_night(set_up(hot))
    assert night is not None
    assert MOST_L_DAY < max(member.drunk_L for member in night.members) <= 2.0 * MOST_L_DAY


def test_the_heavier_of_the_last_two_answers_is_another_step(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load_setting, "MOST_STEPS", 1)
    packs = set_up(load_trip(items=ITEMS)).packs
    assert packs.settled is not None
    assert packs.load_kg is not None
    assert (packs.load_kg > packs.settled.values + 1e-6).any()
