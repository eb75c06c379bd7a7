"""The chances of a Plan turned over, computed on a small trip: they agree with each other and with the Plan."""

from __future__ import annotations

from dataclasses import asdict
from functools import cache

import numpy as np
import pytest

from handline.day.chance_planning import SPREAD_WORDS, plan_chances
from handline.day.limits import kept_share
from handline.day.plan_chances import ChancePlan
from handline.day.planning import simulate
from handline.day.setting import set_up
from handline.quantity import say_clock
from tests.day.trips import typed_trip

H = 3600.0
LIMITS = 'home_by = "13:00"\noff_line_by = "11:00"'
STORMS = 'storm_chance = "40 %"'
NO_LIMIT = "off_line_before_storm = false\nhome_before_dark = false"


def _turned(
    limits: str = LIMITS, days: int = 2500, seed: int = 1, wait: str = "5 min"
) -> tuple[ChancePlan, np.ndarray]:
    setting = set_up(typed_trip(days=days, seed=seed, limits=limits, weather=STORMS, wait=wait))
    simulated = simulate(setting)
    kept = kept_share(setting.limits, setting.itinerary, simulated.days, setting.storm)["all"]
    return plan_chances(setting, simulated.draws, simulated.days, simulated.leave_by_clock_s), kept


@cache
def _plain() -> tuple[ChancePlan, np.ndarray]:
    return _turned()


def test_what_fails_first_adds_up_to_the_days_that_keep_not_all() -> None:
    turned, kept = _plain()
    assert sum(row.share for row in turned.fails_first) == pytest.approx(1.0 - float(kept.mean()), abs=1e-9)
    shares = [row.share for row in turned.fails_first]
    assert shares == sorted(shares, reverse=True)
    assert min(shares) >= 0.0
    assert shares[1] > 0.01, "more than one limit must fail for the sum to say anything"


def test_the_row_of_a_limit_names_it_and_the_leg() -> None:
    rows = {row.key: row for row in _plain()[0].fails_first}
    assert {"off_line_before_storm", "off_line_by", "home_by"} <= set(rows)
    assert rows["home_by"].sentence == "Home by 13:00"
    assert rows["home_by"].leg == "Foot to Gate, down"
    assert all(row.leg == "" for row in rows.values() if row.share == 0.0)


def test_the_curve_at_the_planned_start_is_the_plans_chance() -> None:
    turned, kept = _plain()
    starts = turned.starts
    at = starts.clock_s.index(6.0 * H)
    error = float(kept.std() / np.sqrt(kept.size))
    assert 0.0 < error < 0.02
    assert starts.planned_clock_s == 6.0 * H
    assert starts.share[at] == pytest.approx(float(kept.mean()), abs=3.0 * (error + starts.error[at]))
    # The sweep looks at the first days of the plan: on just these it is the same number.
    assert starts.share[at] == pytest.approx(float(kept[:2000].mean()), abs=1e-12)


def test_moves_are_against_one_chance_within_sampling_error_of_the_curve() -> None:
    turned, _ = _plain()
    starts = turned.starts
    at = starts.clock_s.index(6.0 * H)
    plain = turned.moves[0].better_share - turned.moves[0].better_change
    assert plain == pytest.approx(starts.share[at], abs=4.0 * starts.error[at])
    for move in turned.moves:
        assert move.better_share - move.better_change == pytest.approx(plain, abs=1e-12)
        assert move.worse_share - move.worse_change == pytest.approx(plain, abs=1e-12)
        assert 0.0 <= move.error < 0.02
    spans = [
        max(0.0, move.better_change, move.worse_change) - min(0.0, move.better_change, move.worse_change)
        for move in turned.moves
    ]
    assert spans == sorted(spans, reverse=True)
    assert spans[0] > 0.05


def test_moving_the_start_is_reading_the_curve_elsewhere() -> None:
    # So few days that the curve and the moves look at the same ones.
    turned, kept = _turned(days=500)
    starts = turned.starts
    at = starts.clock_s.index(6.0 * H)
    start = next(move for move in turned.moves if move.key == "start")
    assert starts.share[at] == pytest.approx(float(kept.mean()), abs=1e-12)
    assert (start.better_share, start.worse_share) == pytest.approx((starts.share[at - 3], starts.share[at + 3]))
    assert start.worse_change == pytest.approx(-starts.delay_share)
    assert start.worse_change < -0.05


def test_the_shares_of_the_spread_add_up_to_all() -> None:
    turned, _ = _plain()
    assert sum(part.share for part in turned.spread) == pytest.approx(1.0, abs=1e-9)
    assert turned.day_sigma_s > 60.0
    assert all(part.words == SPREAD_WORDS[part.key] for part in turned.spread)


def test_the_same_seed_gives_the_same_to_the_last_bit() -> None:
    again, _ = _turned()
    assert repr(asdict(again)) == repr(asdict(_plain()[0]))
    other, _ = _turned(seed=2)
    assert repr(asdict(other)) != repr(asdict(again))


def test_without_a_limit_nothing_fails_and_nothing_moves() -> None:
    turned, kept = _turned(NO_LIMIT, days=400)
    assert kept.min() == 1.0
    assert turned.moves == ()
    assert turned.fails_first == ()
    assert set(turned.starts.share) == {1.0}
    assert turned.spread, "the day's length still spreads"


def test_the_sentence_names_the_last_start_of_the_window_and_what_a_delay_costs() -> None:
    starts = _plain()[0].starts
    assert starts.window_clock_s is not None
    first_s, last_s = starts.window_clock_s
    by_clock = dict(zip(starts.clock_s, starts.share, strict=True))
    before_s = max(clock_s for clock_s in by_clock if clock_s <= last_s)
    assert by_clock[before_s] >= starts.wanted > by_clock[before_s + 600.0]
    assert first_s == starts.clock_s[0]
    assert starts.says == (
        f"Any start before {say_clock(last_s)} meets your limits; leaving 30 min late takes "
        f"{100.0 * starts.delay_share:.1f} points from the chance."
    )


def test_the_last_start_of_the_window_is_the_latest_start_to_the_minute() -> None:
    setting = set_up(typed_trip(days=2500, limits='home_by = "13:07"\noff_line_by = "11:07"', weather=STORMS))
    simulated = simulate(setting)
    latest_s = simulated.leave_by_clock_s
    assert latest_s % 600.0, "on the grid the two could not differ"
    # Before the end of the window it is the one start that is told, far behind it another window's.
    far_s, last_s = latest_s + 3600.0, latest_s // 600.0 * 600.0
    cases = ((latest_s, latest_s), (latest_s - 2400.0, latest_s - 2400.0), (far_s, last_s))
    for leave_by_s, says_s in cases:
        starts = plan_chances(setting, simulated.draws, simulated.days, leave_by_s).starts
        assert starts.window_clock_s is not None
        assert starts.window_clock_s[1] == says_s
        assert starts.says.startswith(f"Any start before {say_clock(says_s)} meets your limits")


def test_where_no_start_meets_the_limits_the_best_is_named() -> None:
    turned, _ = _turned(days=400, wait="9 h")  # each way: longer than the curve looks back
    starts = turned.starts
    assert starts.window_clock_s is None
    assert starts.best_share == max(starts.share) < starts.wanted
    assert starts.says.startswith(
        f"No start from {say_clock(starts.clock_s[0])} to {say_clock(starts.clock_s[-1])} meets your limits as surely "
        f"as you want; the best is {say_clock(starts.best_clock_s)}"
    )
