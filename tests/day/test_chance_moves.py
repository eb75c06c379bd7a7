"""One thing moved at a time, and shares of the spread: against closed forms and plain recomputing."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.chance_moves import LengthSpread, Move, chance_moves, length_spread
from handline.day.drawn_parts import DrawnParts, draw_parts, put_together
from handline.day.limits import DayLimits, chance_from, kept_share
from handline.day.rock_setting import WET
from handline.day.setting import Setting, set_up
from handline.day.simulation import Itinerary, LineLeg, RockClock, Wait, walk
from tests.day.trips import typed_trip

H = 3600.0
START = 7.0 * H


@cache
def _trip(limits: str = 'home_by = "15:00"') -> tuple[Setting, DrawnParts]:
    setting = set_up(typed_trip(limits=limits, weather='storm_chance = "40 %"'))
    return setting, draw_parts(setting.itinerary, 2000, 1)


@cache
def _moves() -> dict[str, Move]:
    setting, parts = _trip()
    found = chance_moves(setting.limits, setting.itinerary, parts, setting.storm, START)
    assert [move.span for move in found] == sorted((move.span for move in found), reverse=True)
    return {move.key: move for move in found}


def _kept(itinerary: Itinerary, parts: DrawnParts, start_s: float = START) -> np.ndarray:
    setting, _ = _trip()
    days = walk(itinerary, put_together(itinerary, parts), np.array([start_s]))
    return kept_share(setting.limits, itinerary, days, setting.storm)["all"]


def test_everything_that_can_be_moved_is() -> None:
    assert set(_moves()) == {"pace", "start", "wait", "storm", "rock", "stops"}


def test_the_start() -> None:
    setting, parts = _trip()
    draws = put_together(setting.itinerary, parts)
    around = chance_from(
        setting.limits, setting.itinerary, draws, setting.storm, 0, np.array([START - 1800.0, START, START + 1800.0])
    )
    move = _moves()["start"]
    assert (move.better.chance, move.worse.chance) == pytest.approx((around[0], around[2]))
    assert (move.better.change, move.worse.change) == pytest.approx((around[0] - around[1], around[2] - around[1]))


def test_twice_the_hazard_squares_the_chance_of_none() -> None:
    """With storms as the only limit the share kept by a day is exp(-dH): half of it its root, twice its square."""
    setting, parts = _trip("home_before_dark = false")
    days = walk(setting.itinerary, put_together(setting.itinerary, parts), np.array([START]))
    none = kept_share(setting.limits, setting.itinerary, days, setting.storm)["all"]
    found = chance_moves(setting.limits, setting.itinerary, parts, setting.storm, START)
    move = next(one for one in found if one.key == "storm")
    assert move.better.chance == pytest.approx(float(np.sqrt(none).mean()))
    assert move.worse.chance == pytest.approx(float((none**2).mean()))
    change = none**2 - none
    assert move.worse.error == pytest.approx(float(change.std() / math.sqrt(2000)))


@pytest.mark.parametrize(("side", "share"), [("better", 0.1), ("worse", 0.9)])
def test_every_day_at_one_pace(side: str, share: float) -> None:
    """All days walk as long as the day at that place in the order of their walking; legs differ as drawn."""
    setting, parts = _trip()
    walked = parts.party_s.sum(axis=0)
    one = replace(parts, party_s=parts.party_s * (np.exp(np.quantile(np.log(walked), share)) / walked))
    assert one.party_s.sum(axis=0).std() == pytest.approx(0.0, abs=1e-6)
    assert getattr(_moves()["pace"], side).chance == pytest.approx(float(_kept(setting.itinerary, one).mean()))


@pytest.mark.parametrize(("side", "wait_s"), [("better", 300.0**2 / 900.0), ("worse", 900.0)])
def test_waits_at_their_tenth_and_ninetieth(side: str, wait_s: float) -> None:
    """Median 5 min and nine in ten under 15 min: log-normal, so one in ten is under 5^2/15 min."""
    setting, parts = _trip()
    always = [None if leg is None else replace(leg, wait=Wait(wait_s, wait_s)) for leg in setting.itinerary.line_legs]
    expected = _kept(replace(setting.itinerary, line_legs=tuple(always)), parts).mean()
    assert getattr(_moves()["wait"], side).chance == pytest.approx(float(expected))


@pytest.mark.parametrize(("side", "times"), [("better", 0.5), ("worse", 1.5)])
def test_stops(side: str, times: float) -> None:
    setting, parts = _trip()
    stops = replace(setting.itinerary, stop_s=setting.itinerary.stop_s * times)
    assert getattr(_moves()["stops"], side).chance == pytest.approx(float(_kept(stops, parts).mean()))


def test_rock() -> None:
    setting, parts = _trip()
    wet = replace(setting.itinerary, rock=RockClock(0.0, np.array([[WET]], np.int8)))
    move = _moves()["rock"]
    assert (move.better.change, move.better.error) == (0.0, 0.0)  # typed dry already
    assert move.worse.chance == pytest.approx(float(_kept(wet, parts).mean()))
    assert move.span == pytest.approx(-move.worse.change)


def test_without_limits_nothing_moves() -> None:
    setting, parts = _trip()
    for move in chance_moves(DayLimits(0.9, False, None, None, None), setting.itinerary, parts, setting.storm, START):
        assert (move.better.chance, move.worse.chance, move.span) == (1.0, 1.0, 0.0)


# --- the spread of the day's length ---------------------------------------------------------------------------------


def _itinerary(**changes: object) -> Itinerary:
    """One walked leg, the line, another walked leg; light all day."""
    given: dict[str, object] = {
        "walking_s": np.array([[[10_000.0, 0.0, 0.0]]]),
        "model_weight": np.ones(1),
        "line_legs": (None, LineLeg((1200.0,), Wait(0.0, 0.0)), None),
        "stop_s": np.zeros(4),
        "off_line": 2,
        "size": 1,
        "walker_sigma": np.array([0.2]),
        "leg_sigma": 0.0,
        "tiring_after_s": 6 * H,
        "tiring_per_hour": 0.0,
        "rest_s_per_hour": 0.0,
        "dark_spans_clock_s": np.empty((0, 2)),
        "dark_factor": 1.25,
    }
    return Itinerary(**(given | changes))  # type: ignore[arg-type]


def _log_normal_variance(median: float, sigma: float) -> float:
    return median**2 * math.exp(sigma**2) * (math.exp(sigma**2) - 1.0)


def _shares(found: LengthSpread) -> dict[str, tuple[float, float]]:
    return {one.key: (one.share, one.error) for one in found.shares}


def test_sources_that_only_add_have_their_own_variance() -> None:
    """Walking, wait and passage are log-normal and independent: each share is its variance over the sum."""
    wait = Wait(1500.0, 3000.0)
    itinerary = _itinerary(line_legs=(None, LineLeg((5000.0,), wait), None))
    found = length_spread(itinerary, 40_000, 1, 0.0)
    own = {
        "pace": _log_normal_variance(10_000.0, 0.2),
        "waits": _log_normal_variance(1500.0, wait.sigma),
        "passage": _log_normal_variance(5000.0, 0.2),
    }
    shares = _shares(found)
    assert found.sigma_s == pytest.approx(math.sqrt(sum(own.values())), rel=0.03)
    for key, variance in own.items():
        expected = variance / sum(own.values())
        assert shares[key][0] == pytest.approx(expected, abs=max(4.0 * shares[key][1], 0.005))
        assert 0.0 < shares[key][1] < 0.03
    assert shares["legs"][0] == 0.0
    assert shares["together"][0] == pytest.approx(0.0, abs=0.03)


def test_sources_that_multiply_share_what_they_do_together() -> None:
    """Pace exp(N(0, a^2)) times leg exp(N(0, b^2)): Var(E[Y|a]) is e^(b^2) e^(a^2) (e^(a^2) - 1), and so on.

    As shares (e^(a^2) - 1) / (e^(a^2 + b^2) - 1); with 0.6 and 0.5 they are 0.52 and 0.34, and 0.15 only together.
    """
    a, b = 0.6, 0.5
    itinerary = _itinerary(
        walker_sigma=np.array([a]), leg_sigma=b, line_legs=(None, LineLeg((1e-6,), Wait(0.0, 0.0)), None)
    )
    shares = _shares(length_spread(itinerary, 100_000, 2, 0.0))
    whole = math.exp(a**2 + b**2) - 1.0
    pace, legs = (math.exp(a**2) - 1.0) / whole, (math.exp(b**2) - 1.0) / whole
    assert shares["pace"][0] == pytest.approx(pace, abs=4.0 * shares["pace"][1])
    assert shares["legs"][0] == pytest.approx(legs, abs=4.0 * shares["legs"][1])
    assert shares["together"][0] == pytest.approx(1.0 - pace - legs, abs=4.0 * shares["together"][1])
    assert shares["pace"][1] < 0.03


def test_a_day_all_in_the_dark_is_longer_by_its_factor() -> None:
    """Every second takes 1.25 times as long, so the variance is 1.25^2 times: the dark makes 1 - 1/1.25^2 = 0.36."""
    night = _itinerary(dark_spans_clock_s=np.array([[0.0, 10 * 86400.0]]))
    shares = _shares(length_spread(night, 5000, 1, 1000.0))
    # All shares are scaled to add up, so the sampling of the pace's share is in it.
    assert shares["dark"][0] == pytest.approx(0.36, abs=0.36 * 2.0 * shares["pace"][1])
    light = _shares(length_spread(_itinerary(), 5000, 1, 1000.0))
    assert "dark" not in light
    assert shares["pace"][0] == pytest.approx(0.64 * light["pace"][0], abs=2.0 * shares["pace"][1])
    assert "dark" not in _shares(length_spread(replace(night, dark_factor=1.0), 500, 1, 1000.0))


def test_a_dark_that_narrows_the_spread_has_no_share() -> None:
    """Where only the wait before the line falls into the dark, a longer wait is walked off sooner by day."""
    itinerary = _itinerary(
        walking_s=np.array([[[1.0, 0.0, 9000.0]]]),
        walker_sigma=np.array([0.0]),
        line_legs=(None, LineLeg((1e-6,), Wait(3000.0, 6000.0)), None),
        dark_spans_clock_s=np.array([[0.0, 9000.0]]),
    )
    found = length_spread(itinerary, 5000, 1, 1.0)
    dark = next(one for one in found.shares if one.key == "dark")
    assert (dark.share, dark.seen) == (0.0, False)
    assert sum(one.share for one in found.shares) == pytest.approx(1.0)


def test_the_course_of_the_weather_is_the_rocks_share() -> None:
    """Half the courses dry, half wet, nothing else drawn: all of the spread is the rock's."""
    rock = RockClock(0.0, np.array([[0], [1]], np.int8))
    itinerary = _itinerary(
        walker_sigma=np.array([0.0]), line_legs=(None, LineLeg((1e4, 3e4), Wait(0.0, 0.0)), None), rock=rock
    )
    parts = draw_parts(itinerary, 2, 1)
    assert parts.passage.shape == (2,)
    shares = _shares(length_spread(itinerary, 20_000, 1, 0.0))
    # The passage varies too (sd 0.2 of the log): mean (e^0.08 of squares) as for a product of independent factors.
    factor, rocks = math.exp(0.2**2), (1e8 + 9e8) / 2 / (2e4) ** 2
    whole = factor * rocks - 1.0
    assert shares["rock"][0] == pytest.approx((rocks - 1.0) / whole, abs=4.0 * shares["rock"][1])
    assert shares["passage"][0] == pytest.approx((factor - 1.0) / whole, abs=4.0 * shares["passage"][1])
    assert "rock" not in _shares(length_spread(_itinerary(), 500, 1, 0.0))


def test_where_nothing_varies_there_are_no_shares() -> None:
    still = _itinerary(walker_sigma=np.array([0.0]), line_legs=(None, None, None))
    assert length_spread(still, 100, 1, 0.0) == LengthSpread(0.0, ())


@settings(deadline=None, max_examples=25)
@given(st.floats(0.0, 0.4), st.floats(0.0, 0.3), st.floats(0.0, 5000.0), st.floats(0.0, 30.0), st.integers(1, 50))
def test_shares_lie_from_nothing_to_all_and_add_up(
    pace: float, legs: float, wait_s: float, start_h: float, seed: int
) -> None:
    itinerary = _itinerary(
        walker_sigma=np.array([pace]),
        leg_sigma=legs,
        line_legs=(None, LineLeg((1200.0,), Wait(wait_s, wait_s * 2.0)), None),
        dark_spans_clock_s=np.array([[-2 * H, 5 * H], [20 * H, 29 * H]]),
    )
    found = length_spread(itinerary, 200, seed, start_h * H)
    assert sum(one.share for one in found.shares) == pytest.approx(1.0)
    assert all(0.0 <= one.share <= 1.0 for one in found.shares)
    assert found.shares[-1].key == "together"
