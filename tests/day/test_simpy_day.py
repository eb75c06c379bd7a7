"""The simulated days against days lived one by one in SimPy, with draws, waits, dusk and storms of its own.

Spread, memory, tiring and dark are larger here than on any real day, so that a rule that is left out is seen. Arrivals
are compared by how many of our days come before a quantile of the others: whatever their distribution, the error is
that of two shares.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from handline.day.limits import DayLimits, kept_share
from handline.day.line_wait import WaitByClock
from handline.day.simulation import Days, Itinerary, LineLeg, Night, RockClock, Wait, draw_days, walk
from handline.day.turn_back import TurnRule, WithRules, with_rules
from handline.weather.storms import StormHazard, storm_hazard
from tests.referees.simpy_day import LivedDay, lived_days

H = 3600.0
LIVED, OURS = 5000, 40_000
CAMP, FOOT, HEAD, LEGS = 1, 2, 3, 8


def _waits() -> WaitByClock:
    """By the half hour from 06:00 to 14:00: nobody early and late, an hour and more towards eleven; 20 days in each."""
    edges_s = np.arange(6.0, 14.5, 0.5) * H
    middle_h = edges_s[:-1] / H + 0.25
    busy_s = 5400.0 * np.exp(-(((middle_h - 11.0) / 1.5) ** 2))
    share = (np.arange(20) + 0.5) / 20.0
    return WaitByClock(edges_s, busy_s[:, None] * share, busy_s[:, None] * share[::-1] * 0.6)


def _rock() -> RockClock:
    """Three courses from 05:00 on: dry all day, wet till noon, dry and iced by turns."""
    state = [[0] * 14, [1] * 7 + [0] * 7, [0, 2] * 7]
    return RockClock(5 * H, np.array(state, np.int8))


def _way(**changes: object) -> Itinerary:
    """Gate, camp, foot, up the line, top, and home: two pace models; two who are alike and one who is not."""
    up_s = [9000.0, 4500.0, 0.0, 1800.0]
    one = np.array([*up_s, *up_s[::-1]])
    other = np.array([8400.0, 5400.0, 0.0, 1500.0, 2100.0, 0.0, 3900.0, 9600.0])
    models = np.array([[one, one, other], [1.2 * one, 1.2 * one, 1.1 * other]])
    line = LineLeg((1200.0, 2400.0, 4800.0), _waits())
    given: dict[str, object] = {
        "walking_s": models,
        "model_weight": np.array([0.7, 0.3]),
        "line_legs": (None, None, line, None, None, replace(line, wait=Wait(600.0, 2400.0)), None, None),
        "stop_s": np.array([0.0, 600.0, 900.0, 0.0, 1800.0, 300.0, 1200.0, 300.0, 0.0]),
        "off_line": 6,
        "size": 4,
        "walker_sigma": np.array([0.10, 0.10, 0.14]),
        "leg_sigma": 0.25,
        "tiring_after_s": 2 * H,
        "tiring_per_hour": 0.08,
        "rest_s_per_hour": 400.0,
        "dark_spans_clock_s": np.array([[-4 * H, 5 * H], [20 * H, 29 * H]]),
        "dark_factor": 1.6,
        "rock": _rock(),
        "leg_memory": 0.8,
    }
    return Itinerary(**(given | changes))  # type: ignore[arg-type]


@dataclass(frozen=True)
class Case:
    way: Itinerary
    limits: DayLimits
    start_clock_s: float
    rules: tuple[TurnRule, ...] = ()


PUSH = Case(_way(), DayLimits(0.9, True, 14 * H, 20.5 * H, 19 * H), 2.5 * H)
NIGHT = Case(_way(night=Night(CAMP, 6 * H)), DayLimits(0.9, True, 14 * H, None, 19 * H, camp_clock_s=-4 * H), -8 * H)
WHOLE = {"one push": PUSH, "a night out": NIGHT}
TURNING = {
    "one push, with rules": replace(
        PUSH, rules=(TurnRule(CAMP, 7.5 * H), TurnRule(FOOT, 9.3 * H), TurnRule(HEAD, 10.3 * H))
    ),
    "a night out, with rules": replace(NIGHT, rules=(TurnRule(CAMP, -3.5 * H), TurnRule(HEAD, 9 * H))),
}
CASES = WHOLE | TURNING


def _storm() -> StormHazard:
    """More in the afternoon than in the morning, and some in the night and the evening before."""
    clock_h, rate_h = [-24.0, 0.0, 7.0, 9.0, 14.0, 18.0, 72.0], [0.04, 0.02, 0.06, 0.20, 0.10, 0.03]
    return StormHazard(np.array(clock_h) * H, np.concatenate([[0.0], np.cumsum(rate_h * np.diff(clock_h))]))


STORM = _storm()


@cache
def _lived(name: str) -> list[LivedDay]:
    case = CASES[name]
    return lived_days(case.way, case.limits, STORM, case.start_clock_s, LIVED, seed=5, rules=case.rules)


@cache
def _ours(name: str) -> tuple[Days, Mapping[str, np.ndarray], WithRules]:
    case = CASES[name]
    draws = draw_days(case.way, OURS, seed=6)
    days = walk(case.way, draws, np.array([case.start_clock_s]))
    kept = kept_share(case.limits, case.way, days, STORM)
    return days, kept, with_rules(case.limits, case.way, draws, days, STORM, case.rules)


def _near(ours: float, lived: float, says: str) -> None:
    """Two shares of independent days, within four standard errors."""
    middle = 0.5 * (ours + lived)
    error = math.sqrt(max(middle * (1.0 - middle), 1.0 / LIVED) * (1.0 / LIVED + 1.0 / OURS))
    assert ours == pytest.approx(lived, abs=4.0 * error), says


def _same_clocks(ours_s: np.ndarray, lived_s: list[float], says: str) -> None:
    for share in (0.1, 0.25, 0.5, 0.75, 0.9):
        _near(float((ours_s <= np.quantile(lived_s, share)).mean()), share, f"{says} at {share}")


@pytest.mark.parametrize("name", WHOLE)
def test_every_arrival(name: str) -> None:
    days, _, _ = _ours(name)
    for passing in range(1, LEGS + 1):
        _same_clocks(days.arrive_clock_s[passing], [day.came_s[passing] for day in _lived(name)], f"passing {passing}")


@pytest.mark.parametrize("name", WHOLE)
def test_how_long_every_leg_takes(name: str) -> None:
    """Memory, tiring and the night between legs: what a leg takes, and what two neighbours take together."""
    days, _, _ = _ours(name)
    for first in range(LEGS):
        for last in (first + 1, first + 2):
            if last <= LEGS:
                ours_s = days.arrive_clock_s[last] - days.arrive_clock_s[first]
                lived_s = [day.came_s[last] - day.came_s[first] for day in _lived(name)]
                _same_clocks(ours_s, lived_s, f"from {first} to {last}")


@pytest.mark.parametrize("name", WHOLE)
def test_every_limit_storms_counted_by_events(name: str) -> None:
    _, kept, _ = _ours(name)
    lived = _lived(name)
    assert list(kept) == [*lived[0].kept, "all"]
    for key in lived[0].kept:
        share = float(kept[key].mean())
        assert 0.02 < share < 0.98
        _near(share, float(np.mean([day.kept[key] for day in lived])), key)
    _near(float(kept["all"].mean()), float(np.mean([day.all_kept for day in lived])), "all")


@pytest.mark.parametrize("name", TURNING)
def test_who_turns_back_and_what_it_keeps(name: str) -> None:
    (_, kept, found), lived = _ours(name), _lived(name)
    for number, share in enumerate(found.turned):
        assert share > 0.03
        _near(share, float(np.mean([day.turned_by == number for day in lived])), f"rule {number}")
    _near(found.top, float(np.mean([day.turned_by is None for day in lived])), "top")
    for key in lived[0].kept:
        _near(found.kept[key], float(np.mean([day.kept[key] for day in lived])), key)
        assert found.kept[key] >= kept[key].mean()
    _near(found.kept["all"], float(np.mean([day.all_kept for day in lived])), "all")
    _near(found.kept_at_top, float(np.mean([day.all_kept and day.turned_by is None for day in lived])), "all, at top")
    _same_clocks(found.home_clock_s, [day.home_s for day in lived], "home")


def test_a_rule_at_the_top_turns_nobody() -> None:
    """All turn there: the day is the same, and so is everything it keeps."""
    draws = draw_days(PUSH.way, 500, seed=1)
    days = walk(PUSH.way, draws, np.array([PUSH.start_clock_s]))
    late = with_rules(PUSH.limits, PUSH.way, draws, days, STORM, [TurnRule(LEGS // 2, 9 * H)])
    none = with_rules(PUSH.limits, PUSH.way, draws, days, STORM, [])
    assert (late.turned, late.top, late.kept_at_top) == ((0.0,), 1.0, none.kept_at_top)
    assert late.kept == none.kept


@pytest.mark.parametrize(("hour", "share"), [(0.0, 0.0), (90.0, 1.0)])
def test_what_nobody_and_everybody_keeps(hour: float, share: float) -> None:
    """Limits before the start, or days after it; a storm that has begun for sure, or never does: exactly 0 and 1."""
    by_s = hour * H
    limits = DayLimits(0.9, False, by_s, by_s, by_s)
    way = PUSH.way
    days = walk(way, draw_days(way, 200, seed=2), np.array([PUSH.start_clock_s]))
    lived = lived_days(way, replace(limits, off_line_before_storm=True), storm_hazard(0.0), PUSH.start_clock_s, 20, 1)
    for storm in (storm_hazard(0.0), StormHazard(np.array([0.0, 5 * H]), np.array([0.0, 1e6]))):
        kept = kept_share(replace(limits, off_line_before_storm=True), way, days, storm)
        assert (kept["off_line_before_storm"] == float(storm.hazard[-1] == 0.0)).all()
    for key in ("off_line_by", "home_before_dark", "home_by"):
        assert (kept_share(limits, way, days, storm)[key] == share).all()
        assert {day.kept[key] for day in lived} == {bool(share)}
    assert all(day.kept["off_line_before_storm"] for day in lived)
