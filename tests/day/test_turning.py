"""Ways from here against the plain loop, drawn storms, and a search minute by minute."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.day.limits import DayLimits
from handline.day.setting import Setting, set_up
from handline.day.simulation import Draws, Itinerary, draw_days
from handline.day.turning import From, Here, foot_of_line, go_on, latest_to_go_on_s, turn_at
from handline.weather.storms import storm_hazard
from tests.day.trips import typed_trip
from tests.referees.plain_day import plain_day

LIMITS = 'home_by = "16:00"\noff_line_by = "12:30"'


def _setting() -> Setting:
    return set_up(typed_trip(days=400, limits=LIMITS, weather='storm_chance = "60 %"'))


def _here(here: int, hour: float, delay_s: float = 0.0, days: int = 400) -> Here:
    setting = _setting()
    draws = draw_days(setting.itinerary, days, 1)
    return Here(setting.itinerary, draws, setting.limits, setting.storm, here, hour * 3600.0, delay_s)


def _plain_from(itinerary: Itinerary, draws: Draws, day: int, first: int, clock_s: float) -> list[float]:
    """The plain loop from a passing on: its own stop comes first, and then the legs that are left."""
    movement, wait = list(draws.movement_s[:, day]), list(draws.wait_normal[:, day])
    return plain_day(itinerary, movement, wait, clock_s, int(draws.member[day]), first)[1:]


@pytest.mark.parametrize(("here", "delay_s"), [(0, 0.0), (1, 0.0), (1, 2400.0), (2, 600.0), (3, 0.0), (5, 60.0)])
@pytest.mark.parametrize("hour", [9.0, 19.5])
def test_going_on_against_the_plain_loop(here: int, delay_s: float, hour: float) -> None:
    at = _here(here, hour, delay_s)
    on = go_on(at)
    assert (on.days.arrive_clock_s[0] == at.clock_s).all()
    for day in range(0, 400, 23):
        plain = _plain_from(at.itinerary, at.draws, day, here, at.clock_s + delay_s)
        assert [arrive[day] for arrive in on.days.arrive_clock_s[1:]] == pytest.approx(plain, abs=1e-6)


@pytest.mark.parametrize(("here", "turn"), [(0, 1), (1, 1), (2, 2), (1, 2), (0, 0)])
def test_turning_against_the_plain_loop(here: int, turn: int) -> None:
    """Turning at passing i goes home from passing legs - i, at which the party arrives when it comes to i."""
    at = _here(here, 9.0, 1800.0)
    on = go_on(at)
    home = turn_at(at, turn, on)
    for day in range(0, 400, 23):
        there_s = at.clock_s if turn == here else float(on.days.arrive_clock_s[turn - here][day])
        plain = _plain_from(at.itinerary, at.draws, day, at.itinerary.legs - turn, there_s)
        assert [arrive[day] for arrive in home.days.arrive_clock_s[1:]] == pytest.approx(plain, abs=1e-6)
    if turn == 0:
        assert (home.days.arrive_clock_s[-1] == at.clock_s).all()


def _drawn(at: Here, way: From, off_line: int | None) -> float:
    """The share of days that keep a storm drawn for each of them, none by now."""
    uniform = 1.0 - np.random.default_rng(5).random(at.draws.days)
    target = at.storm.cumulative(at.clock_s) - np.log(uniform)
    onset_s = np.interp(target, at.storm.hazard, at.storm.clock_s, right=np.inf)
    kept = way.days.arrive_clock_s[-1] <= at.limits.home_by_clock_s
    kept &= way.days.arrive_clock_s[-1] <= at.limits.dark_clock_s
    if off_line is not None:
        off_s = way.days.arrive_clock_s[off_line]
        kept &= (off_s <= onset_s) & (off_s <= at.limits.off_line_by_clock_s)
    return float(kept.mean())


def test_the_chances_against_drawn_storms() -> None:
    """Going on with a delay, turning past the line, turning at its foot: 20,000 days, four standard errors."""
    at = _here(1, 9.5, 1800.0, days=20_000)
    past = replace(at, here=2, delay_s=0.0)
    on, on_past = go_on(at), go_on(past)
    error = 4.0 * np.sqrt(0.25 / 20_000)
    assert on.kept["all"].mean() == pytest.approx(_drawn(at, on, at.itinerary.off_line - 1), abs=error)
    home = turn_at(past, 2, on_past)
    off = past.itinerary.off_line - (past.itinerary.legs - 2)
    assert home.kept["all"].mean() == pytest.approx(_drawn(past, home, off), abs=error)
    foot = turn_at(at, 1, on)
    assert set(foot.kept) == {"home_before_dark", "home_by", "all"}
    assert foot.kept["all"].mean() == _drawn(at, foot, None)


def test_a_storm_during_the_delay_counts() -> None:
    """Standing for two hours where storms are likely is no way to outwait the chance of one."""
    at, later = _here(1, 12.0, 7200.0), _here(1, 14.0)
    stood, came = (go_on(one).kept["off_line_before_storm"] for one in (at, later))
    none_yet = float(at.storm.none_between_share(12.0 * 3600.0, 14.0 * 3600.0))
    assert stood == pytest.approx(came * none_yet)
    assert none_yet < 0.9


def test_the_foot_is_before_the_first_leg_on_the_line() -> None:
    itinerary = _setting().itinerary
    assert foot_of_line(itinerary) == 1
    assert itinerary.legs - foot_of_line(itinerary) == itinerary.off_line


@pytest.mark.parametrize(("fall_h", "first_h"), [(11.3, 9.0), (14.0, 9.5), (9.02, 9.0)])
def test_the_latest_minute_to_go_on(fall_h: float, first_h: float) -> None:
    """A chance that falls under the wanted one at a known minute, and is lucky again much later."""

    def chance(clock_s: np.ndarray) -> np.ndarray:
        return np.where((clock_s < fall_h * 3600.0) | (clock_s > 20 * 3600.0), 0.95, 0.5)

    found = latest_to_go_on_s(chance, first_h * 3600.0, 0.9)
    assert found == max(m for m in range(0, 20 * 3600, 60) if m < fall_h * 3600.0)


def test_no_time_and_any_time_to_go_on() -> None:
    assert np.isnan(latest_to_go_on_s(lambda clock: np.full(clock.shape, 0.89), 0.0, 0.9))
    assert latest_to_go_on_s(lambda clock: np.full(clock.shape, 0.9), 0.0, 0.9) == np.inf


def test_without_limits_on_the_line_turning_at_its_foot_changes_only_the_time() -> None:
    at = replace(_here(0, 7.0), limits=DayLimits(0.9, False, None, None, 30 * 3600.0), storm=storm_hazard(0.0))
    on = go_on(at)
    assert set(turn_at(at, 1, on).kept) == set(on.kept)
    assert (turn_at(at, 1, on).days.arrive_clock_s[-1] < on.days.arrive_clock_s[-1]).all()
