"""Chances over the start: the same as one start at a time, the window by looking, and later never surer."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.limits import chance_from, kept_share
from handline.day.setting import Setting, set_up
from handline.day.simulation import Draws, draw_days, walk
from handline.day.start_sweep import SWEEP_DAYS, StartSweep, sweep_starts
from handline.weather.storms import StormHazard
from tests.day.trips import typed_trip

H = 3600.0
LIMITS = 'home_by = "15:30"\noff_line_by = "12:30"'


@cache
def _trip() -> tuple[Setting, Draws]:
    setting = set_up(typed_trip(limits=LIMITS, weather='storm_chance = "40 %"'))
    return setting, draw_days(setting.itinerary, SWEEP_DAYS + 500, 1)


def _sweep(limits: object = None, start_h: float = 6.0) -> StartSweep:
    setting, draws = _trip()
    return sweep_starts(limits or setting.limits, setting.itinerary, draws, setting.storm, start_h * H)  # type: ignore[arg-type]


def test_every_start_is_as_if_it_were_alone() -> None:
    setting, draws = _trip()
    few = draws.first(SWEEP_DAYS)
    sweep = _sweep()
    assert SWEEP_DAYS == 2000
    assert sweep.start_clock_s.tolist() == [(36 + i) * 600.0 for i in range(-72, 73)]
    chance = chance_from(setting.limits, setting.itinerary, few, setting.storm, 0, sweep.start_clock_s)
    assert sweep.chance["all"] == pytest.approx(chance, abs=1e-12)
    for i in (40, 72, 90, 110):
        days = walk(setting.itinerary, few, sweep.start_clock_s[i : i + 1])
        kept = kept_share(setting.limits, setting.itinerary, days, setting.storm)
        assert list(kept) == list(sweep.chance)
        for key, share in kept.items():
            assert sweep.chance[key][i] == pytest.approx(float(share.mean()), abs=1e-12)
        assert sweep.error[i] == pytest.approx(float(kept["all"].std() / np.sqrt(SWEEP_DAYS)))


def test_the_planned_start_and_what_half_an_hour_costs() -> None:
    setting, draws = _trip()
    sweep = _sweep(start_h=7.25)
    soon, late = (
        kept_share(
            setting.limits,
            setting.itinerary,
            walk(setting.itinerary, draws.first(2000), np.array([start])),
            setting.storm,
        )["all"]
        for start in (7.25 * H, 7.75 * H)
    )
    assert sweep.planned_chance == pytest.approx(float(soon.mean()))
    assert sweep.planned_chance == pytest.approx(sweep.chance["all"][72])
    assert sweep.delay_s == 1800.0
    assert sweep.delay_points == pytest.approx(float(soon.mean() - late.mean()))
    assert sweep.delay_error == pytest.approx(float((soon - late).std() / np.sqrt(2000)))
    assert sweep.delay_points > 0.0


@pytest.mark.parametrize("wanted", [0.5, 0.8, 0.9, 0.97])
@pytest.mark.parametrize("start_h", [5.0, 6.0, 9.5])
def test_the_window_by_looking(wanted: float, start_h: float) -> None:
    """Walk from the planned start back to the nearest start that is met, then to both sides as far as it stays met."""
    setting, _ = _trip()
    sweep = _sweep(replace(setting.limits, chance=wanted), start_h)
    met = (sweep.chance["all"] >= wanted).tolist()
    here = 72
    while here >= 0 and not met[here]:
        here -= 1
    assert here >= 0
    first = last = here
    while first > 0 and met[first - 1]:
        first -= 1
    while last < 144 and met[last + 1]:
        last += 1
    assert sweep.window_clock_s == (sweep.start_clock_s[first], sweep.start_clock_s[last])
    assert sweep.goes_on == (first == 0, last == 144)
    assert sweep.wanted == wanted


def test_a_day_nobody_can_keep_has_no_window() -> None:
    setting, _ = _trip()
    never = _sweep(replace(setting.limits, dark_clock_s=-np.inf))
    assert (never.window_clock_s, never.goes_on) == (None, (False, False))
    assert never.best_chance == 0.0
    assert never.delay_points == 0.0


def test_where_earlier_is_too_early_the_window_lies_after() -> None:
    """A storm sure to come in the early morning and none after: only a start past it meets the limits."""
    setting, draws = _trip()
    morning = StormHazard(np.array([0.0, 10 * H, 11 * H]), np.array([0.0, 0.0, 8.0]))
    limits = replace(setting.limits, home_by_clock_s=None, off_line_by_clock_s=None, dark_clock_s=None)
    sweep = sweep_starts(limits, setting.itinerary, draws, morning, 8 * H)
    met = sweep.chance["all"] >= limits.chance
    assert not met[72]
    assert sweep.window_clock_s is not None
    # Before the storm there is a window too: it counts first, for the clock is followed back.
    assert sweep.window_clock_s[1] < 8 * H
    late = sweep_starts(
        limits, setting.itinerary, draws, replace(morning, clock_s=np.array([-30 * H, -20 * H, 11 * H])), 8 * H
    )
    assert late.window_clock_s is not None
    assert late.window_clock_s[0] > 8 * H
    assert late.goes_on == (False, True)


def test_the_best_start_is_the_latest_of_the_surest() -> None:
    sweep = _sweep()
    most = max(sweep.chance["all"])
    assert sweep.best_chance == most
    assert sweep.best_clock_s == max(
        start for start, chance in zip(sweep.start_clock_s, sweep.chance["all"], strict=True) if chance == most
    )


@settings(deadline=None, max_examples=15)
@given(st.floats(0.0, 20.0), st.floats(8.0, 30.0), st.integers(1, 5))
def test_a_later_start_is_never_surer_of_being_home_by_a_time(start_h: float, home_h: float, seed: int) -> None:
    setting, _ = _trip()
    draws = draw_days(setting.itinerary, 200, seed)
    limits = replace(setting.limits, home_by_clock_s=home_h * H)
    sweep = sweep_starts(limits, setting.itinerary, draws, setting.storm, start_h * H)
    for key in ("home_by", "home_before_dark", "off_line_by"):
        assert (np.diff(sweep.chance[key]) <= 0.0).all()


def test_a_window_that_begins_at_the_planned_start_is_its_own() -> None:
    """A storm sure to come just before 06:00: a start at six is past it, ten minutes sooner is not, at night is."""
    setting, draws = _trip()
    before_six = StormHazard(np.array([0.0, 5.9 * H, 5.95 * H]), np.array([0.0, 0.0, 9.0]))
    limits = replace(setting.limits, home_by_clock_s=None, off_line_by_clock_s=None, dark_clock_s=None)
    sweep = sweep_starts(limits, setting.itinerary, draws, before_six, 6 * H)
    met = sweep.chance["all"] >= limits.chance
    assert met[[0, 71, 72]].tolist() == [True, False, True]
    assert sweep.window_clock_s == (6 * H, 18 * H)


def test_where_all_starts_are_alike_the_latest_is_best() -> None:
    setting, _ = _trip()
    free = replace(setting.limits, off_line_before_storm=False, off_line_by_clock_s=None, dark_clock_s=None)
    sweep = _sweep(replace(free, home_by_clock_s=None))
    assert (sweep.best_clock_s, sweep.best_chance) == (18 * H, 1.0)
    assert sweep.goes_on == (True, True)
