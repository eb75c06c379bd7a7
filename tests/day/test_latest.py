from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from handline.day.latest import LATEST_DAYS, Latest, latest_passings
from handline.day.limits import DayLimits, chance_from, kept_share
from handline.day.setting import Setting, set_up
from handline.day.simulation import Draws, draw_days, walk
from handline.weather.storms import storm_hazard
from tests.day.trips import STEADY, night_trip, typed_trip


def _found(setting: Setting, days: int = LATEST_DAYS, seed: int = 1) -> Latest:
    draws = draw_days(setting.itinerary, days, seed)
    planned = walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))
    return latest_passings(setting.limits, setting.itinerary, draws, setting.storm, planned)


def _latest(setting: Setting, days: int = LATEST_DAYS, seed: int = 1) -> np.ndarray:
    return _found(setting, days, seed).clock_s


def test_without_chance_it_is_the_limit_less_the_way() -> None:
    """DIN 33466, no spread: what is left at each point is arithmetic, so the latest time is too."""
    setting = set_up(
        typed_trip(
            party=STEADY,
            route='pace_model = "din_33466"',
            wait="0 min",
            weather="storm_chance = 0.0",
            limits='home_by = "19:00"\nhome_before_dark = false',
        )
    )
    # The way back from the foot: 6 km and 600 m down is 1.5 h and 1.2 h: 1.5 + 0.6 = 2.1 h, after a stop of 10 min.
    foot_down = 19 * 3600.0 - 2.1 * 3600.0 - 600.0
    latest = _latest(setting)
    assert latest[-1] == 19 * 3600.0
    assert latest[-2] == np.floor(foot_down / 60.0) * 60.0


def test_leaving_at_the_latest_time_keeps_the_limits_as_often_as_wanted() -> None:
    """Forward simulation on other draws, each day with a storm drawn for it: as often as wanted, later less."""
    setting = set_up(typed_trip(limits='home_by = "17:00"'))
    latest = float(_latest(setting)[0])
    fresh = draw_days(setting.itinerary, 20_000, 77)
    share = [_drawn_share(setting, fresh, start, 0) for start in (latest, latest + 1800.0)]
    # Four standard errors of the search's own days.
    assert share[0] == pytest.approx(0.9, abs=4 * np.sqrt(0.09 / LATEST_DAYS))
    assert share[1] < share[0]


def _drawn_share(setting: Setting, draws: Draws, clock_s: float, passing: int) -> float:
    """The share of days that keep a "home by" and a storm drawn by turning the hazard round, none by the start."""
    days = walk(setting.itinerary, draws, np.array([clock_s]), first=passing)
    kept = days.arrive_clock_s[-1] <= setting.limits.home_by_clock_s
    if setting.limits.dark_clock_s is not None:
        kept &= days.arrive_clock_s[-1] <= setting.limits.dark_clock_s
    if passing < setting.itinerary.off_line:
        uniform = 1.0 - np.random.default_rng(9).random(draws.days)
        target = setting.storm.cumulative(clock_s) - np.log(uniform)
        onset_s = np.interp(target, setting.storm.hazard, setting.storm.clock_s, right=np.inf)
        kept &= days.arrive_clock_s[setting.itinerary.off_line - passing] <= onset_s
    return float(kept.mean())


@pytest.mark.parametrize("passing", [0, 1, 3, 5])
def test_averaged_storms_agree_with_drawn_ones(passing: int) -> None:
    setting = set_up(typed_trip(weather='storm_chance = "60 %"', limits='home_by = "18:00"\nchance = 0.6'))
    draws = draw_days(setting.itinerary, 20_000, 5)
    clock = 9 * 3600.0
    smooth = chance_from(setting.limits, setting.itinerary, draws, setting.storm, passing, np.array([clock]))[0]
    assert smooth == pytest.approx(_drawn_share(setting, draws, clock, passing), abs=4 * np.sqrt(0.25 / 20_000))


@pytest.mark.parametrize("seed", range(1, 7))
def test_the_latest_start_agrees_with_the_chance_shown(seed: int) -> None:
    """Kept at the planned start if and only if the latest start is not before it, on the same days."""
    setting = set_up(typed_trip(limits='home_by = "15:20"'))
    start = setting.trip.about.start_clock_s
    draws = draw_days(setting.itinerary, 3000, seed)
    planned = walk(setting.itinerary, draws, np.array([start]))
    share = kept_share(setting.limits, setting.itinerary, planned, setting.storm)["all"].mean()
    latest = latest_passings(setting.limits, setting.itinerary, draws, setting.storm, planned).clock_s[0]
    assert (share >= setting.limits.chance) == (latest >= start)


def test_an_evening_start_meets_the_next_days_storms() -> None:
    setting = set_up(typed_trip(weather='storm_chance = "60 %"', limits="home_before_dark = false"))
    night = draw_days(setting.itinerary, 2000, 1)
    days = walk(setting.itinerary, night, np.array([33 * 3600.0]))
    share = kept_share(setting.limits, setting.itinerary, days, setting.storm)["off_line_before_storm"].mean()
    same = walk(setting.itinerary, night, np.array([9 * 3600.0]))
    alike = kept_share(setting.limits, setting.itinerary, same, setting.storm)["off_line_before_storm"].mean()
    assert share == pytest.approx(float(alike), abs=0.02)
    assert share < 0.95


def test_latest_times_go_up_along_the_day() -> None:
    latest = _latest(set_up(typed_trip()))
    assert (np.diff(latest) > 0).all()


def test_a_limit_nobody_can_keep_has_no_latest_time() -> None:
    setting = set_up(typed_trip())
    never = replace(setting, limits=replace(setting.limits, dark_clock_s=-np.inf))
    assert np.isnan(_latest(never)).all()


def test_a_time_of_day_before_the_start_is_the_next_days() -> None:
    setting = set_up(typed_trip(limits='home_by = "05:00"\noff_line_by = "12:00"'))
    assert setting.limits.home_by_clock_s == 29 * 3600.0
    assert setting.limits.off_line_by_clock_s == 12 * 3600.0


def test_until_off_the_line_no_place_gives_more_time_than_a_slow_party_takes() -> None:
    setting = set_up(typed_trip(weather='storm_chance = "30 %"', limits='home_by = "23:30"\nhome_before_dark = false'))
    draws = draw_days(setting.itinerary, 2000, 1)
    planned = walk(setting.itinerary, draws, np.array([setting.trip.about.start_clock_s]))
    latest = latest_passings(setting.limits, setting.itinerary, draws, setting.storm, planned).clock_s
    for i in range(1, setting.itinerary.off_line):
        slow = np.quantile(planned.arrive_clock_s[i] - planned.arrive_clock_s[i - 1], 0.9)
        assert latest[i] <= latest[i - 1] + slow


def test_no_limits_no_latest_time() -> None:
    limits = DayLimits(0.9, False, None, None, None)
    setting = set_up(typed_trip())
    draws = draw_days(setting.itinerary, 50, 1)
    planned = walk(setting.itinerary, draws, np.array([6 * 3600.0]))
    latest = latest_passings(limits, setting.itinerary, draws, storm_hazard(0.5), planned).clock_s
    assert np.isinf(latest).all()


def test_a_surer_party_leaves_earlier() -> None:
    sure, surer = (_latest(set_up(typed_trip(limits=f"chance = {chance}")))[0] for chance in (0.7, 0.95))
    assert surer < sure


def test_off_line_by_is_a_limit_until_the_party_is_off() -> None:
    limits = 'off_line_by = "12:00"\nhome_before_dark = false\noff_line_before_storm = false'
    setting = set_up(typed_trip(limits=limits))
    latest = _latest(setting)
    assert latest[setting.itinerary.off_line] == 12 * 3600.0
    assert latest[setting.itinerary.off_line - 1] < 12 * 3600.0
    assert np.isinf(latest[setting.itinerary.off_line + 1 :]).all()


# --- as a whole: what the latest times promise, and how sure they are ------------------------------------------------

SEEDS = range(1, 13)
PROMISED = {
    "home by": lambda: typed_trip(weather="storm_chance = 0.0", limits='home_by = "18:00"\nhome_before_dark = false'),
    "storms often, less sure": lambda: typed_trip(
        weather='storm_chance = "60 %"', limits='home_by = "18:00"\nchance = 0.6'
    ),
    "off the line by": lambda: typed_trip(limits='off_line_by = "13:00"\nhome_by = "18:00"'),
    "a night out": lambda: night_trip(weather='storm_chance = "30 %"', limits='home_by = "13:00"'),
}


@cache
def _promised(name: str) -> tuple[Setting, tuple[Latest, ...], Draws]:
    """A trip, its latest times by each seed, and days that no search has seen."""
    setting = set_up(PROMISED[name]())
    return setting, tuple(_found(setting, seed=seed) for seed in SEEDS), draw_days(setting.itinerary, 20_000, 77)


@pytest.mark.parametrize("name", PROMISED)
def test_leaving_each_place_at_its_latest_keeps_the_limits_as_often_as_wanted(name: str) -> None:
    """On fresh days: within four standard errors of the search's own days and these, and less often a while later.

    A time is that of the minute before. Where a place is held to what a slow party takes from the one before it, the
    limits are kept more often than that, and never less.
    """
    setting, found, fresh = _promised(name)
    itinerary, wanted = setting.itinerary, setting.limits.chance
    error = 4.0 * np.sqrt(wanted * (1.0 - wanted) * (1.0 / LATEST_DAYS + 1.0 / fresh.days))
    planned = walk(itinerary, draw_days(itinerary, LATEST_DAYS, SEEDS[0]), np.array([setting.trip.depart_clock_s]))
    held = 0
    for i, (latest_s, error_s) in enumerate(zip(found[0].clock_s, found[0].error_s, strict=True)):
        if not np.isfinite(latest_s):
            continue
        around_s = latest_s + np.array([0.0, 60.0, -error_s, error_s])
        at, minute_later, sooner, later = chance_from(setting.limits, itinerary, fresh, setting.storm, i, around_s)
        assert at > wanted - error, i
        if minute_later < wanted + error:
            assert (sooner > at > later) or error_s < 60.0, i
            continue
        slow_s = np.quantile(planned.arrive_clock_s[i] - planned.arrive_clock_s[i - 1], 0.9)
        assert latest_s == np.floor((found[0].clock_s[i - 1] + slow_s) / 60.0) * 60.0, i
        held += 1
    assert held <= 2


@pytest.mark.parametrize("name", PROMISED)
def test_one_error_is_that_of_latest_times_over_many_seeds(name: str) -> None:
    """Within a factor of two, the minute they are told to counted in; and none is far off their middle."""
    _, found, _ = _promised(name)
    latest_s, error_s = (np.array([getattr(one, part) for one in found]) for part in ("clock_s", "error_s"))
    told = np.isfinite(latest_s).all(axis=0)
    assert told.sum() >= 6
    minute_s = 60.0 / np.sqrt(12.0)
    expected_s = np.hypot(np.nanmean(error_s[:, told], axis=0), minute_s)
    spread_s = np.hypot(latest_s[:, told].std(axis=0, ddof=1), minute_s)
    assert (spread_s / expected_s < 2.0).all()
    assert (spread_s / expected_s > 0.5).all()
    off_s = np.abs(latest_s[:, told] - latest_s[:, told].mean(axis=0))
    assert (off_s < 4.0 * expected_s + 60.0).all()


@pytest.mark.parametrize("name", PROMISED)
def test_latest_times_never_go_back_along_the_day(name: str) -> None:
    for found in _promised(name)[1]:
        told = found.clock_s[np.isfinite(found.clock_s)]
        assert (np.diff(told) > 0.0).all()


def test_leaving_the_camp_at_its_latest_keeps_the_limits_as_often_as_wanted() -> None:
    """A party that is awake and goes at that minute; its spread over seeds is its error, within a factor of two."""
    setting, found, fresh = _promised("a night out")
    night = setting.itinerary.night
    assert night is not None
    leave_s, error_s = found[0].leave_camp_clock_s, found[0].leave_camp_error_s
    assert night.start_clock_s < leave_s < setting.limits.home_by_clock_s
    limits, wanted = replace(setting.limits, camp_clock_s=None), setting.limits.chance
    up_s = leave_s + np.array([0.0, -error_s, error_s])
    # Another way to the same: a morning that starts then, for a party that came the day before.
    chance = []
    for start_s in up_s:
        later = replace(setting.itinerary, night=replace(night, start_clock_s=start_s))
        days = walk(later, fresh, np.array([setting.trip.depart_clock_s]))
        chance.append(float(kept_share(limits, later, days, setting.storm)["all"].mean()))
    assert chance[1] > chance[0] > chance[2]
    error = np.sqrt(wanted * (1.0 - wanted) * (1.0 / LATEST_DAYS + 1.0 / fresh.days))
    assert chance[0] == pytest.approx(wanted, abs=4.0 * error)
    spread_s = float(np.std([one.leave_camp_clock_s for one in found], ddof=1))
    assert 0.5 < spread_s / np.mean([one.leave_camp_error_s for one in found]) < 2.0
