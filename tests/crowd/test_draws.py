"""What chance gives: by hand without spread, by its frequency with it, and the same whoever else is there."""

from __future__ import annotations

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from handline.crowd.draws import Drawn, draw_climbers
from handline.crowd.rules import DOWN, UP, Arrivals, Climbers, CrowdLine
from tests.crowd.lines import CLIMBERS, a_line, a_morning

MANY = Arrivals(np.zeros(20_000), np.array([0, 20_000]))
LINE = CrowdLine(np.array([2.0, 3.0, 5.0, 4.0]), np.array([7, 0, 2, 0, 7]), 5.0)
PLAIN = Climbers(up_m_s=0.2, down_m_s=0.25)


def test_without_spread_it_is_by_hand() -> None:
    people = replace(PLAIN, changeover_s=6.0, rest_chance=1.0, rest_s=50.0, top_s=900.0)
    drawn = draw_climbers(LINE, people, Arrivals(np.zeros(2), np.array([0, 2])), seed=1)
    # Up: the stance is at the end of the second bay; down: at the end of the third. No changeover at head and foot.
    assert drawn.service_s[0, UP] == pytest.approx([10 + 6, 15 + 6 + 50, 25 + 6, 20])
    assert drawn.service_s[1, DOWN] == pytest.approx([8, 12 + 6, 20 + 6 + 50, 16 + 6])
    assert drawn.top_s.tolist() == [900.0, 900.0]


def test_a_known_factor_is_not_drawn() -> None:
    known = Arrivals(np.zeros(3), np.array([0, 3]), time_factor=np.array([1.5, np.nan, 1.0]))
    drawn = draw_climbers(LINE, replace(PLAIN, rate_sigma=0.3), known, seed=1)
    assert drawn.service_s[0, UP] == pytest.approx(1.5 * np.array([10.0, 15.0, 25.0, 20.0]))
    assert drawn.service_s[2, DOWN] == pytest.approx([8.0, 12.0, 20.0, 16.0])
    free = draw_climbers(LINE, replace(PLAIN, rate_sigma=0.3), Arrivals(np.zeros(3), np.array([0, 3])), seed=1)
    assert np.array_equal(drawn.service_s[1], free.service_s[1])
    # Slow or quick both ways.
    assert free.service_s[1, UP] / [10, 15, 25, 20] == pytest.approx(free.service_s[1, DOWN] / [8, 12, 20, 16])


@pytest.mark.parametrize(
    ("spread", "read"),
    [
        ({"rate_sigma": 0.2}, lambda drawn: drawn.service_s[:, UP, 0] / 10.0),
        ({"changeover_s": 6.0, "changeover_sigma": 0.4}, lambda drawn: (drawn.service_s[:, UP, 0] - 10.0) / 6.0),
        (
            {"rest_chance": 1.0, "rest_s": 50.0, "rest_sigma": 0.5},
            lambda drawn: (drawn.service_s[:, UP, 1] - 15.0) / 50.0,
        ),
        (
            {"freeze_chance": 1.0, "freeze_s": 300.0, "freeze_sigma": 0.6},
            lambda drawn: (drawn.service_s.sum(axis=(1, 2)) - 70.0 - 56.0) / 300.0,
        ),
        ({"top_s": 2400.0, "top_sigma": 0.3}, lambda drawn: drawn.top_s / 2400.0),
    ],
)
def test_spreads_are_log_normal(spread: dict, read: object) -> None:
    """Quantiles of 20,000 against the normal distribution of the standard library, within 4 standard errors."""
    factors = np.log(read(draw_climbers(LINE, replace(PLAIN, **spread), MANY, seed=4)))  # type: ignore[operator]
    sigma = next(value for name, value in spread.items() if name.endswith("sigma"))
    for level in (0.1, 0.5, 0.9):
        expected = NormalDist(0.0, sigma).inv_cdf(level)
        density = NormalDist(0.0, sigma).pdf(expected)
        error = np.sqrt(level * (1.0 - level) / MANY.people) / density
        assert np.quantile(factors, level) == pytest.approx(expected, abs=4.0 * error)


def test_chances_are_kept() -> None:
    people = replace(PLAIN, rest_chance=0.3, rest_s=50.0, freeze_chance=0.05, freeze_s=1000.0)
    service = draw_climbers(LINE, people, MANY, seed=4).service_s
    moving = np.array([[10.0, 15.0, 25.0, 20.0], [8.0, 12.0, 20.0, 16.0]])
    frozen, left = np.divmod(service - moving + 1e-9, 1000.0)
    rested = left > 1.0
    assert rested[:, UP].mean(axis=0) == pytest.approx([0.0, 0.3, 0.0, 0.0], abs=0.013)
    assert rested[:, DOWN].mean(axis=0) == pytest.approx([0.0, 0.0, 0.3, 0.0], abs=0.013)
    # Once on the whole way, in any of the eight bays alike.
    assert set(np.unique(frozen.sum(axis=(1, 2)))) == {0.0, 1.0}
    assert frozen.mean(axis=0) == pytest.approx(np.full((2, 4), 0.05 / 8), abs=0.0023)


def test_the_same_people_whoever_comes_after_them_and_whatever_day_is_first() -> None:
    line, arrivals = a_line(), a_morning(4, 30)
    drawn = draw_climbers(line, CLIMBERS, arrivals, seed=9)
    later = draw_climbers(line, CLIMBERS, arrivals.some(2, 1), seed=9, first_day=2)
    assert np.array_equal(drawn.service_s[60:90], later.service_s)
    assert np.array_equal(drawn.top_s[60:90], later.top_s)
    few = draw_climbers(line, CLIMBERS, Arrivals(np.zeros(7), np.array([0, 7])), seed=9, first_day=2)
    assert np.array_equal(drawn.service_s[60:67], few.service_s)
    assert np.array_equal(drawn.top_s[60:67], few.top_s)
    assert not np.allclose(drawn.service_s[:30], drawn.service_s[30:60])
    other = draw_climbers(line, CLIMBERS, arrivals, seed=10)
    assert not np.allclose(drawn.top_s, other.top_s)


def test_a_thing_keeps_its_draws_whatever_else_is_drawn() -> None:
    arrivals = a_morning(1, 20)
    line, nothing = a_line(), replace(CLIMBERS, changeover_sigma=0.0, rest_chance=0.0, freeze_chance=0.0)
    all_of_it = draw_climbers(line, CLIMBERS, arrivals, seed=9)
    without = draw_climbers(line, nothing, arrivals, seed=9)
    assert np.array_equal(all_of_it.top_s, without.top_s)
    quick = draw_climbers(line, replace(nothing, changeover_s=0.0), arrivals, seed=9)
    assert without.service_s[:, UP, 0] - quick.service_s[:, UP, 0] == pytest.approx(7.0)
    free = draw_climbers(
        line, replace(CLIMBERS, changeover_s=0.0, rest_chance=0.0, freeze_chance=0.0), arrivals, seed=9
    )
    assert np.array_equal(free.service_s, quick.service_s)


@pytest.mark.parametrize(("seed", "first_day"), [(-1, 0), (0, -1)])
def test_numbers_below_nothing(seed: int, first_day: int) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        draw_climbers(LINE, PLAIN, MANY, seed=seed, first_day=first_day)


@pytest.mark.parametrize(
    ("service", "top"),
    [
        (np.full((2, 2, 3), -1.0), np.zeros(2)),
        (np.full((2, 2, 3), np.nan), np.zeros(2)),
        (np.full((2, 2, 3), np.inf), np.zeros(2)),
        (np.zeros((2, 2, 3)), np.array([0.0, -1.0])),
        (np.zeros((2, 2, 3)), np.zeros(3)),
        (np.zeros((2, 1, 3)), np.zeros(2)),
        (np.zeros((2, 2)), np.zeros(2)),
    ],
)
def test_times_that_cannot_be(service: np.ndarray, top: np.ndarray) -> None:
    with pytest.raises(ValueError, match="time"):
        Drawn(service, top)
