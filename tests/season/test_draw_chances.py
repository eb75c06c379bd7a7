"""Closed forms of chances: against published rows, every order, whole fractions and SciPy; and what must hold."""

from __future__ import annotations

from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from handline.season.draw_chances import (
    BOTH,
    FLAGS,
    at_least_one,
    both,
    either,
    over_days,
    over_days_span,
    rate_met,
    walk_up,
)
from tests.referees.plain_draw import any_of_ours_drawn
from tests.tables.published import read_table

CHANCE = st.floats(0.0, 1.0)
DAYS = st.lists(CHANCE, min_size=1, max_size=8)


@pytest.mark.parametrize("row", read_table("permit_draw"), ids=lambda row: row["locator"])
def test_published_rows(row: dict[str, str]) -> None:
    found = at_least_one(*(int(row[column]) for column in ("applications", "places", "own")))
    assert found.flags == ()
    assert float(found.chance) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("applications", range(1, 7))
def test_every_order_of_small_draws(applications: int) -> None:
    for places in range(applications + 1):
        for own in range(applications + 1):
            expected = float(any_of_ours_drawn(applications, places, own))
            assert float(at_least_one(applications, places, own).chance) == pytest.approx(expected, abs=1e-14)


@given(st.integers(1, 3000), st.integers(0, 3500), st.integers(0, 40))
@settings(deadline=None)
def test_against_whole_fractions(applications: int, places: int, own: int) -> None:
    own, drawn = min(own, applications), min(places, applications)
    expected = 1 - comb(applications - own, drawn) / comb(applications, drawn)
    assert float(at_least_one(applications, places, own).chance) == pytest.approx(expected, abs=1e-12)


def test_arrays_in_the_same_shape_out() -> None:
    found = at_least_one(np.array([[50], [100]]), 10, np.array([1, 2, 3]))
    assert found.chance.shape == (2, 3)
    assert found.chance[1, 1] == pytest.approx(0.190909, abs=5e-7)
    assert found.chance[0, 0] == pytest.approx(0.2)
    assert at_least_one([], 1, 1).chance.shape == (0,)


def test_what_cannot_be_is_nan_with_its_flag() -> None:
    found = at_least_one([10, 10, 10, 10], [2, 2.5, -1, 2], [11, 1, 1, 1])
    assert np.isnan(found.chance).tolist() == [True, True, True, False]
    assert found.flags == ("not_whole", "more_own_than_all")
    assert over_days([0.5, 1.5]).flags == ("not_a_chance",)
    assert walk_up(10, -1, 0).flags == ("no_party", "not_a_number_of_people")
    assert rate_met([1, 3, 0.5], [0, 2, 3]).flags == ("not_whole", "more_granted_than_asked", "nobody_asked")
    raised = {"not_whole", "more_own_than_all", "not_a_chance", "no_party", "not_a_number_of_people"}
    assert raised | {"more_granted_than_asked", "nobody_asked"} == set(FLAGS)


@given(st.integers(1, 300), st.integers(0, 300), st.integers(0, 20))
@settings(deadline=None)
def test_more_places_or_tickets_never_lower_it_and_more_others_never_raise_it(n: int, places: int, own: int) -> None:
    own = min(own, n)
    here = float(at_least_one(n, places, own).chance)
    assert 0.0 <= here <= 1.0
    assert float(at_least_one(n, places + 1, own).chance) >= here - 1e-14
    assert float(at_least_one(n + 1, places, own).chance) <= here + 1e-14
    assert float(at_least_one(n + 1, places, own + 1).chance) >= here - 1e-14


def test_two_days_by_hand() -> None:
    assert over_days([0.5, 0.2, 0.0]).chance == pytest.approx([0.5, 0.6, 0.6])
    assert over_days([[0.1, 1.0], [0.0, 0.0]]).chance == pytest.approx(np.array([[0.1, 1.0], [0.0, 0.0]]))
    low, high = over_days_span([0.2, 0.5, 0.4])
    assert low.chance == pytest.approx([0.2, 0.5, 0.5])
    assert high.chance == pytest.approx([0.2, 0.7, 1.0])


def test_a_day_not_known_leaves_the_days_after_unknown() -> None:
    for found in (over_days([0.5, np.nan, 0.2]), *over_days_span([0.5, np.nan, 0.2])):
        assert np.isnan(found.chance).tolist() == [False, True, True]
        assert found.flags == ("not_a_chance",)


@given(DAYS)
def test_days_rise_and_lie_in_their_span(days: list[float]) -> None:
    here = over_days(days).chance
    low, high = (bound.chance for bound in over_days_span(days))
    assert bool(np.all((here >= 0.0) & (here <= 1.0)))
    assert bool(np.all(np.diff(here) >= 0.0))
    assert bool(np.all((low <= here + 1e-14) & (here <= high + 1e-14)))
    assert here[-1] == pytest.approx(1.0 - np.prod(1.0 - np.array(days)), abs=1e-14)


def test_two_permits_by_hand() -> None:
    assert float(both(0.3, 0.5, "independent").chance) == pytest.approx(0.15)
    assert float(both(0.3, 0.5, "nested").chance) == 0.3
    assert float(both(0.3, 0.5, "unknown").chance) == 0.0
    assert float(both(0.8, 0.5, "unknown").chance) == pytest.approx(0.3)
    assert float(either(0.3, 0.5).chance) == pytest.approx(0.65)
    assert both([0.3, 2.0], 0.5, "nested").flags == ("not_a_chance",)
    assert both(0.3, np.nan, "nested").flags == either(0.3, -0.1).flags == ("not_a_chance",)
    with pytest.raises(KeyError):
        both(0.3, 0.5, "somehow")


@given(CHANCE, CHANCE)
def test_two_permits_in_order(one: float, other: float) -> None:
    chance = {how: float(both(one, other, how).chance) for how in BOTH}
    assert 0.0 <= chance["unknown"] <= chance["independent"] + 1e-15
    assert chance["independent"] <= chance["nested"] <= min(one, other)
    assert max(one, other) - 1e-15 <= float(either(one, other).chance) <= 1.0


@given(st.integers(1, 400), st.data())
@settings(deadline=None)
def test_rates_of_other_years_are_scipys(asked: int, data: st.DataObject) -> None:
    granted = data.draw(st.integers(0, asked))
    sure = data.draw(st.sampled_from([0.8, 0.9, 0.99]))
    found = rate_met(granted, asked, sure)
    expected = stats.binomtest(granted, asked).proportion_ci(sure, method="wilson")
    assert (float(found.low), float(found.high)) == pytest.approx((expected.low, expected.high), abs=1e-12)
    assert 0.0 <= float(found.low) <= float(found.share) <= float(found.high) <= 1.0
    assert float(found.share) == granted / asked


def test_a_rate_needs_a_sureness() -> None:
    assert float(rate_met(3, 10).low) == pytest.approx(float(rate_met(3, 10, 0.9).low))
    for sure in (0.0, 1.0, np.nan):
        with pytest.raises(ValueError, match="sureness"):
            rate_met(1, 2, sure)


@given(st.integers(0, 80), st.floats(0.0, 200.0), st.integers(1, 12), st.integers(1, 6))
@settings(deadline=None)
def test_walk_up_is_scipys(places: int, ahead: float, size: int, parties_of: int) -> None:
    found = walk_up(places, ahead, size, parties_of)
    assert found.flags == ()
    expected = stats.poisson.cdf((places - size) // parties_of, ahead / parties_of) if size <= places else 0.0
    assert float(found.chance) == pytest.approx(expected, abs=1e-12)
    assert 0.0 <= float(found.chance) <= 1.0


def test_walk_up_in_arrays() -> None:
    found = walk_up([10, 2], 4.0, np.array([[1], [3]]))
    assert found.chance.shape == (2, 2)
    assert found.chance[1, 1] == 0.0
    assert float(walk_up(5, 0.0, 5).chance) == 1.0
    # e^-2 (1 + 2 + 2): at most two come before a party of one for three places.
    assert float(walk_up(3, 2.0, 1).chance) == pytest.approx(0.6766764161830634, abs=1e-15)


@given(st.integers(0, 60), st.floats(0.0, 100.0), st.integers(1, 10), st.integers(1, 4))
@settings(deadline=None)
def test_walk_up_more_places_never_lower_bigger_parties_never_raise(k: int, ahead: float, g: int, s: int) -> None:
    here = float(walk_up(k, ahead, g, s).chance)
    assert float(walk_up(k + 1, ahead, g, s).chance) >= here - 1e-14
    assert float(walk_up(k, ahead, g + 1, s).chance) <= here + 1e-14
    assert float(walk_up(k, ahead + 1.0, g, s).chance) <= here + 1e-14
