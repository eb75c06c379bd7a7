"""The entrance: the same days however they are asked for, and what it refuses."""

from __future__ import annotations

from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context

import numpy as np
import pytest

from handline.crowd.draws import Drawn, draw_climbers
from handline.crowd.rules import Arrivals
from handline.crowd.simulate import CLEARS_AFTER_MIDNIGHT, CrowdDays, follow_days, simulate_chunks, simulate_days
from handline.sources import source
from tests.crowd.lines import CLIMBERS, a_line, a_morning

LINE = a_line()


def _arrivals(first: int, days: int) -> Arrivals:
    """The same people on the same day, for any days."""
    clocks = [np.random.default_rng([7, day]).normal(36_000.0, 2_400.0, 15 + day) for day in range(first, first + days)]
    return Arrivals(np.concatenate(clocks), np.cumsum([0, *(len(clock) for clock in clocks)]))


def _told(chunks: list[CrowdDays]) -> np.ndarray:
    return np.concatenate([[*days.ways[0].leave_clock_s, *days.ways[1].leave_clock_s] for days in chunks])


@pytest.mark.parametrize("pool", [None, "threads", "processes"])
def test_the_same_on_one_core_and_on_many(pool: str | None) -> None:
    executor: Executor | None = None
    if pool == "threads":
        executor = ThreadPoolExecutor(3)
    elif pool == "processes":
        executor = ProcessPoolExecutor(2, mp_context=get_context("spawn"))
    chunks = list(simulate_chunks(LINE, CLIMBERS, _arrivals, days=23, seed=4, executor=executor, days_a_chunk=2))
    if executor is not None:
        executor.shutdown()
    assert [(days.first_day, days.days) for days in chunks] == [*((first, 2) for first in range(0, 22, 2)), (22, 1)]
    alone = [simulate_days(LINE, CLIMBERS, _arrivals(day, 1), seed=4, first_day=day) for day in range(23)]
    together = simulate_days(LINE, CLIMBERS, _arrivals(0, 23), seed=4)
    assert np.array_equal(together.up.leave_clock_s, np.concatenate([day.up.leave_clock_s for day in alone]))
    assert np.array_equal(together.up.leave_clock_s, np.concatenate([days.up.leave_clock_s for days in chunks]))
    assert np.array_equal(together.down.leave_clock_s, np.concatenate([days.down.leave_clock_s for days in chunks]))
    assert np.array_equal(together.day, np.concatenate([days.day for days in chunks]))
    for way in range(2):
        assert np.array_equal(together.thinning(way), np.concatenate([days.thinning(way) for days in chunks]))


def test_all_arrivals_at_once_in_chunks() -> None:
    arrivals = _arrivals(0, 5)
    chunks = list(simulate_chunks(LINE, CLIMBERS, arrivals, days=4, seed=4, days_a_chunk=3))
    whole = simulate_days(LINE, CLIMBERS, arrivals.some(0, 4), seed=4)
    assert np.array_equal(whole.up.leave_clock_s, np.concatenate([days.up.leave_clock_s for days in chunks]))


def test_who_is_left_waiting_is_let_go() -> None:
    with ThreadPoolExecutor(1) as pool:
        chunks = simulate_chunks(LINE, CLIMBERS, _arrivals, days=40, seed=4, executor=pool, days_a_chunk=1)
        assert next(chunks).first_day == 0
        chunks.close()  # type: ignore[attr-defined]


def test_the_order_of_the_list_is_kept() -> None:
    """People in any order get what they get sorted, with their own draws."""
    arrivals = a_morning(1, 40)
    drawn = draw_climbers(LINE, CLIMBERS, arrivals, seed=2)
    order = np.argsort(arrivals.clock_s)
    days = follow_days(LINE, arrivals, drawn, keep_bays=True)
    ordered = follow_days(
        LINE,
        Arrivals(arrivals.clock_s[order], arrivals.day_first),
        Drawn(drawn.service_s[order], drawn.top_s[order]),
        keep_bays=True,
    )
    assert days.bay_times is not None
    assert ordered.bay_times is not None
    assert np.array_equal(days.down.leave_clock_s[order], ordered.down.leave_clock_s)
    assert np.array_equal(days.bay_times.enter_clock_s[order], ordered.bay_times.enter_clock_s)
    assert np.array_equal(days.up.join_clock_s, arrivals.clock_s)
    assert days.up.delay_s == pytest.approx(days.up.wait_s + days.up.held_s + days.up.stance_s)


@pytest.mark.parametrize(("people", "flags"), [(40, ()), (3000, (CLEARS_AFTER_MIDNIGHT,))])
def test_more_than_can_pass_in_a_day_are_told_of(people: int, flags: tuple[str, ...]) -> None:
    days = simulate_days(LINE, CLIMBERS, a_morning(1, people), seed=2)
    assert days.flags == flags
    assert (days.clears_clock_s[0] >= 86_400.0) == bool(flags)
    assert days.clears_clock_s[0] == days.down.leave_clock_s.max()
    assert days.bay_times is None
    assert len(days.cautions) == 2
    assert all(source(key).title for key in days.sources)


def test_midnight_itself_is_late() -> None:
    """Of one climber who needs 30 s up and 30 s down, the last second before midnight and midnight itself."""
    line = a_line(1, stances=())
    for clock, flags in ((86_339.9, ()), (86_340.0, (CLEARS_AFTER_MIDNIGHT,))):
        arrivals = Arrivals(np.array([clock]), np.array([0, 1]))
        assert follow_days(line, arrivals, Drawn(np.full((1, 2, 1), 30.0), np.zeros(1))).flags == flags


def test_nobody_comes() -> None:
    days = simulate_days(LINE, CLIMBERS, Arrivals(np.empty(0), np.array([0, 0])), seed=2)
    assert days.up.wait_s.size == 0
    assert np.isnan(days.clears_clock_s).all()
    assert days.thinning(0).size == 0


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"days": 0}, "at least one"),
        ({"days": 3, "days_a_chunk": 0}, "at least one"),
        ({"days": 6}, "6 days were asked for, but people come on 5"),
    ],
)
def test_days_that_cannot_be(asked: dict, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        simulate_chunks(LINE, CLIMBERS, _arrivals(0, 5), seed=1, **asked)


def test_a_source_that_gives_other_days() -> None:
    with pytest.raises(ValueError, match="people come on 1 days where 2 were asked for"):
        list(simulate_chunks(LINE, CLIMBERS, lambda first, days: _arrivals(first, 1), days=2, seed=1))


def test_times_for_others() -> None:
    with pytest.raises(ValueError, match="not for 5 people on 8 bays"):
        follow_days(LINE, a_morning(1, 5), Drawn(np.zeros((4, 2, 8)), np.zeros(4)))


def test_a_day_without_end_is_a_defect(monkeypatch: pytest.MonkeyPatch) -> None:
    from handline.crowd import kernel

    def lost(*given: object) -> None:
        given[-1][:] = np.nan  # type: ignore[index]
        given[-4][:] = 0.0  # type: ignore[index]

    monkeypatch.setattr(kernel, "crowd_batch", lost)
    with pytest.raises(ArithmeticError, match="2 days came to no end, the first is day 7"):
        simulate_days(LINE, CLIMBERS, a_morning(2, 5), seed=1, first_day=7)
