"""Who comes when: against the written sums, the laws of the draws, and the same people on the same day."""

from __future__ import annotations

import pickle
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.crowd.arrivals import ByHour, CrowdArrivals, OurParty, PartyDraws, StartsAndWalk

WALK = StartsAndWalk(6 * 3600.0, 3600.0, np.array([7200.0, 14400.0]), np.array([0.25, 0.75]), 0.1)
HOURS = ByHour(np.array([6.0, 8.0]) * 3600, np.array([8.0, 9.0]) * 3600, np.array([40.0, 10.0]))
CROWD = CrowdArrivals(60, WALK, seed=5, come_share=0.8, party_of=3)


def _draws(uniform: list[float], start: float = 0.0, slowest: float = 0.0) -> PartyDraws:
    u = np.array(uniform)
    return PartyDraws(u, np.full(u.size, start), np.full(u.size, slowest))


def test_a_start_and_a_walk_add_up() -> None:
    clock = WALK.clock_s(_draws([0.0, 0.2499, 0.25, 0.999], start=-1.5, slowest=2.0))
    short, long = (21600.0 - 5400.0 + walk * np.exp(0.2) for walk in (7200.0, 14400.0))
    assert clock == pytest.approx([short, short, long, long])


def test_as_counted_fills_each_span_evenly() -> None:
    assert HOURS.all_people == 50.0
    clock = HOURS.clock_s(_draws([0.0, 0.4, 0.8, 0.9, 0.99]))
    assert clock == pytest.approx(np.array([6.0, 7.0, 8.0, 8.5, 8.95]) * 3600)
    # A span of nobody gets nobody, even after the last.
    empty = ByHour(np.array([6.0, 9.0]), np.array([8.0, 10.0]), np.array([1.0, 0.0]))
    assert empty.clock_s(_draws([np.nextafter(1.0, 0.0)]))[0] == pytest.approx(8.0)


def test_spread_out() -> None:
    assert WALK.spread_out(2.0).start_sigma_s == 7200.0
    wide = HOURS.spread_out(2.0)
    assert wide.from_clock_s == pytest.approx(np.array([4.5, 8.5]) * 3600)
    assert wide.to_clock_s == pytest.approx(np.array([8.5, 10.5]) * 3600)
    assert wide.all_people == 50.0


def test_many_days_follow_the_laws() -> None:
    who = replace(CROWD, people=300)(0, 400)
    a_day = np.diff(who.day_first)
    # 100 parties of three, each with a chance of 0.8: mean 240, variance 9 * 100 * 0.16. Four standard errors.
    assert a_day.mean() == pytest.approx(240.0, abs=4 * 12.0 / 20.0)
    assert a_day.std() == pytest.approx(12.0, rel=0.15)
    assert np.all(a_day % 3 == 0)
    # The mean of the larger of three normals is 0.8463 (tables of order statistics, from memory).
    walk = np.mean(who.clock_s) - 6 * 3600.0
    z = np.random.default_rng(1).standard_normal((200_000, 3)).max(axis=1)
    assert z.mean() == pytest.approx(0.8463, abs=0.01)
    assert walk == pytest.approx(0.25 * 7200 * np.exp(0.1 * z).mean() + 0.75 * 14400 * np.exp(0.1 * z).mean(), rel=0.01)


def test_parties_come_at_one_moment() -> None:
    clock = replace(CROWD, come_share=1.0)(0, 1).clock_s.reshape(20, 3)
    assert np.all(np.ptp(clock, axis=1) == 0.0)
    assert np.unique(clock[:, 0]).size == 20
    odd = replace(CROWD, come_share=1.0, people=7)(0, 3)
    assert np.diff(odd.day_first).tolist() == [7, 7, 7]
    assert np.unique(odd.clock_s).size == 9


def test_the_party_that_asks_stands_first_every_day() -> None:
    ours = OurParty(4, [30_000.0, 31_000.0])
    who = replace(CROWD, ours=ours)(3, 3)
    assert who.ours is not None
    for day, clock in enumerate([31_000.0, 30_000.0, 31_000.0]):
        start, end = who.day_first[day : day + 2]
        assert who.clock_s[start : start + 4] == pytest.approx(clock)
        assert who.ours[start:end].sum() == 4
        assert who.ours[start : start + 4].all()
    alone = replace(CROWD, people=0, ours=ours)(0, 2)
    assert np.diff(alone.day_first).tolist() == [4, 4]


@settings(max_examples=30)
@given(first=st.integers(0, 50), cut=st.integers(1, 4), people=st.integers(0, 40), more=st.integers(0, 40))
def test_a_day_is_the_same_whatever_it_is_computed_with(first: int, cut: int, people: int, more: int) -> None:
    source = replace(CROWD, people=people)
    whole, late = source(first, 5), source(first + cut, 5 - cut)
    assert np.array_equal(whole.some(cut, 5 - cut).clock_s, late.clock_s)
    # More people leave those as they were who came before: whole parties of them.
    kept = people // 3 * 3
    fewer, wider = (replace(CROWD, people=n, come_share=1.0)(first, 1).clock_s for n in (people, people + more))
    assert np.array_equal(fewer[:kept], wider[:kept])


def test_it_pickles_and_the_seed_counts() -> None:
    again = pickle.loads(pickle.dumps(CROWD))
    assert np.array_equal(again(2, 2).clock_s, CROWD(2, 2).clock_s)
    assert not np.array_equal(replace(CROWD, seed=6)(2, 2).clock_s[:20], CROWD(2, 2).clock_s[:20])


@pytest.mark.parametrize(
    "broken",
    [
        lambda: replace(WALK, walk_s=np.array([1.0])),
        lambda: replace(WALK, walk_s=np.array([])),
        lambda: replace(WALK, walk_s=np.array([-1.0, 2.0])),
        lambda: replace(WALK, walk_s=np.array([np.nan, 2.0])),
        lambda: replace(WALK, weight=np.array([0.5, 0.6])),
        lambda: replace(WALK, weight=np.array([0.0, 1.0])),
        lambda: replace(WALK, start_clock_s=np.nan),
        lambda: replace(WALK, start_sigma_s=-1.0),
        lambda: replace(WALK, walk_sigma=np.inf),
        lambda: WALK.spread_out(0.0),
        lambda: HOURS.spread_out(np.nan),
        lambda: replace(HOURS, people=np.array([40.0])),
        lambda: replace(HOURS, people=np.array([0.0, 0.0])),
        lambda: replace(HOURS, people=np.array([-1.0, 2.0])),
        lambda: replace(HOURS, to_clock_s=HOURS.from_clock_s),
        lambda: replace(HOURS, from_clock_s=np.array([np.nan, 1.0])),
        lambda: ByHour(np.array([]), np.array([]), np.array([])),
        lambda: OurParty(0, 1.0),
        lambda: OurParty(1, []),
        lambda: OurParty(1, [np.inf]),
        lambda: replace(CROWD, people=-1),
        lambda: replace(CROWD, people=1.5),
        lambda: replace(CROWD, seed=-1),
        lambda: replace(CROWD, come_share=1.01),
        lambda: replace(CROWD, party_of=0),
        lambda: CROWD(-1, 1),
        lambda: CROWD(0, 0),
    ],
)
def test_nonsense_is_refused(broken) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        broken()
