"""The pace learned from stretches: against a grid, closed forms, and what it must never do."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.drawn_parts import draw_parts, log_pace, put_together
from handline.day.pace_posterior import (
    BAND_SHARE,
    READING_SIGMA_S,
    PacePosterior,
    Stretch,
    learned_pace,
    moved_to,
    observed_stretches,
    pace_posterior,
)
from handline.day.passed_told import PassedAt
from handline.day.simulation import Itinerary, LineLeg, Wait, walk
from tests.referees.grid_posterior import grid_posterior

SEEN = st.tuples(st.floats(-1.0, 1.0), st.floats(0.0, 1.5), st.floats(0.02, 0.5))


@pytest.mark.parametrize(
    ("prior", "ratio", "slope", "noise"),
    [
        (0.15, [0.2], [1.0], [0.08]),
        (0.15, [0.2, -0.1, 0.05], [1.0, 0.9, 0.4], [0.08, 0.05, 0.2]),
        (0.30, [0.5, 0.4, 0.45, 0.6], [1.0, 1.0, 0.7, 1.1], [0.06, 0.1, 0.09, 0.3]),
        (0.05, [-0.4], [0.8], [0.02]),
    ],
)
def test_against_a_grid(prior: float, ratio: list[float], slope: list[float], noise: list[float]) -> None:
    mean, sigma = grid_posterior(prior, ratio, slope, noise)
    found = pace_posterior(prior, ratio, slope, noise)
    assert float(found.mean) == pytest.approx(mean, abs=1e-9)
    assert float(found.sigma) == pytest.approx(sigma, rel=1e-7)


def test_by_hand() -> None:
    """Prior sd 0.12, one stretch with 0.09: weight 0.64, sd 0.072. Two of 0.12: two thirds of their mean."""
    one = pace_posterior(0.12, [0.1], [1.0], [0.09])
    assert (float(one.mean), float(one.sigma)) == pytest.approx((0.064, 0.072))
    two = pace_posterior(0.12, [0.3, 0.0], [1.0, 1.0], [0.12, 0.12])
    assert (float(two.mean), float(two.sigma)) == pytest.approx((0.1, 0.12 / math.sqrt(3.0)))
    assert float(two.factor) == pytest.approx(math.exp(0.1))


def test_the_band_holds_eight_in_ten() -> None:
    low, high = PacePosterior(np.array(0.1), np.array(0.05)).band()
    assert BAND_SHARE == 0.8
    assert (math.log(low), math.log(high)) == pytest.approx((0.1 - 1.2815516 * 0.05, 0.1 + 1.2815516 * 0.05))


def test_nothing_seen_is_the_prior() -> None:
    for ratio in ([], [np.nan, np.nan]):
        found = pace_posterior(0.2, ratio, np.ones(len(ratio)), np.full(len(ratio), 0.1))
        assert (float(found.mean), float(found.sigma)) == (0.0, 0.2)


def test_a_plan_without_spread_learns_nothing() -> None:
    found = pace_posterior(0.0, [0.5], [1.0], [0.1])
    assert (float(found.mean), float(found.sigma)) == (0.0, 0.0)


def test_many_at_once_are_each_alone() -> None:
    rng = np.random.default_rng(1)
    prior, ratio = rng.uniform(0.05, 0.3, 4), rng.normal(0.0, 0.2, (4, 3))
    ratio[2, 1] = np.nan
    slope, noise = rng.uniform(0.3, 1.1, (4, 3)), rng.uniform(0.03, 0.2, (4, 3))
    together = pace_posterior(prior, ratio, slope, noise)
    for i in range(4):
        alone = pace_posterior(prior[i], ratio[i], slope[i], noise[i])
        assert (together.mean[i], together.sigma[i]) == pytest.approx((float(alone.mean), float(alone.sigma)))


@pytest.mark.parametrize(("prior", "noise"), [(-0.1, 0.1), (0.1, 0.0), (0.1, -0.1), (0.1, np.nan)])
def test_spreads_that_are_none(prior: float, noise: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        pace_posterior(prior, [0.1], [1.0], [noise])


@pytest.mark.parametrize("r", [-0.5, 0.0, 0.5, 0.9])
def test_stretches_that_are_alike_say_less_together(r: float) -> None:
    """Two of one noise v and correlation r: their mean has v^2 (1 + r) / 2, and is all there is to learn from."""
    prior, noise = 0.15, 0.08
    both = pace_posterior(prior, [0.2, 0.1], [1.0, 1.0], [noise, noise], [[1.0, r], [r, 1.0]])
    one = pace_posterior(prior, [0.15], [1.0], [noise * math.sqrt((1.0 + r) / 2.0)])
    assert (float(both.mean), float(both.sigma)) == pytest.approx((float(one.mean), float(one.sigma)))


def test_correlations_no_noises_can_have() -> None:
    with pytest.raises(ValueError, match="no noises"):
        pace_posterior(0.15, [0.2, 0.1], [1.0, 1.0], [0.08, 0.08], [[1.0, 1.2], [1.2, 1.0]])


@settings(deadline=None, max_examples=80)
@given(st.floats(0.01, 0.5), st.lists(SEEN, min_size=1, max_size=6))
def test_more_stretches_never_widen_and_slower_ones_never_quicken(
    prior: float, seen: list[tuple[float, float, float]]
) -> None:
    ratio, slope, noise = (np.array(values) for values in zip(*seen, strict=True))
    all_of_them = pace_posterior(prior, ratio, slope, noise)
    fewer = pace_posterior(prior, ratio[:-1], slope[:-1], noise[:-1])
    assert float(all_of_them.sigma) <= float(fewer.sigma) + 1e-12 <= prior + 2e-12
    slower = ratio.copy()
    slower[-1] += 0.1
    assert float(pace_posterior(prior, slower, slope, noise).mean) >= float(all_of_them.mean)


def _walk_only(**changes: object) -> Itinerary:
    given: dict[str, object] = {
        "walking_s": np.array([[[4000.0, 2000.0, 0.0, 3000.0]]]),
        "model_weight": np.ones(1),
        "line_legs": (None, None, LineLeg((1200.0,), Wait(600.0, 1500.0)), None),
        "stop_s": np.array([0.0, 0.0, 300.0, 120.0, 0.0]),
        "off_line": 3,
        "size": 1,
        "walker_sigma": np.array([0.15]),
        "leg_sigma": 0.08,
        "tiring_after_s": 6 * 3600.0,
        "tiring_per_hour": 0.0,
        "rest_s_per_hour": 300.0,
        "dark_spans_clock_s": np.empty((0, 2)),
        "dark_factor": 1.25,
    }
    return Itinerary(**(given | changes))  # type: ignore[arg-type]


def test_where_all_is_walking_the_noise_is_the_legs_in_quadrature() -> None:
    """Slope 1; noise 0.08 on one leg, and 0.08 sqrt(w1^2 + w2^2) on two legs of 4,000 and 2,000 s."""
    itinerary = _walk_only()
    parts = draw_parts(itinerary, 20_000, 1)
    passed = [PassedAt(0, 0.0), PassedAt(1, 5200.0), PassedAt(2, 7600.0)]
    both = [passed[0], passed[2]]
    pace = log_pace(parts)
    one, _ = observed_stretches(itinerary, put_together(itinerary, parts), pace, passed)
    (two,) = observed_stretches(itinerary, put_together(itinerary, parts), pace, both)
    assert one.slope == pytest.approx(1.0, abs=0.02)
    assert one.noise_sigma == pytest.approx(math.hypot(0.08, READING_SIGMA_S / one.middle_s), rel=0.02)
    assert two.noise_sigma == pytest.approx(0.08 * math.sqrt((2 / 3) ** 2 + (1 / 3) ** 2), rel=0.03)
    assert one.middle_s == pytest.approx(4000.0 * 13.0 / 12.0, rel=0.01)
    assert one.log_ratio == pytest.approx(math.log(5200.0 / one.middle_s))
    assert one.tells
    assert one.shorter_share == pytest.approx(0.858, abs=0.02)  # Phi(ln 1.2 / hypot(0.15, 0.08))


def test_a_watch_is_read_to_the_minute() -> None:
    """The difference of two times, each even over a minute: sd 60/sqrt(6) = 24.49 s; all there is without leg noise."""
    assert pytest.approx(24.494897) == READING_SIGMA_S
    itinerary = _walk_only(leg_sigma=0.0)
    parts = draw_parts(itinerary, 500, 1)
    told = [PassedAt(0, 0.0), PassedAt(1, 5000.0)]
    (seen,) = observed_stretches(itinerary, put_together(itinerary, parts), log_pace(parts), told)
    assert seen.noise_sigma == pytest.approx(READING_SIGMA_S / seen.middle_s)


def test_the_line_alone_says_nothing_of_the_pace() -> None:
    itinerary = _walk_only()
    parts = draw_parts(itinerary, 500, 1)
    pace = log_pace(parts, 3)
    told = [PassedAt(2, 8000.0), PassedAt(3, 16_000.0)]
    stretches = observed_stretches(itinerary, put_together(itinerary, parts), pace, told)
    assert not stretches[0].tells
    found = learned_pace(pace, stretches)
    assert (float(found.mean), float(found.sigma)) == (0.0, pytest.approx(pace.std()))


def test_what_is_quicker_than_a_quick_day_is_first_put_down_to_a_stop_cut_short() -> None:
    """A stop of an hour on the second leg: up to an hour less than on a quick day teaches no more than that day."""
    itinerary = _walk_only(stop_s=np.array([0.0, 3600.0, 0.0, 0.0, 0.0]))
    parts = draw_parts(itinerary, 500, 1)
    pace, draws = log_pace(parts), put_together(itinerary, parts)

    def seen(took_s: float) -> Stretch:
        (found,) = observed_stretches(itinerary, draws, pace, [PassedAt(1, 4000.0), PassedAt(2, 4000.0 + took_s)])
        return found

    quick_s = float(np.quantile(walk(itinerary, draws, np.array([4000.0]), first=1).arrive_clock_s[1] - 4000.0, 0.25))
    assert seen(6000.0).stop_s == 3600.0
    assert [seen(quick_s - less_s).learned_s for less_s in (0.0, 1800.0, 3599.0)] == pytest.approx([quick_s] * 3)
    assert seen(quick_s - 3900.0).learned_s == pytest.approx(quick_s - 300.0)
    assert seen(quick_s + 600.0).learned_s == pytest.approx(quick_s + 600.0)
    assert float(learned_pace(pace, [seen(quick_s - 3600.0)]).factor) > 0.9


def test_with_no_stop_on_the_way_quick_is_quick() -> None:
    itinerary = _walk_only()
    parts = draw_parts(itinerary, 500, 1)
    told = [PassedAt(0, 0.0), PassedAt(1, 2000.0)]
    (seen,) = observed_stretches(itinerary, put_together(itinerary, parts), log_pace(parts), told)
    assert (seen.took_s, seen.learned_s, seen.stop_s) == (2000.0, 2000.0, 0.0)


def test_standing_dilutes_what_a_stretch_says() -> None:
    """Over stop, wait and line the same slower walking lengthens the whole by less."""
    itinerary = _walk_only()
    parts = draw_parts(itinerary, 5000, 1)
    told = [PassedAt(0, 0.0), PassedAt(2, 7000.0), PassedAt(4, 14_000.0)]
    walked, mixed = observed_stretches(itinerary, put_together(itinerary, parts), log_pace(parts), told)
    assert 0.3 < mixed.slope < 0.9 < walked.slope


def test_the_dark_is_in_the_middle_and_not_in_the_pace() -> None:
    """A stretch by night takes 1.25 times as long in the middle: the same ratio, nothing learned from the dark."""
    night = _walk_only(dark_spans_clock_s=np.array([[0.0, 80_000.0]]))
    parts = draw_parts(night, 2000, 1)
    draws, pace = put_together(night, parts), log_pace(parts)
    told = [[PassedAt(0, start), PassedAt(1, start + took)] for start, took in ((10.0, 6250.0), (90_000.0, 5000.0))]
    dark, light = (observed_stretches(night, draws, pace, passed)[0] for passed in told)
    assert dark.middle_s == pytest.approx(1.25 * light.middle_s)
    assert dark.log_ratio == pytest.approx(light.log_ratio)


def test_days_moved_have_the_pace_learned() -> None:
    itinerary = _walk_only()
    parts = draw_parts(itinerary, 4000, 1)
    pace = log_pace(parts)
    found = PacePosterior(np.array(0.2), np.array(0.03))
    moved = pace + moved_to(found, pace)
    assert moved.mean() == pytest.approx(0.2)
    assert moved.std() == pytest.approx(0.03)
    assert np.array_equal(np.argsort(moved), np.argsort(pace))
    assert moved_to(found, np.zeros(5)).tolist() == [0.0] * 5


def test_the_rock_and_wait_of_the_stretch_are_those_of_its_minute() -> None:
    itinerary = replace(_walk_only(), stop_s=np.zeros(5))
    parts = draw_parts(itinerary, 300, 1)
    draws = put_together(itinerary, parts)
    told = [PassedAt(1, 5000.0), PassedAt(3, 12_000.0)]
    (seen,) = observed_stretches(itinerary, draws, log_pace(parts, 3), told)
    alone = walk(itinerary, draws, np.array([5000.0]), first=1).arrive_clock_s[2] - 5000.0
    assert seen.middle_s == pytest.approx(float(np.exp(np.log(alone).mean())))
