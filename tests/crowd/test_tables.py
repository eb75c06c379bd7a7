"""Tables against the passes they are made of, read one by one."""

from __future__ import annotations

import numpy as np
import pytest

from handline.crowd.rules import DOWN, UP, Arrivals, CrowdLine
from handline.crowd.simulate import CrowdDays, simulate_chunks, simulate_days
from handline.crowd.tables import MEASURES, CrowdTables, PassTable, Window, best_windows, crowd_tables
from tests.crowd.lines import CLIMBERS, a_line, a_morning, one_day

LINE = a_line()
DAYS = 24


@pytest.fixture(scope="module")
def days() -> CrowdDays:
    return simulate_days(LINE, CLIMBERS, a_morning(DAYS, 60), seed=3)


@pytest.fixture(scope="module")
def tables(days: CrowdDays) -> CrowdTables:
    return crowd_tables([days])


def test_quantiles_are_those_of_the_passes(days: CrowdDays, tables: CrowdTables) -> None:
    seen = 0
    for table, passes in ((tables.up, days.up), (tables.down, days.down)):
        assert np.diff(table.edges_clock_s) == pytest.approx(900.0)
        assert table.edges_clock_s[0] % 900.0 == 0.0
        assert table.bins == len(table.seen) == table.edges_clock_s.size - 1
        for i, (start, end) in enumerate(zip(table.edges_clock_s[:-1], table.edges_clock_s[1:], strict=True)):
            here = (passes.join_clock_s >= start) & (passes.join_clock_s < end)
            assert table.seen[i] == here.sum()
            seen += here.sum()
            for measure in MEASURES:
                value = np.sort(getattr(passes, measure)[here])
                told = table.quantile(measure, [0.0, 0.5, 0.9, 1.0])[:, i]
                if not here.any():
                    assert np.isnan(told).all()
                    assert np.isnan(table.exceeds(measure, 1.0)[i])
                    continue
                # The value seen at the rank, or the next one up.
                ranks = np.ceil(np.array([0.0, 0.5, 0.9, 1.0]) * (value.size - 1) - 1e-9).astype(int)
                assert told == pytest.approx(value[ranks])
                assert table.exceeds(measure, value[0])[i] == pytest.approx(np.mean(value > value[0]))
    assert seen == 2 * 60 * DAYS
    assert (tables.up.way, tables.down.way) == (UP, DOWN)
    assert (tables.days, tables.people) == (DAYS, 60 * DAYS)


def test_counts_are_those_of_the_passes(days: CrowdDays, tables: CrowdTables) -> None:
    counts, number = tables.counts, days.day
    most = 0.0
    assert counts.clock_s[0] <= days.up.join_clock_s.min()
    assert counts.clock_s[-1] >= days.clears_clock_s.max()
    for i, clock in enumerate(counts.clock_s):
        inside = [(p.enter_clock_s <= clock) & (clock < p.leave_clock_s) for p in days.ways]
        queue = [(p.join_clock_s <= clock) & (clock < p.enter_clock_s) for p in days.ways]
        for told, here in (
            (counts.on_line, inside[UP].astype(int) + inside[DOWN]),
            (counts.at_foot, queue[UP].astype(int)),
            (counts.at_head, queue[DOWN].astype(int)),
        ):
            a_day = np.sort([here[number == day].sum() for day in range(DAYS)])
            # The least number that at least such a share of 24 days does not go over: the 3rd, 12th and 22nd.
            assert told[:, i].tolist() == a_day[[2, 11, 21]].tolist()
            most = max(most, float(a_day[11]))
    assert most > 5
    assert tables.density_per_m == pytest.approx(counts.on_line / LINE.length_m)
    assert counts.levels.tolist() == [0.1, 0.5, 0.9]


def test_people_off_the_line_an_hour(days: CrowdDays, tables: CrowdTables) -> None:
    edges = tables.off_edges_clock_s
    for way, passes in enumerate(days.ways):
        counted = np.histogram(passes.leave_clock_s, edges)[0]
        assert counted.sum() == 60 * DAYS
        assert tables.off_per_h[way] == pytest.approx(counted * 4.0 / DAYS)
    assert tables.clears_clock_s == pytest.approx(np.sort(days.clears_clock_s))


@pytest.mark.parametrize("days_a_chunk", [1, 7, 24])
def test_the_same_however_the_days_are_cut(
    tables: CrowdTables, days_a_chunk: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And however often the sample is thinned on the way."""
    with monkeypatch.context() as patched:
        patched.setattr("handline.crowd.thinning._WAITING_ROWS", 100)
        chunks = simulate_chunks(LINE, CLIMBERS, a_morning(DAYS, 60), days=DAYS, seed=3, days_a_chunk=days_a_chunk)
        cut = crowd_tables(chunks, kept=40)
    whole = crowd_tables([simulate_days(LINE, CLIMBERS, a_morning(DAYS, 60), seed=3)], kept=40)
    for one, other in ((cut.up, whole.up), (cut.down, whole.down)):
        assert all(np.array_equal(a, b) for a, b in zip(one.rows, other.rows, strict=True))
        assert np.array_equal(one.seen, other.seen)
    assert np.array_equal(cut.counts.on_line, tables.counts.on_line)
    assert np.array_equal(cut.counts.at_foot, tables.counts.at_foot)
    assert np.array_equal(cut.off_per_h, tables.off_per_h)
    assert [len(rows) for rows in cut.up.rows] == [min(40, seen) for seen in tables.up.seen]


def test_what_is_kept_is_an_even_sample(days: CrowdDays) -> None:
    """Of the busiest hour: half of it has the mean of all of it, within 4 standard errors."""
    whole = crowd_tables([days], bin_s=3600.0)
    half = crowd_tables([days], bin_s=3600.0, kept=int(whole.up.seen.max() / 2))
    at = int(np.argmax(whole.up.seen))
    every, some = whole.up.rows[at][:, 0], half.up.rows[at][:, 0]
    assert some.size == every.size // 2
    assert some.mean() == pytest.approx(every.mean(), abs=4.0 * every.std() / np.sqrt(2.0 * every.size))
    assert set(some) < set(every)


def test_two_thousand_are_kept() -> None:
    people = 2_500
    service = np.full((people, 2, 1), 1.0)
    crowd = one_day(CrowdLine(np.ones(1), np.zeros(2, int), 0.0), np.linspace(0.0, 899.0, people), service, 9999.0)
    tables = crowd_tables([crowd])
    assert tables.up.seen.tolist() == [2_500]
    assert len(tables.up.rows[0]) == 2_000


def test_a_sampled_pass_is_one_that_was(tables: CrowdTables) -> None:
    table = tables.up
    at = int(np.argmax(table.seen))
    clock, rank = table.edges_clock_s[at] + 1.0, np.linspace(0.0, 0.999, 50)
    drawn = table.sample(clock, rank)
    keys = [key for key in MEASURES if key != "delay_s"]
    rows = {tuple(row) for row in np.delete(table.rows[at], list(MEASURES).index("delay_s"), axis=1)}
    for values in zip(*(getattr(drawn, key) for key in keys), strict=True):
        assert tuple(values) in rows
    assert np.all(np.diff(drawn.wait_s + drawn.stuck_s) >= 0.0)
    assert not drawn.borrowed.any()
    # Every row is as likely as any other.
    size = len(table.rows[at])
    every = table.sample(clock, (np.arange(size) + 0.5) / size)
    assert np.sort(every.wait_s) == pytest.approx(np.sort(table.rows[at][:, 0]))
    assert table.sample(np.full((3, 1), clock), rank).wait_s.shape == (3, 50)


def test_a_lonely_bin_borrows_and_says_so() -> None:
    rows = tuple(np.full((n, len(MEASURES)), float(i)) for i, n in enumerate((29, 0, 1, 40, 30)))
    table = PassTable(UP, np.arange(6) * 900.0, rows, np.array([29, 0, 1, 40, 30]))
    for clock, kept, borrowed in (
        # Bin 0 is one short: it takes in bin 1, which has none, and then bin 2.
        (10.0, {0.0, 2.0}, True),
        # Bin 1 with both its neighbours has the 30.
        (910.0, {0.0, 2.0}, True),
        (1810.0, {2.0, 3.0}, True),
        (2710.0, {3.0}, False),
        (3610.0, {4.0}, False),
        # Past either end the nearest bin counts.
        (4500.0, {4.0}, True),
        (-1.0, {0.0, 2.0}, True),
    ):
        drawn = table.sample(clock, np.linspace(0.0, 0.999, 200))
        assert set(drawn.wait_s) == kept
        assert drawn.borrowed.all() == borrowed


@pytest.mark.parametrize(("clock", "rank"), [(1.0, 1.0), (1.0, -0.1), (np.nan, 0.5), (1.0, np.nan)])
def test_what_cannot_be_sampled(tables: CrowdTables, clock: float, rank: float) -> None:
    with pytest.raises(ValueError, match="sampled"):
        tables.up.sample(clock, rank)


def test_windows_by_hand() -> None:
    delays = (100.0, 200.0, 900.0, 50.0, 60.0, 10.0)
    rows = tuple(np.full((30, len(MEASURES)), delay) for delay in delays)
    table = PassTable(UP, np.arange(7) * 900.0, rows, np.array([30, 30, 30, 30, 30, 29]))
    found = best_windows(table, most_delay_s=200.0)
    assert found == (Window(2700.0, 4500.0, 60.0), Window(0.0, 1800.0, 200.0))
    assert best_windows(table, most_delay_s=49.0) == ()


def test_a_window_is_by_the_level() -> None:
    rows = (np.tile(np.arange(100.0)[:, None], (1, len(MEASURES))),)
    table = PassTable(UP, np.array([0.0, 900.0]), rows, np.array([100]))
    assert best_windows(table, most_delay_s=90.0) == (Window(0.0, 900.0, 90.0),)
    assert best_windows(table, most_delay_s=89.0) == ()
    assert best_windows(table, most_delay_s=89.0, level=0.5) == (Window(0.0, 900.0, 50.0),)


def test_days_on_which_nobody_comes_count_as_quiet(days: CrowdDays) -> None:
    nobody = simulate_days(LINE, CLIMBERS, Arrivals(np.empty(0), np.array([0, 0])), seed=3, first_day=DAYS)
    tables = crowd_tables([nobody, *[days], *[nobody] * 30])
    assert tables.days == DAYS + 31
    # On more than half of the days nobody is there at any time.
    assert tables.counts.on_line[1].max() == 0.0
    alone = crowd_tables([nobody])
    assert alone.up.bins == 0
    assert alone.off_per_h.shape == (2, 0)
    with pytest.raises(ValueError, match="nobody passes"):
        alone.up.sample(36_000.0, 0.5)


@pytest.mark.parametrize(
    ("asked", "said"), [({"bin_s": 0.0}, "0 s"), ({"kept": 0}, "kept"), ({"levels": (1.1,)}, "levels")]
)
def test_tables_that_cannot_be(days: CrowdDays, asked: dict, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        crowd_tables([days], **asked)


def test_tables_of_nothing_or_of_two_lines(days: CrowdDays) -> None:
    with pytest.raises(ValueError, match="no days"):
        crowd_tables([])
    other = simulate_days(a_line(7), CLIMBERS, a_morning(1, 5), seed=3)
    with pytest.raises(ValueError, match="one line"):
        crowd_tables([days, other])


def test_a_late_day_is_flagged() -> None:
    late = simulate_days(LINE, CLIMBERS, Arrivals(np.full(3, 86_000.0), np.array([0, 3])), seed=1)
    assert crowd_tables([late]).flags == late.flags != ()
