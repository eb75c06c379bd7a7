"""The rules of packs, water and gear as they are stated. Who moves one moves it here too."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.day import gear_check, load_effort, load_findings, load_heat, load_setting, load_subject
from handline.day.load_effort import burn
from handline.day.load_heat import heat_of_legs
from handline.day.load_hours import MiddleDay, middle_day
from handline.day.load_subject import walked_ground
from handline.day.setting import set_up
from handline.trip.load_model import Load
from handline.trip.night_model import Night
from handline.walking.energy import rest_energy, walk_energy
from handline.weather.indices import simple_wbgt_C
from tests.day.load_trips import load_trip, months

STATED = [
    (load_heat, "CAREFUL_QUANTILE", 0.90),
    (load_heat, "WARM_DAY_C", (78.0 - 32.0) / 1.8),
    (load_effort, "LINE_MET", (5.0, 5.8, 7.5)),
    (load_setting, "SETTLED_KG", 0.010),
    (load_setting, "MOST_STEPS", 25),
    (load_subject, "SHARES_BY", "tobler_1993"),
    (load_findings, "LINE_PACK_DIFFERS_KG", 0.5),
    (load_findings, "TREATING_DIFFERS_S", 60.0),
    (gear_check, "DARK_ASKS_FOR_LIGHT", 0.02),
    (gear_check, "LAYERS_BELOW_C", 10.0),
    (gear_check, "HELP_FAR_S", 3600.0),
]


@pytest.mark.parametrize(("room", "name", "stated"), STATED, ids=[name for _, name, _ in STATED])
def test_rule_is_as_stated(room: object, name: str, stated: object) -> None:
    assert getattr(room, name) == stated


def test_ground_takes_the_nearest_that_was_measured() -> None:
    assert load_subject.GROUND_N == {
        "good path": 1.0, "meadow": 1.1, "open ground": 1.2, "stony trail": 1.2, "bog": 1.8, "bare rock": 1.0,
        "stream": 1.8,
    }  # fmt: skip


def test_heat_of_a_leg_is_the_ninth_course_in_ten_at_its_middle_height() -> None:
    """Referee: the formula on the very courses, one by one."""
    setting = set_up(load_trip(weather=months("12 C", "27 C")))
    heat = heat_of_legs(setting.route, setting.weather, setting.trip.about.start_clock_s)
    clock_s = np.full(len(setting.route.legs), 13.4 * 3600.0)
    for j, leg in enumerate(setting.route.legs):
        ends_m = [setting.route.points[i].elevation_m for i in (leg.start, leg.end)]
        hours = setting.weather.at("", sum(ends_m) / 2.0)
        assert hours is not None
        hour = int(np.flatnonzero(hours.clock_s == 13 * 3600.0)[0])
        courses = [
            float(simple_wbgt_C(temperature_C=t, humidity_share=h))
            for t, h in zip(hours.temperature_C[:, hour], hours.humidity_share[:, hour], strict=True)
        ]
        assert heat.at(clock_s)[j] == pytest.approx(float(np.quantile(courses, 0.9)), rel=1e-12)
    assert math.isnan(heat.at(clock_s + 90 * 86400.0)[0])


def test_what_a_leg_burns_by_plain_loops() -> None:
    """Referee: piece by piece and person by person with the pure formulas, stops beside them."""
    setting = set_up(load_trip())
    ground = walked_ground(setting.trip, setting.route)
    day: MiddleDay = middle_day(setting.itinerary, 6 * 3600.0)
    is_line = np.array([leg.is_line for leg in setting.route.legs])
    bodies_kg, loads_kg = (
        np.array([60.0, 90.0, 60.0]),
        np.array([[5.0] * is_line.size, [14.0] * is_line.size, [5.0] * is_line.size]),
    )
    found = burn(ground, is_line, day, bodies_kg, loads_kg)
    for i, body_kg in enumerate(bodies_kg):
        for j, leg in enumerate(setting.route.legs):
            still_J = float(rest_energy(day.still_s[j], body_mass_kg=body_kg).energy_J.centre)
            if leg.is_line:
                moved_J = 5.8 * 4184.0 / 3600.0 * (body_kg + loads_kg[i, j]) * day.moving_s[j]
            else:
                slope_m, grade = np.hypot(leg.run_m, leg.rise_m), leg.rise_m / leg.run_m
                share = ground.share[j, : leg.run_m.size]
                walked = walk_energy(
                    slope_m, grade, slope_m / (share * day.light_s[j]), body_mass_kg=body_kg, load_kg=loads_kg[i, j]
                )
                moved_J = float(walked.energy_J.centre) / float(walked.time_s) * day.moving_s[j]
            assert found.energy_J.centre[i, j] == pytest.approx(moved_J + still_J, rel=1e-9)
    assert ground.share.sum(axis=1)[~is_line] == pytest.approx(1.0)
    assert np.array_equal(found.work[0], found.work[2])


def test_usual_ways_of_drinking_and_eating() -> None:
    usual = Load()
    assert (usual.reserve_L, usual.sure, usual.eaten) == (0.5, 0.7, 0.7)
    assert (usual.bottles_L, usual.treatment) == (None, "none")


def test_a_usual_night_out() -> None:
    usual = Night()
    assert (usual.out, usual.camp, usual.water_L) == (False, None, 3.0)
    assert (usual.set_out_clock_s, usual.start_clock_s) == (12 * 3600.0, 5 * 3600.0)
