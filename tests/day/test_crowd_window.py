"""When to be at the line: read off the waits the days are simulated with, and the best hour by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from handline.day.crowd_coming import HourToCome
from handline.day.crowd_window import cost_quantiles_s, plan_crowd
from handline.day.line_joining import joins_line
from handline.day.line_wait import LineWait, Wait, WaitByClock
from handline.day.load_hours import middle_day
from handline.day.plan_crowd import CrowdPlan
from handline.day.setting import set_up
from handline.day.subjects import Setting
from tests.day.trips import typed_trip

HOUR_S, MINUTE_S = 3600.0, 60.0
# The limits are met whenever one is there, and never.
EVER, NEVER = (math.inf,) * 20, (math.nan,) * 20


@lru_cache(maxsize=1)
def known() -> Setting:
    return set_up(typed_trip(days=500, crowd="people_per_day = 40"))


def table(minutes: dict[float, float], before: float = 0.0) -> WaitByClock:
    """Half hours from 04:00 to 22:00; from each hour named on, all ranks wait so long, and half as long are held."""
    edges_s = HOUR_S * np.arange(4.0, 22.5, 0.5)
    wait_s = np.full((edges_s.size - 1, 4), before * MINUTE_S)
    for hour, minute in sorted(minutes.items()):
        wait_s[edges_s[:-1] >= hour * HOUR_S] = minute * MINUTE_S
    return WaitByClock(edges_s, wait_s, 0.5 * wait_s)


def with_waits(up: LineWait, down: LineWait, waits_from: str = "crowd") -> Setting:
    setting = known()
    waits = {"up": up, "down": down}
    points = setting.route.points
    line_legs = tuple(
        None if line_leg is None else replace(line_leg, wait=waits[points[leg.end].way])
        for leg, line_leg in zip(setting.route.legs, setting.itinerary.line_legs, strict=True)
    )
    return replace(setting, itinerary=replace(setting.itinerary, line_legs=line_legs), waits_from=waits_from)


def crowd_of(up: LineWait, down: LineWait, latest: tuple[float, ...] = EVER) -> CrowdPlan:
    return plan_crowd(with_waits(up, down), latest)


def test_typed_waits_are_the_same_at_every_hour() -> None:
    plan = plan_crowd(with_waits(Wait(300.0, 1200.0), Wait(0.0, 0.0), "typed"), EVER)
    assert [(way.half_s, way.long_s) for way in plan.ways] == [pytest.approx((300.0, 1200.0)), (0.0, 0.0)]
    assert [way.hours for way in plan.ways] == [(), ()]
    assert (plan.best, plan.people, plan.source) == (None, None, "")
    assert plan.says == "As typed in the trip file: the same at every hour."


def test_a_guess_says_so_with_its_source() -> None:
    plan = plan_crowd(with_waits(Wait(900.0, 2700.0), Wait(900.0, 2700.0), "guessed"), EVER)
    assert plan.says.startswith("Guessed: nothing in the trip file says how many people come.")
    assert "no source" in plan.source


def test_the_partys_own_cost_is_that_of_its_half_hour_on_its_middle_day() -> None:
    setting = with_waits(table({}, before=4.0), table({}, before=8.0))
    plan = plan_crowd(setting, EVER)
    joins = list(joins_line(setting))
    assert [way.join_clock_s for way in plan.ways] == [one.clock_s for one in joins]
    assert [way.place for way in plan.ways] == ["Foot", "Head"]
    # Waiting and being held up, half as long again, together.
    assert [way.long_s for way in plan.ways] == pytest.approx([6.0 * MINUTE_S, 12.0 * MINUTE_S])
    assert plan.says.startswith("From simulated days with 40 people on the line (as typed in the trip file)")
    assert plan.people == 40


def test_quantiles_are_of_waiting_and_being_held_together() -> None:
    """Pairs belong to one day each: by hand, half of ten days lose 6 min or less, nine of ten 10 min."""
    edges_s = np.array([0.0, 1800.0, 3600.0])
    wait_s = np.vstack((np.zeros(10), MINUTE_S * np.arange(1.0, 11.0)))
    wait = WaitByClock(edges_s, wait_s, np.vstack((np.zeros(10), np.zeros(10))))
    assert cost_quantiles_s(wait, 1800.0) == (6.0 * MINUTE_S, 10.0 * MINUTE_S)
    assert cost_quantiles_s(wait, 1799.0) == (0.0, 0.0)
    assert cost_quantiles_s(wait, 1e6) == (6.0 * MINUTE_S, 10.0 * MINUTE_S), "after the last half hour it counts"
    held = WaitByClock(edges_s, wait_s, 2.0 * wait_s)
    assert cost_quantiles_s(held, 1800.0) == (18.0 * MINUTE_S, 30.0 * MINUTE_S)


def test_every_half_hour_is_told() -> None:
    plan = crowd_of(table({9.0: 10.0, 10.0: 20.0}), table({}))
    hours = {cost.from_clock_s / HOUR_S: cost.long_s / MINUTE_S for cost in plan.ways[0].hours}
    assert len(hours) == 36
    assert (hours[8.5], hours[9.0], hours[9.5], hours[10.0]) == pytest.approx((0.0, 15.0, 15.0, 30.0))


def test_one_bin_is_no_table() -> None:
    nobody = WaitByClock(np.array([0.0, 1800.0]), np.zeros((1, 4)), np.zeros((1, 4)))
    plan = crowd_of(nobody, nobody)
    assert [way.hours for way in plan.ways] == [(), ()]
    assert plan.best is None


def test_the_best_hour_is_the_cheapest_in_the_light_and_the_nearest_of_those_alike() -> None:
    """Nothing before 07:00, 20 min after: the last whole hour before it, for both ways together."""
    own_s = next(joins_line(known())).clock_s
    assert own_s > 8.0 * HOUR_S, "this example joins after the cheap hours"
    best = crowd_of(table({7.0: 20.0}), table({}, before=1.0)).best
    assert best is not None
    assert (best.from_clock_s, best.to_clock_s) == (6.0 * HOUR_S, 7.0 * HOUR_S)
    assert best.up_s == (0.0, 0.0)
    assert best.down_s == pytest.approx((1.5 * MINUTE_S, 1.5 * MINUTE_S))
    assert best.saves_s == pytest.approx(30.0 * MINUTE_S)
    assert best.earlier_s == pytest.approx(own_s - 7.0 * HOUR_S)


def test_what_the_way_down_costs_then_counts_too() -> None:
    """Cheap going up early, but then dear coming down: the hour that is least on both together."""
    up, down = list(joins_line(known()))
    between_h = (down.clock_s - up.clock_s) / HOUR_S
    way_up = table({6.5: 5.0})
    way_down = table({7.0 + between_h: 0.0}, before=60.0)
    best = crowd_of(way_up, way_down).best
    assert best is not None
    assert best.from_clock_s >= 7.0 * HOUR_S


def test_it_is_in_time_for_the_limits_with_the_stop_at_the_foot() -> None:
    """Everything is free after 14:00, but the latest time at the foot is 09:00: the nearest hour before that."""
    setting = known()
    up = next(joins_line(setting))
    stop_s = float(setting.itinerary.stop_s[up.passing])
    latest = tuple(9.0 * HOUR_S - stop_s if i == up.passing else math.inf for i in range(20))
    best = crowd_of(table({14.0: 0.0}, before=30.0), table({}), latest).best
    assert best is not None
    assert best.to_clock_s == 9.0 * HOUR_S


def test_no_hour_in_the_light_and_in_time_is_none() -> None:
    up = next(joins_line(known()))
    latest = tuple(3.0 * HOUR_S if i == up.passing else math.inf for i in range(20))
    assert crowd_of(table({9.0: 10.0}), table({}), latest).best is None


def latest_of(start_s: float, foot_s: float) -> tuple[float, ...]:
    """The latest start and the latest time at the foot; after it the limits are met whenever."""
    foot = next(joins_line(known())).passing
    return tuple({0: start_s, foot: foot_s}.get(i, math.inf) for i in range(20))


def test_without_a_time_at_the_foot_no_later_hour_is_the_best() -> None:
    """Free after 14:00 and dear before it, and from this start nothing is in time at the foot: no hour is named."""
    cheap_late = table({14.0: 0.0}, before=30.0)
    start_s = known().trip.morning_clock_s
    for latest in (NEVER, latest_of(start_s - 4.0 * HOUR_S, math.nan), latest_of(start_s + HOUR_S, math.nan)):
        assert crowd_of(cheap_late, table({}), latest).best is None
    assert crowd_of(cheap_late, table({}), latest_of(math.nan, 20.0 * HOUR_S)).best is None, "no start keeps the limits"
    late = crowd_of(cheap_late, table({})).best
    assert late is not None
    assert late.from_clock_s >= 14.0 * HOUR_S


def test_no_hour_is_later_than_the_latest_start_allows() -> None:
    """At the foot it is in time all day, if no storm has begun; but who starts past the latest start misses the limits.

    Half an hour of margin: the whole hours from the plan's own on are out, but for the plan's own.
    """
    setting = known()
    own_s, start_s = next(joins_line(setting)).clock_s, setting.trip.morning_clock_s
    latest = latest_of(start_s + 0.5 * HOUR_S, 20.0 * HOUR_S)
    best = crowd_of(table({14.0: 0.0}, before=30.0), table({}), latest).best
    assert best is not None
    assert best.from_clock_s <= own_s + 0.5 * HOUR_S - HOUR_S or best.earlier_s == 0.0


def test_an_earlier_hour_says_when_to_leave_and_what_is_then_dark() -> None:
    """Free until 07:00, and about three hours to the foot: leave in the night, and walk part of the way by lamp."""
    setting = with_waits(table({7.0: 20.0}), table({}))
    best = plan_crowd(setting, EVER).best
    assert isinstance(best, HourToCome)
    up = next(joins_line(setting))
    for leave_s, join_s in zip(best.leave_clock_s, (best.from_clock_s, best.to_clock_s), strict=True):
        day = middle_day(setting.itinerary, leave_s)
        ready_s = float(setting.itinerary.ready_clock_s(up.passing, day.arrive_clock_s[up.passing]))
        assert ready_s == pytest.approx(join_s, abs=30.0)
    dawn_s = setting.light.civil_dawn_clock_s
    assert best.leave_clock_s[0] < dawn_s < best.from_clock_s
    assert best.dark_s == pytest.approx(dawn_s - best.leave_clock_s[0], abs=60.0)
    assert best.dark_on == ()


def test_an_hour_after_which_a_long_wait_ends_in_the_dark_says_so() -> None:
    """Dear until 18:00, and three hours of coming back to it: on the way down it is dark."""
    best = crowd_of(table({19.5: 5.0}, before=300.0), table({})).best
    assert isinstance(best, HourToCome)
    assert best.from_clock_s >= 19.0 * HOUR_S
    assert best.dark_on == ("down",)
