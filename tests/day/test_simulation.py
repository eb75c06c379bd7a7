"""Simulated days against closed forms and against a plain loop that follows the same rules one day at a time."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from handline.day.line_wait import WaitByClock
from handline.day.setting import set_up
from handline.day.simulation import Draws, Itinerary, LineLeg, Night, RockClock, Wait, dark_between_s, draw_days, walk
from tests.day.trips import STEADY, typed_trip
from tests.referees.plain_day import plain_day


def for_all(size: int, walking_s: list[list[float]]) -> np.ndarray:
    """The same walking times for everybody, (models, members, legs)."""
    return np.repeat(np.array(walking_s)[:, None, :], size, axis=1)


def _itinerary(**changes: object) -> Itinerary:
    given: dict[str, object] = {
        "walking_s": for_all(4, [[3600.0, 0.0, 1800.0], [5400.0, 0.0, 2700.0]]),
        "model_weight": np.array([0.25, 0.75]),
        "line_legs": (None, LineLeg((1200.0,), Wait(600.0, 1500.0)), None),
        "stop_s": np.array([0.0, 300.0, 120.0, 0.0]),
        "off_line": 2,
        "size": 4,
        "walker_sigma": np.full(4, 0.12),
        "leg_sigma": 0.08,
        "tiring_after_s": 6 * 3600.0,
        "tiring_per_hour": 0.0,
        "rest_s_per_hour": 300.0,
        "dark_spans_clock_s": np.array([[-7200.0, 19000.0], [79000.0, 105000.0]]),
        "dark_factor": 1.25,
    }
    return Itinerary(**(given | changes))  # type: ignore[arg-type]


def _by_clock() -> WaitByClock:
    """Six half hours from 03:30 on, in the dark and by light; four pairs each, none in the first and the last."""
    wait_s = 60.0 * np.array([[0, 0, 0, 0], [1, 3, 9, 20], [5, 20, 40, 90], [2, 8, 30, 60], [0, 0, 5, 9], [0, 0, 0, 0]])
    return WaitByClock(1800.0 * np.arange(7.0, 14.0), wait_s, 0.5 * wait_s)


def _plain(itinerary: Itinerary, draws: Draws, day: int, start: float, first: int = 0) -> list[float]:
    movement, wait = list(draws.movement_s[:, day]), list(draws.wait_normal[:, day])
    return plain_day(itinerary, movement, wait, start, int(draws.member[day]), first)


WAITS = {"log-normal": Wait(600.0, 1500.0), "none": Wait(0.0, 0.0), "by the clock": _by_clock()}


@pytest.mark.parametrize("wait", WAITS)
@pytest.mark.parametrize("night", [None, Night(1, 5 * 3600.0)])
def test_against_a_plain_loop(wait: str, night: Night | None) -> None:
    """Leaving in the dark, arriving in it, and a camp reached after the start in the morning too."""
    itinerary = _itinerary(line_legs=(None, LineLeg((1200.0,), WAITS[wait]), None), night=night)
    draws = draw_days(itinerary, 300, seed=3)
    for start in (-14 * 3600.0, 2.4 * 3600.0, 3.4 * 3600.0, 14 * 3600.0, 20.5 * 3600.0):
        days = walk(itinerary, draws, np.array([start]))
        for day in range(0, 300, 7):
            assert [arrive[day] for arrive in days.arrive_clock_s] == pytest.approx(
                _plain(itinerary, draws, day, start), abs=1e-6
            )


def _changing_rock() -> Itinerary:
    """Three courses of rock over twelve hours from 06:00: always dry, wet till noon, iced then damp then dry."""
    state = np.array([[0] * 12, [2] * 6 + [0] * 6, [3] * 4 + [1] * 4 + [0] * 4], np.int8)
    leg = LineLeg((1200.0, 1500.0, 2400.0, 6000.0), Wait(3600.0, 9000.0))
    return _itinerary(line_legs=(None, leg, None), rock=RockClock(6 * 3600.0, state))


def test_on_changing_rock_against_a_plain_loop() -> None:
    itinerary = _changing_rock()
    draws = draw_days(itinerary, 300, seed=3)
    assert set(np.unique(draws.member)) == {0, 1, 2}
    for start in (2 * 3600.0, 6 * 3600.0, 9.4 * 3600.0, 22 * 3600.0):
        days = walk(itinerary, draws, np.array([start]))
        for day in range(0, 300, 7):
            assert [arrive[day] for arrive in days.arrive_clock_s] == pytest.approx(
                _plain(itinerary, draws, day, start), abs=1e-6
            )


def test_the_rock_of_the_hour_in_which_the_wait_ends_counts() -> None:
    """By hand: at the foot at 07:05, tied on at once; the first course is dry, 1200 s, the third iced, 6000 s."""
    itinerary = _changing_rock()
    draws = draw_days(itinerary, 300, seed=3)
    assert itinerary.line_legs[1] is not None
    at_once = replace(itinerary, line_legs=(None, replace(itinerary.line_legs[1], wait=Wait(0.0, 0.0)), None))
    still = replace(draws, movement_s=np.ones_like(draws.movement_s))
    days = walk(at_once, still, np.array([7 * 3600.0]), first=1)
    took_s = days.arrive_clock_s[1] - days.leave_clock_s[0]
    assert sorted(set(took_s.round(6))) == [1200.0, 2400.0, 6000.0]
    assert (took_s[draws.member == 2] == 6000.0).all()


def test_weather_moves_no_other_draw() -> None:
    still, moving = draw_days(_itinerary(), 50, 1), draw_days(_changing_rock(), 50, 1)
    assert np.array_equal(still.movement_s, moving.movement_s)
    assert np.array_equal(still.wait_normal, moving.wait_normal)


def test_a_day_without_chance_is_arithmetic() -> None:
    itinerary = _itinerary(
        model_weight=np.array([1.0, 0.0]),
        walker_sigma=np.zeros(4),
        leg_sigma=0.0,
        dark_spans_clock_s=np.empty((0, 2)),
        line_legs=(None, LineLeg((1200.0,), Wait(0.0, 0.0)), None),
    )
    still = draw_days(itinerary, 5, seed=1)
    still.movement_s[1] = 1.0
    days = walk(itinerary, still, np.array([0.0]))
    # By hand: 3600 x 13/12 = 3900; + stop 300 + passage 1200; + stop 120 + 1800 x 13/12 = 1950.
    assert [arrive[0] for arrive in days.arrive_clock_s] == pytest.approx([0.0, 3900.0, 5400.0, 7470.0])


def test_models_are_drawn_by_their_weight() -> None:
    itinerary = _itinerary(walker_sigma=np.zeros(4), leg_sigma=0.0, rest_s_per_hour=0.0)
    movement = draw_days(itinerary, 20_000, seed=5).movement_s[0]
    assert set(np.unique(movement)) == {3600.0, 5400.0}
    # Three standard errors of a share of 0.75 over 20,000 draws.
    assert (movement == 5400.0).mean() == pytest.approx(0.75, abs=3 * math.sqrt(0.75 * 0.25 / 20_000))


def test_the_party_walks_at_its_slowest() -> None:
    """The largest of n normals: E is 1/sqrt(pi) for n = 2 and 1.5/sqrt(pi) for n = 3 (order statistics)."""
    for size, mean in ((1, 0.0), (2, 1 / math.sqrt(math.pi)), (3, 1.5 / math.sqrt(math.pi))):
        itinerary = _itinerary(
            walking_s=for_all(size, [[3600.0, 0.0, 0.0]]),
            model_weight=np.ones(1),
            walker_sigma=np.full(size, 0.12),
            leg_sigma=0.0,
            rest_s_per_hour=0.0,
        )
        logs = np.log(draw_days(itinerary, 40_000, seed=2).movement_s[0] / 3600.0)
        assert logs.mean() == pytest.approx(0.12 * mean, abs=4 * 0.12 / math.sqrt(40_000))


def test_the_line_is_passed_at_the_pace_of_the_slowest() -> None:
    itinerary = _itinerary(
        walking_s=for_all(3, [[3600.0, 0.0, 1800.0], [5400.0, 0.0, 2700.0]]), size=3, walker_sigma=np.full(3, 0.12)
    )
    logs = np.log(draw_days(itinerary, 40_000, seed=6).movement_s[1])
    assert logs.mean() == pytest.approx(0.20 * 1.5 / math.sqrt(math.pi), abs=4 * 0.20 / math.sqrt(40_000))


def _even_legs(legs: int, **changes: object) -> Itinerary:
    """Legs of ten minutes by one model, without stops, rests or dark."""
    given: dict[str, object] = {
        "walking_s": np.full((1, 4, legs), 600.0),
        "model_weight": np.ones(1),
        "line_legs": (None,) * legs,
        "stop_s": np.zeros(legs + 1),
        "walker_sigma": np.zeros(4),
        "rest_s_per_hour": 0.0,
        "dark_spans_clock_s": np.empty((0, 2)),
    }
    return _itinerary(**(given | changes))


def test_leg_noise_adds_in_quadrature() -> None:
    """Many even legs with independent noise: the spread of their sum is the normal limit sigma / sqrt(n)."""
    legs = 64
    total = draw_days(_even_legs(legs), 20_000, seed=4).movement_s.sum(axis=0)
    one_leg = math.sqrt(math.exp(0.08**2) * (math.exp(0.08**2) - 1.0))
    assert total.std() / (600.0 * legs) == pytest.approx(one_leg / math.sqrt(legs), rel=0.03)


def _remembered_variance(runs: list[int], memory: float) -> float:
    """Of the sum of standard normals in runs that remember, each run forgetting the one before: n + 2 sum (n-k) r^k."""
    return sum(n + 2.0 * sum((n - k) * memory**k for k in range(1, n)) for n in runs)


@pytest.mark.parametrize("memory", [0.0, 0.5, 0.95])
@pytest.mark.parametrize(
    ("line", "night", "runs"),
    [((), None, [12]), ((5, 8), None, [10]), ((5, 8), 3, [3, 7]), ((), 11, [11, 1]), ((4,), 4, [4, 7])],
)
def test_what_legs_remember_has_a_closed_form(
    memory: float, line: tuple[int, ...], night: int | None, runs: list[int]
) -> None:
    """The sum of n legs with correlation r^k at k legs apart: over the line it is kept, in a night it is lost.

    Every leg alone keeps its spread. Four standard errors of a variance, sqrt(2 / days) of it.
    """
    legs, days = 12, 20_000
    itinerary = _even_legs(
        legs,
        line_legs=tuple(LineLeg((600.0,), Wait(0.0, 0.0)) if j in line else None for j in range(legs)),
        leg_memory=memory,
        night=None if night is None else Night(night, 0.0),
    )
    walked = [j for j in range(legs) if j not in line]
    noise = np.log(draw_days(itinerary, days, seed=7).movement_s[walked] / 600.0) / 0.08
    error = 4.0 * math.sqrt(2.0 / days)
    assert noise.var(axis=1) == pytest.approx(np.ones(len(walked)), rel=error)
    assert noise.sum(axis=0).var() == pytest.approx(_remembered_variance(runs, memory), rel=error)


def test_waits_have_the_typed_median_and_long_tail() -> None:
    itinerary = _itinerary()
    days = walk(itinerary, draw_days(itinerary, 40_000, seed=9), np.zeros(1), first=1)
    wait = days.leave_clock_s[0] - days.arrive_clock_s[0] - 300.0
    assert np.median(wait) == pytest.approx(600.0, rel=0.02)
    assert np.quantile(wait, 0.9) == pytest.approx(1500.0, rel=0.03)


def test_same_seed_same_draws_other_seed_others() -> None:
    one, same, other = (draw_days(_itinerary(), 50, seed) for seed in (1, 1, 2))
    assert np.array_equal(one.movement_s, same.movement_s)
    assert np.array_equal(one.wait_normal, same.wait_normal)
    assert not np.array_equal(one.movement_s, other.movement_s)


def test_a_crowd_does_not_change_the_pace_drawn() -> None:
    busy = _itinerary(line_legs=(None, LineLeg((1200.0,), Wait(3600.0, 7200.0)), None))
    assert np.array_equal(draw_days(busy, 50, 1).movement_s, draw_days(_itinerary(), 50, 1).movement_s)


def test_dark_minutes() -> None:
    spans = np.array([[0.0, 100.0], [200.0, 300.0]])
    assert dark_between_s(np.array([50.0]), np.array([250.0]), spans).tolist() == [100.0]
    assert dark_between_s(np.array([110.0]), np.array([190.0]), spans).tolist() == [0.0]


def test_starting_later_never_arrives_earlier() -> None:
    itinerary, draws = _itinerary(), draw_days(_itinerary(), 200, seed=8)
    starts = np.arange(0.0, 36 * 3600.0, 1800.0)
    days = walk(itinerary, draws, starts[:, None])
    assert (np.diff(days.arrive_clock_s, axis=1) >= 0.0).all()


def test_a_typed_trip_by_hand() -> None:
    """DIN 33466 on typed legs, no spread, no dark: 6 km and 600 m up is 1.5 h and 2 h, so 2 h 45 min."""
    setting = set_up(typed_trip(party=STEADY, route='pace_model = "din_33466"', wait="0 min"))
    days = walk(setting.itinerary, draw_days(setting.itinerary, 10, 1), np.array([6 * 3600.0]))
    assert days.arrive_clock_s[1] == pytest.approx(np.full(10, 8.75 * 3600.0))


def test_whoever_is_slowest_on_a_leg_sets_its_pace() -> None:
    """Two people without spread, each slower on one leg: the party takes the longer time of each, and says whose."""
    itinerary = _itinerary(
        walking_s=np.array([[[3600.0, 0.0, 1800.0], [3000.0, 0.0, 2400.0]]]),
        model_weight=np.ones(1),
        walker_sigma=np.zeros(2),
        leg_sigma=0.0,
        rest_s_per_hour=0.0,
    )
    draws = draw_days(itinerary, 4, 1)
    assert draws.movement_s[[0, 2]].tolist() == [[3600.0] * 4, [2400.0] * 4]
    assert draws.slowest[[0, 2]].tolist() == [[0] * 4, [1] * 4]
    assert itinerary.alike() == ((0,), (1,))


def test_people_whom_no_number_tells_apart_are_one_group() -> None:
    twice = np.array([[[10.0, 0.0, 5.0], [12.0, 0.0, 5.0], [10.0, 0.0, 5.0]]])
    itinerary = _itinerary(walking_s=twice, model_weight=np.ones(1), walker_sigma=np.array([0.1, 0.1, 0.1]))
    assert itinerary.alike() == ((0, 2), (1,))


def test_the_share_of_waiting_for_one_person_has_a_closed_form() -> None:
    """Of two people with log-normal days, the second slower by d: it is slowest with Phi(d / (sigma sqrt 2))."""
    d = 0.1
    itinerary = _itinerary(
        walking_s=np.array([[[3600.0, 0.0, 0.0], [3600.0 * math.exp(d), 0.0, 0.0]]]),
        model_weight=np.ones(1),
        walker_sigma=np.full(2, 0.12),
    )
    share = (draw_days(itinerary, 40_000, 3).slowest[0] == 1).mean()
    expected = NormalDist().cdf(d / (0.12 * math.sqrt(2.0)))
    assert share == pytest.approx(expected, abs=4 * math.sqrt(expected * (1 - expected) / 40_000))


def test_tiring_counts_walking_alone_and_makes_later_legs_longer() -> None:
    """By hand: 2 h fresh; the second leg's 2 h lie 0 to 2 h past that, so they grow by 0.1/2 x 2^2 = 0.2 h."""
    itinerary = _itinerary(
        walking_s=np.array([[[7200.0, 0.0, 7200.0]]]),
        model_weight=np.ones(1),
        walker_sigma=np.zeros(1),
        leg_sigma=0.0,
        rest_s_per_hour=0.0,
        tiring_after_s=7200.0,
        tiring_per_hour=0.1,
    )
    movement = draw_days(itinerary, 2, 1).movement_s
    assert movement[[0, 2], 0].tolist() == pytest.approx([7200.0, 7200.0 + 720.0])
