"""Where the time of a day went: planned parts add up, and recorded ones follow what the party did."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.day.simulation import dark_movement_s, draw_days
from handline.day.time_parts import PARTS, middle_parts_s, planned_by_light_s, planned_elapsed_s, planned_parts_s
from tests.day.recordings import simulated, tamsin_setting
from tests.day.reviews import HOUR_S, one_walk, partly, whole


def test_parts_add_up(folder: Path) -> None:
    reviewed = whole(folder, 222)
    assert [went.part for went in reviewed.went] == list(PARTS)
    assert sum(went.recorded_s for went in reviewed.went) == pytest.approx(reviewed.total.recorded_s)
    assert sum(went.planned_s for went in reviewed.went) == pytest.approx(reviewed.total.planned_s[1], rel=0.01)


def test_planned_parts_add_up_on_every_leg_and_day() -> None:
    setting = tamsin_setting()
    days = simulated(setting)
    parts = planned_parts_s(setting, days)
    assert np.allclose(sum(parts.values()), planned_elapsed_s(days))
    rest_s = setting.trip.party.rest_per_hour_s
    first = parts["stops and rests"][0] / parts["walking"][0]
    assert first == pytest.approx(np.full(first.shape, rest_s / HOUR_S))
    assert parts["standing before the line"][4].min() >= 600.0  # the stop of ten minutes at the foot is in it


def test_walking_by_light_is_what_was_drawn_before_the_dark_came_in() -> None:
    """Independent: the draws know no dark. Rests are a twelfth of the walking, by the file's five minutes an hour."""
    setting = tamsin_setting()
    about = setting.trip.about
    draws, days = draw_days(setting.itinerary, about.days, about.seed), simulated(setting)
    assert setting.trip.party.rest_per_hour_s == 300.0
    for j in (0, 2, 11):
        assert planned_by_light_s(setting, days, j) == pytest.approx(draws.movement_s[j] * 12.0 / 13.0)
    assert (dark_movement_s(setting.itinerary, days) > 3600.0).mean() > 0.9


def test_the_middle_is_the_mean_of_the_middle_tenth() -> None:
    parts = {"a": np.arange(100.0)[None, :], "b": 2.0 * np.arange(100.0)[None, :]}
    total = 3.0 * np.arange(100.0)
    # By hand: days 45 to 54 are the middle tenth.
    assert middle_parts_s(parts, total, [0]) == {"a": pytest.approx(49.5), "b": pytest.approx(99.0)}


def test_the_parts_follow_what_the_party_did(folder: Path) -> None:
    """Half an hour more at the camp is half an hour more of stops, to a few minutes, and nothing else."""
    walked = one_walk()
    camp_m = tamsin_setting().route.points[2].distance_m
    at = int(np.flatnonzero(np.isclose(walked.along_m, camp_m))[-1])
    later = np.where(np.arange(walked.clock_s.size) >= at, 1800.0, 0.0)
    plain, longer = (
        partly(folder, "plain", walked),
        partly(folder, "camp", replace(walked, clock_s=walked.clock_s + later)),
    )
    more = {a.part: b.recorded_s - a.recorded_s for a, b in zip(plain.went, longer.went, strict=True)}
    assert more["stops and rests"] == pytest.approx(1800.0, abs=120.0)
    assert more["walking"] == pytest.approx(0.0, abs=150.0)
    # What a recording knows of the line, where 75 m take half an hour.
    assert more["standing before the line"] + more["on the line"] == pytest.approx(0.0, abs=120.0)
    assert more["on the line"] == pytest.approx(0.0, abs=300.0)
    stop = max(longer.stops, key=lambda stop: stop.length_s if "Camp" in stop.where else 0.0)
    assert stop.where == "Aldermere Camp (up)"
    assert stop.length_s == pytest.approx(1800.0 + 600.0, abs=180.0)
    assert stop.clock_s == pytest.approx(walked.clock_s[at - 1], abs=120.0)


def test_a_wait_at_the_line_is_told_from_other_stops(folder: Path) -> None:
    walked = one_walk()
    foot_m = tamsin_setting().route.points[4].distance_m
    at = int(np.flatnonzero(np.isclose(walked.along_m, foot_m))[1])
    later = np.where(np.arange(walked.clock_s.size) >= at, 2400.0, 0.0)
    plain, longer = (
        partly(folder, "plain", walked),
        partly(folder, "wait", replace(walked, clock_s=walked.clock_s + later)),
    )
    more = {a.part: b.recorded_s - a.recorded_s for a, b in zip(plain.went, longer.went, strict=True)}
    assert more["standing before the line"] == pytest.approx(2400.0, abs=180.0)
