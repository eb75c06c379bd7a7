"""What fails first: against storms drawn day by day in a plain loop, by hand, and always adding up."""

from __future__ import annotations

import bisect
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.fails_first import fails_first
from handline.day.limits import DayLimits, kept_share
from handline.day.setting import Setting, set_up
from handline.day.simulation import Days, draw_days, walk
from handline.weather.storms import StormHazard
from tests.day.trips import typed_trip

H = 3600.0
LIMITS = 'home_by = "15:00"\noff_line_by = "11:30"'


@cache
def _trip(days: int = 20_000) -> tuple[Setting, Days]:
    setting = set_up(typed_trip(limits=LIMITS, weather='storm_chance = "80 %"'))
    setting = replace(setting, limits=replace(setting.limits, dark_clock_s=14.5 * H))
    draws = draw_days(setting.itinerary, days, 4)
    return setting, walk(setting.itinerary, draws, np.array([7.5 * H]))


def _by_drawing(setting: Setting, days: Days) -> dict[str, np.ndarray]:
    """Each day its own storm, each failure with its time, the earliest counted on the leg of its moment."""
    limits, legs = setting.limits, setting.itinerary.legs
    found = {key: np.zeros(legs) for key in ("off_line_before_storm", "off_line_by", "home_before_dark", "home_by")}
    uniform = 1.0 - np.random.default_rng(8).random(days.arrive_clock_s[-1].size)
    target = setting.storm.cumulative(7.5 * H) - np.log(uniform)
    onset = np.interp(target, setting.storm.hazard, setting.storm.clock_s, right=np.inf)
    for day, storm_s in enumerate(onset):
        arrive = [float(np.broadcast_to(values, onset.shape)[day]) for values in days.arrive_clock_s]
        off, home = arrive[setting.itinerary.off_line], arrive[-1]
        fails = [(storm_s, "off_line_before_storm")] if storm_s < off else []
        fails += [(limits.off_line_by_clock_s, "off_line_by")] if off > limits.off_line_by_clock_s else []
        fails += [(limits.dark_clock_s, "home_before_dark")] if home > limits.dark_clock_s else []
        fails += [(limits.home_by_clock_s, "home_by")] if home > limits.home_by_clock_s else []
        if fails:
            clock, key = min(fails)
            found[key][bisect.bisect_right(arrive, clock) - 1] += 1.0 / onset.size
    return found


def test_against_storms_drawn_day_by_day() -> None:
    setting, days = _trip()
    exact = fails_first(setting.limits, setting.itinerary, days, setting.storm)
    drawn = _by_drawing(setting, days)
    assert set(exact.by_leg) == set(drawn)
    for key, legs in drawn.items():
        assert exact.by_leg[key] == pytest.approx(legs, abs=4.0 * np.sqrt(0.25 / 20_000))
    assert sum(share > 0.01 for legs in exact.by_leg.values() for share in legs) >= 5
    assert exact.by_limit["home_by"] == 0.0  # the twilight's end comes first, on every day that misses both


def test_all_shares_add_up_to_the_chance_of_failing() -> None:
    setting, days = _trip()
    exact = fails_first(setting.limits, setting.itinerary, days, setting.storm)
    kept = float(kept_share(setting.limits, setting.itinerary, days, setting.storm)["all"].mean())
    assert sum(float(legs.sum()) for legs in exact.by_leg.values()) == pytest.approx(exact.any_share)
    assert exact.kept_share == pytest.approx(kept, abs=1e-12)
    assert list(exact.by_limit.values()) == sorted(exact.by_limit.values(), reverse=True)


def _by_hand(limits: DayLimits, storm: StormHazard) -> dict[str, list[float]]:
    """Two days over six legs: home at 12:00 and 14:00, off the line (passing 5) at 11:00 and 13:00."""
    setting, _ = _trip(200)
    arrive = [[6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0], [6.0, 8.0, 9.0, 10.0, 12.0, 13.0, 14.0]]
    days = Days(tuple(np.array(arrive).T * H), ())
    found = fails_first(limits, setting.itinerary, days, storm)
    assert setting.itinerary.off_line == 5
    return {key: legs.tolist() for key, legs in found.by_leg.items()}


CALM = StormHazard(np.array([0.0, 48 * H]), np.zeros(2))
# One in the hour from 10:30 to 11:30 with 1 - exp(-1).
AT_NOON = StormHazard(np.array([0.0, 10.5 * H, 11.5 * H]), np.array([0.0, 0.0, 1.0]))


def test_by_hand_on_the_clock() -> None:
    """Off the line by 11:30: the second day is on leg 3 then. Home by 13:00: the second day again, but later."""
    found = _by_hand(DayLimits(0.9, False, 11.5 * H, None, 13.0 * H), CALM)
    assert found == {"off_line_by": [0, 0, 0, 0.5, 0, 0], "home_by": [0] * 6}
    assert _by_hand(DayLimits(0.9, False, None, None, 13.0 * H), CALM) == {"home_by": [0, 0, 0, 0, 0, 0.5]}


def test_by_hand_with_a_storm() -> None:
    """The first day is off at 11:00, half the hazard; the second misses 11:15 on the line, three quarters of it."""
    found = _by_hand(DayLimits(0.9, True, 11.25 * H, None, None), AT_NOON)
    first, second = 1.0 - np.exp(-0.5), 1.0 - np.exp(-0.75)
    assert found["off_line_before_storm"] == pytest.approx([0, 0, 0, second / 2, first / 2, 0])
    assert found["off_line_by"] == pytest.approx([0, 0, 0, (1.0 - second) / 2, 0, 0])


def test_after_the_line_a_storm_takes_nothing_from_the_clock() -> None:
    late = StormHazard(np.array([0.0, 13.2 * H, 14.0 * H]), np.array([0.0, 0.0, 5.0]))
    found = _by_hand(DayLimits(0.9, True, None, None, 13.5 * H), late)
    assert found == {"off_line_before_storm": [0] * 6, "home_by": [0, 0, 0, 0, 0, 0.5]}


@pytest.mark.parametrize("over", [5.0 * H, -np.inf])
def test_a_time_over_before_the_start_fails_on_the_first_leg(over: float) -> None:
    found = _by_hand(DayLimits(0.9, True, None, over, 13.0 * H), AT_NOON)
    assert found["home_before_dark"] == [1.0, 0, 0, 0, 0, 0]
    assert found["off_line_before_storm"] == [0] * 6
    assert found["home_by"] == [0] * 6


def test_of_two_at_one_moment_the_first_of_the_day_counts() -> None:
    found = _by_hand(DayLimits(0.9, False, 11.5 * H, 11.5 * H, 11.5 * H), CALM)
    assert found["off_line_by"] == [0, 0, 0, 0.5, 0, 0]
    assert found["home_before_dark"] == [0, 0, 0, 0, 0, 0.5]
    assert found["home_by"] == [0] * 6


def test_nothing_wanted_nothing_failed() -> None:
    found = _by_hand(DayLimits(0.9, False, None, None, None), AT_NOON)
    assert found == {}


def test_errors_shrink_with_the_days() -> None:
    setting, days = _trip()
    exact = fails_first(setting.limits, setting.itinerary, days, setting.storm)
    few = Days(tuple(values[:5000] for values in days.arrive_clock_s), ())
    less = fails_first(setting.limits, setting.itinerary, few, setting.storm)
    for key in ("off_line_before_storm", "off_line_by", "home_before_dark"):
        assert less.error[key] == pytest.approx(2.0 * exact.error[key], rel=0.1)
        assert less.by_limit[key] == pytest.approx(exact.by_limit[key], abs=4.0 * less.error[key])


CLOCKS = st.one_of(st.none(), st.floats(5.0, 20.0).map(lambda hour: hour * H))


@settings(deadline=None, max_examples=60)
@given(st.booleans(), CLOCKS, CLOCKS, CLOCKS, st.floats(0.0, 5.0))
def test_it_always_adds_up(
    storms: bool, off: float | None, dark: float | None, home: float | None, times: float
) -> None:
    setting, days = _trip(500)
    limits = DayLimits(0.9, storms, off, dark, home)
    storm = StormHazard(setting.storm.clock_s, setting.storm.hazard * times)
    found = fails_first(limits, setting.itinerary, days, storm)
    kept = float(kept_share(limits, setting.itinerary, days, storm)["all"].mean())
    assert found.kept_share == pytest.approx(kept, abs=1e-12)
    assert all((legs >= -1e-15).all() for legs in found.by_leg.values())


def test_who_arrives_on_the_minute_has_kept_it() -> None:
    assert _by_hand(DayLimits(0.9, False, 13.0 * H, None, 14.0 * H), CALM) == {
        "off_line_by": [0] * 6,
        "home_by": [0] * 6,
    }
    missed = _by_hand(DayLimits(0.9, False, None, None, 14.0 * H - 1.0), CALM)
    assert missed["home_by"] == [0, 0, 0, 0, 0, 0.5]
