"""Where to fill up and how much, held against bottles carried one sip at a time."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sources import source
from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.spread import Spread
from handline.walking.water_plan import Station, WaterPlan, plan_water
from tests.referees.plain_bottles import walk_with_bottles

HOUR_S = 3600.0
THERE_AND_BACK = (
    Station("Trailhead"),
    Station("Lower spring", is_water=True),
    Station("Upper spring", is_water=True, may_be_dry=True),
    Station("Summit"),
    Station("Upper spring", is_water=True, may_be_dry=True),
    Station("Lower spring", is_water=True),
    Station("Trailhead"),
)


def known(litres: Any) -> Spread:
    """A need without any doubt."""
    need = np.atleast_2d(np.asarray(litres, float))
    return Spread(need, need, need)


def there_and_back(**changed: Any) -> WaterPlan:
    given_ = {
        "stations": THERE_AND_BACK,
        "need_L": known([1.0, 0.6, 0.8, 0.5, 0.4, 0.7]),
        "duration_s": HOUR_S * np.array([2.0, 1.0, 1.5, 1.0, 0.8, 1.5]),
        "quantile": 0.5,
        "reserve_L": 0.5,
        "treatment_key": "filter",
    }
    return plan_water(**(given_ | changed))


def test_there_and_back_by_hand() -> None:
    plan = there_and_back()
    # To the spring 1.0 and the reserve; over the top and back 0.6 + 0.8 + 0.5 + 0.4; home 0.7.
    assert plan.leave_L[0, [0, 1, 5]] == pytest.approx([1.5, 2.8, 1.2], abs=1e-12)
    assert plan.arrive_L[0, [1, 5, 6]] == pytest.approx([0.5, 0.5, 0.5], abs=1e-12)
    assert plan.refill_L[0] == pytest.approx([1.5, 2.3, 0, 0, 0, 0.7, 0], abs=1e-12)
    assert plan.treat_L[0] == pytest.approx([0, 2.3, 0, 0, 0, 0.7, 0], abs=1e-12)
    assert plan.hands_s == pytest.approx([0, 276, 0, 0, 0, 84, 0], abs=1e-9)
    assert float(plan.start_L[0]) == pytest.approx(1.5, abs=1e-12)
    assert (plan.longest.first, plan.longest.last) == (1, 5)
    assert plan.longest.words == "Lower spring by Summit and back"
    assert plan.longest.duration_s == pytest.approx(4.3 * HOUR_S)
    assert [(one.flag, one.station) for one in plan.findings] == [("dry_source", 2), ("dry_source", 4)]
    assert bool(np.all(plan.missed_L == 0.0))


def test_the_longest_stretch_is_long_in_time_not_in_litres() -> None:
    plan = there_and_back(duration_s=HOUR_S * np.array([5.0, 1.0, 1.0, 1.0, 1.0, 1.5]))
    assert plan.longest.words == "Trailhead to Lower spring"


def test_the_careful_chance_carries_more() -> None:
    need = Spread(np.full((1, 6), 0.1), np.full((1, 6), 0.5), np.full((1, 6), 0.9))
    plan = there_and_back(need_L=need, quantile=0.9, duration_s=np.full(6, 2 * HOUR_S))
    # 0.5 and 1.281552 times 0.4 a leg, four legs without sure water.
    assert plan.drunk_L[0] == pytest.approx(np.full(6, 1.0126206), abs=1e-6)
    assert float(plan.leave_L[0, 1]) == pytest.approx(4 * 1.0126206 + 0.5, abs=1e-6)
    assert plan.quantile == 0.9


def test_a_dry_camp_is_carried_to_and_a_camp_at_a_spring_is_not() -> None:
    camp = (Station("Start"), Station("Camp", used_here_L=3.0), Station("End"))
    need = {"need_L": known([1.0, 1.0]), "duration_s": [2 * HOUR_S] * 2, "quantile": 0.5, "reserve_L": 0.25}
    dry = plan_water(camp, **need)
    assert float(dry.start_L[0]) == pytest.approx(5.25)
    assert float(dry.used_L[0, 1]) == pytest.approx(3.0)
    assert [one.flag for one in dry.findings] == ["no_source"]
    wet = plan_water((camp[0], Station("Camp", is_water=True, used_here_L=3.0, treatment="boiling"), camp[2]), **need)
    assert float(wet.start_L[0]) == pytest.approx(1.25)
    assert float(wet.treat_L[0, 1]) == pytest.approx(1.0 + 3.0)
    assert float(wet.hands_s[1]) == pytest.approx(4.0 * 360.0)
    assert float(wet.wait_s[1]) == pytest.approx(180.0)


def test_the_start_is_treated_only_where_it_is_a_source() -> None:
    with_spring = there_and_back(stations=(Station("Spring", is_water=True), *THERE_AND_BACK[1:]))
    assert float(with_spring.treat_L[0, 0]) == pytest.approx(1.5)
    assert float(there_and_back().treat_L[0, 0]) == 0.0
    breakfast = (Station("Spring", is_water=True, used_here_L=1.0), *THERE_AND_BACK[1:])
    assert float(there_and_back(stations=breakfast).treat_L[0, 0]) == pytest.approx(1.5)


def test_the_party_treats_for_all_and_each_has_their_own_bottles() -> None:
    plan = there_and_back(
        need_L=known([[1.0, 0.6, 0.8, 0.5, 0.4, 0.7], [0.5] * 6]), reserve_L=[0.5, 0.0], capacity_L=[3.0, math.inf]
    )
    assert plan.leave_L[:, 1] == pytest.approx([2.8, 2.0])
    assert float(plan.hands_s[1]) == pytest.approx(120.0 * (2.3 + 2.0))


def test_bottles_too_small_take_the_reserve_first_and_then_run_out() -> None:
    close = there_and_back(capacity_L=2.5)
    assert [(one.flag, one.station, one.name, one.walker) for one in close.findings[2:]] == [
        ("beyond_capacity", 1, "Lower spring", 0),
        ("reserve_not_kept", 5, "Lower spring", 0),
    ]
    assert [one.litres for one in close.findings[2:]] == pytest.approx([0.3, 0.3])
    assert bool(np.all(close.missed_L == 0.0))
    dry = there_and_back(capacity_L=2.0)
    assert [(one.flag, one.station) for one in dry.findings[2:]] == [
        ("beyond_capacity", 1),
        ("reserve_not_kept", 5),
        ("water_runs_out", 5),
    ]
    assert [one.litres for one in dry.findings[2:]] == pytest.approx([0.8, 0.5, 0.3])
    assert dry.missed_L[0] == pytest.approx([0, 0, 0, 0, 0.3, 0], abs=1e-12)
    assert {one.flag for one in (*close.findings, *dry.findings)} <= set(CARRIED_FLAGS)


def test_nothing_that_may_not_be_drunk_is_carried() -> None:
    plan = there_and_back(need_L=known([4.0, 0.6, 0.8, 0.5, 0.4, 0.7]))
    assert float(plan.drunk_L[0, 0]) == pytest.approx(2 * 1.41953, abs=1e-5)
    assert float(plan.start_L[0]) == pytest.approx(2 * 1.41953 + 0.5, abs=1e-5)
    last = plan.findings[-1]
    assert (last.flag, last.station, last.walker) == ("capped", 1, 0)
    assert last.litres == pytest.approx(4.0 - 2 * 1.41953, abs=1e-5)
    days = there_and_back(need_L=known([2.8] * 6), duration_s=[2 * HOUR_S] * 6)
    assert days.drunk_L[0] == pytest.approx([11.35624 / 6] * 6, abs=1e-5)
    apart = there_and_back(need_L=known([2.8] * 6), duration_s=[2 * HOUR_S] * 6, day=[0, 0, 0, 1, 1, 1])
    assert float(apart.missed_L.sum()) == 0.0


def test_water_in_hand_is_not_poured_out() -> None:
    """A source right before the end: nothing more is needed there."""
    plan = plan_water(
        (Station("Start"), Station("Spring", is_water=True), Station("End")),
        known([1.0, 0.0]),
        [HOUR_S, 0.0],
        quantile=0.5,
        reserve_L=1.0 / 3.0,
    )
    assert float(plan.refill_L[0, 1]) == pytest.approx(0.0, abs=1e-12)
    assert bool(np.all(plan.refill_L >= 0.0))


@st.composite
def ways(draw: st.DrawFn) -> dict[str, Any]:
    legs = draw(st.integers(1, 7))
    walkers = draw(st.integers(1, 3))
    litres = st.floats(0.0, 1.4)
    return {
        "stations": tuple(
            Station(
                f"Place {i}",
                is_water=draw(st.booleans()),
                may_be_dry=draw(st.booleans()),
                used_here_L=draw(st.sampled_from([0.0, 0.0, 2.5])),
            )
            for i in range(legs + 1)
        ),
        "need_L": known([[draw(litres) for _ in range(legs)] for _ in range(walkers)]),
        "duration_s": [HOUR_S] * legs,
        "quantile": 0.5,
        "reserve_L": draw(st.floats(0.0, 1.0)),
        "capacity_L": draw(st.sampled_from([math.inf, 1.0, 2.0, 4.0])),
        "treatment_key": draw(st.sampled_from(["none", "filter"])),
    }


@given(way=ways())
@settings(max_examples=200, deadline=None)
def test_water_is_conserved_and_agrees_with_bottles_sip_by_sip(way: dict[str, Any]) -> None:
    plan = plan_water(**way)
    assert np.allclose(plan.leave_L[:, :-1], plan.drunk_L + plan.arrive_L[:, 1:], rtol=0, atol=1e-12)
    assert np.allclose(plan.arrive_L - plan.used_L + plan.refill_L, plan.leave_L, rtol=0, atol=1e-12)
    for litres in (plan.arrive_L, plan.leave_L, plan.used_L, plan.refill_L, plan.treat_L, plan.drunk_L, plan.missed_L):
        assert bool(np.all(litres >= 0.0))
    assert bool(np.all(plan.leave_L <= way["capacity_L"] + 1e-12))
    flags = {(one.flag, one.walker) for one in plan.findings}
    used_here = [place.used_here_L for place in plan.stations]
    sure = [0, *(i for i in range(1, len(used_here)) if plan.stations[i].is_reliable)]
    for walker, need_L in enumerate(way["need_L"].centre):
        leave = {i: float(plan.leave_L[walker, i]) for i in sure}
        walked = walk_with_bottles(leave, [min(litres, 1.419529) for litres in need_L], used_here)
        assert walked.arrive_L == pytest.approx(plan.arrive_L[walker], abs=1e-5)
        assert walked.filled_L == pytest.approx(plan.refill_L[walker].sum(), abs=1e-5)
        assert (walked.without_L > 1e-5) <= (("water_runs_out", walker) in flags)
        if ("beyond_capacity", walker) not in flags:
            ends = [*sure[1:], len(used_here) - 1]
            assert all(plan.leave_L[walker, i] >= way["reserve_L"] - 1e-9 for i in ends)
            assert walked.without_L == pytest.approx(0.0, abs=1e-5)


@given(way=ways(), more=st.floats(0.0, 0.5))
@settings(max_examples=80, deadline=None)
def test_more_reserve_is_never_less_water(way: dict[str, Any], more: float) -> None:
    small, large = plan_water(**way), plan_water(**(way | {"reserve_L": way["reserve_L"] + more}))
    assert bool(np.all(large.leave_L >= small.leave_L - 1e-12))


@given(way=ways())
@settings(max_examples=80, deadline=None)
def test_no_less_than_the_plan_would_do(way: dict[str, Any]) -> None:
    """A cup less out of a source, and the reserve is not there at the next."""
    reserve_L = way["reserve_L"] + 0.2
    plan = plan_water(**(way | {"capacity_L": math.inf, "reserve_L": reserve_L}))
    for stretch in plan.stretches:
        used = [0.0 if place.is_reliable else place.used_here_L for place in plan.stations]
        part = slice(stretch.first, stretch.last)
        leave = {0: float(plan.leave_L[0, stretch.first]) - 0.2}
        walked = walk_with_bottles(
            leave, [min(litres, 1.419529) for litres in plan.drunk_L[0, part]],
            [0.0, *used[stretch.first + 1 : stretch.last + 1]],
        )  # fmt: skip
        at_end = walked.arrive_L[-1] - used[stretch.last]
        assert at_end == pytest.approx(reserve_L - 0.2, abs=1e-5)


def test_sources_are_listed() -> None:
    for key in ("our_water_plan", "our_spread", "practice_water", "tb_med_507"):
        assert source(key).key == key


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"stations": THERE_AND_BACK[:1]}, "two or more"),
        ({"stations": ()}, "two or more"),
        ({"need_L": known([1.0])}, "a row for each walker and 6 legs"),
        ({"need_L": known([math.nan] * 6)}, "need_L must be finite"),
        ({"need_L": known([-1.0] * 6)}, "need_L must be 0 or more"),
        ({"duration_s": [HOUR_S]}, "one for each of 6 legs"),
        ({"duration_s": [-1.0] * 6}, "duration_s must be"),
        ({"reserve_L": -0.5}, "reserve_L must be 0 or more"),
        ({"reserve_L": math.nan}, "reserve_L must be 0 or more"),
        ({"reserve_L": [0.5, 0.5]}, "one for each of 1 walkers"),
        ({"capacity_L": -1.0}, "capacity_L must be 0 or more"),
        ({"quantile": 0.4}, "quantile"),
        ({"stations": (*THERE_AND_BACK[:6], Station("End", used_here_L=-1.0))}, "used_here_L must be .*: End"),
    ],
)
def test_what_cannot_be_planned_is_refused(wrong: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        there_and_back(**wrong)


def test_a_treatment_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match="unknown water treatment"):
        there_and_back(treatment_key="prayer")
