"""What others cost before and on the line: as typed, and by the hour of joining the queue."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.line_wait import Wait, WaitByClock

HOUR_S = 3600.0


def _table(bins: int = 3, ranks: int = 4) -> WaitByClock:
    """Bin k waits 100 k + 10 r and is held r, rank r."""
    rank = np.arange(ranks, dtype=float)
    wait_s = 100.0 * np.arange(bins)[:, None] + 10.0 * rank
    return WaitByClock(HOUR_S * np.arange(6.0, 7.0 + bins), wait_s, np.repeat(rank[None, :], bins, axis=0))


def test_a_typed_wait_has_its_median_and_its_long_one_at_every_clock_time() -> None:
    wait = Wait(600.0, 1500.0)
    z_90 = 1.2815515655446004
    found, held = wait.cost_s(np.array([0.0, 9e4]), np.array([0.0, z_90]))
    assert found.tolist() == pytest.approx([600.0, 1500.0])
    assert float(held) == 0.0
    assert wait.quantiles_s(3e4, (0.5, 0.9)) == pytest.approx((600.0, 1500.0))


def test_the_mean_of_a_log_normal() -> None:
    """exp(mu + sigma^2 / 2), the textbook mean."""
    wait = Wait(600.0, 1500.0)
    sigma = math.log(2.5) / 1.2815515655446004
    assert wait.mean_s(0.0) == pytest.approx((600.0 * math.exp(sigma**2 / 2.0), 0.0))


def test_no_wait_is_none() -> None:
    assert Wait(0.0, 0.0).cost_s(np.zeros(2), np.array([-3.0, 3.0]))[0].tolist() == [0.0, 0.0]


def test_the_bin_of_the_clock_and_the_rank_of_the_draw() -> None:
    """By hand: four ranks part at the quartiles of a standard normal, -0.674, 0 and 0.674."""
    clock_s = np.array([6.5, 7.5, 8.5, 8.5]) * HOUR_S
    wait_s, held_s = _table().cost_s(clock_s, np.array([-1.0, -0.1, 0.1, 2.0]))
    assert wait_s.tolist() == [0.0, 110.0, 220.0, 230.0]
    assert held_s.tolist() == [0.0, 1.0, 2.0, 3.0]


def test_outside_the_bins_the_nearest_counts() -> None:
    wait_s, _ = _table().cost_s(np.array([-HOUR_S, 40.0 * HOUR_S]), np.zeros(2))
    assert wait_s.tolist() == [20.0, 220.0]


def test_every_rank_is_drawn_as_often_as_every_other() -> None:
    normal = np.random.default_rng(3).standard_normal(40_000)
    _, held_s = _table().cost_s(np.full(40_000, 7.5 * HOUR_S), normal)
    share = np.bincount(held_s.astype(int)) / 40_000
    # Four standard errors of a quarter over 40,000 draws.
    assert share == pytest.approx(np.full(4, 0.25), abs=4.0 * math.sqrt(0.25 * 0.75 / 40_000))


def test_means_and_quantiles_of_a_bin() -> None:
    assert _table().mean_s(7.5 * HOUR_S) == (115.0, 1.5)
    assert _table().quantiles_s(7.5 * HOUR_S, (0.5, 0.9)) == (120.0, 130.0)


@settings(deadline=None, max_examples=50)
@given(st.floats(-10.0, 40.0), st.lists(st.floats(-4.0, 4.0), min_size=2, max_size=6), st.floats(0.0, 3.0))
def test_a_higher_draw_never_costs_less_and_times_are_times(hour: float, draws: list[float], factor: float) -> None:
    table, normal = _table(), np.array(sorted(draws))
    wait_s, held_s = table.cost_s(np.full(normal.size, hour * HOUR_S), normal)
    assert (np.diff(wait_s + held_s) >= 0.0).all()
    longer_s, _ = table.times(factor).cost_s(np.full(normal.size, hour * HOUR_S), normal)
    assert longer_s == pytest.approx(factor * wait_s)


def test_it_broadcasts_clocks_against_days() -> None:
    wait_s, _ = _table().cost_s(HOUR_S * np.array([[6.5], [8.5]]), np.array([-1.0, 2.0]))
    assert wait_s.tolist() == [[0.0, 30.0], [200.0, 230.0]]


@pytest.mark.parametrize(
    ("edges", "wait", "held"),
    [
        ([0.0, 1.0], [[-1.0]], [[0.0]]),
        ([0.0, 1.0], [[1.0, 2.0]], [[0.0]]),
        ([0.0, 0.0], [[1.0]], [[0.0]]),
        ([0.0, np.nan], [[1.0]], [[0.0]]),
        ([0.0, 1.0, 2.0], [[1.0]], [[0.0]]),
    ],
)
def test_tables_that_are_none(edges: list[float], wait: list[list[float]], held: list[list[float]]) -> None:
    with pytest.raises(ValueError, match=r"bin|clock|wait"):
        WaitByClock(np.array(edges), np.array(wait), np.array(held))
