"""What others cost the party: by hand on one bay, against SimPy, and against the party's own figures of the report."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from handline.crowd.arrivals import ByHour, CrowdArrivals, OurParty
from handline.crowd.draws import draw_climbers
from handline.crowd.our_party import party_days
from handline.crowd.rules import DOWN_WAITS, PASS, UP, YIELDS, Climbers, CrowdLine
from handline.crowd.tables import FEWEST
from handline.day import party_waits as module
from handline.day.crowd_reporting import crowd_report
from handline.day.crowd_setting import CrowdSetting, crowd_days, set_crowd
from handline.day.party_waits import BIN_S, RANKS, PartyCosts, PartyWaits, party_costs, party_waits
from handline.day.setting import set_up
from handline.trip.model import Trip
from tests.crowd.lines import CLIMBERS, a_line
from tests.day.trips import typed_trip
from tests.referees.simpy_line import simpy_day

TEN = 36_000.0
BUSY = 'arrivals = [{ from = "07:30", to = "09:00", people = 180 }]'
STAY_S = 4 * 3600.0


@lru_cache(maxsize=1)
def _busy_trip() -> Trip:
    return typed_trip(crowd=BUSY, days=100)


@lru_cache(maxsize=1)
def _busy() -> CrowdSetting:
    return set_crowd(set_up(_busy_trip()), 1)


@lru_cache(maxsize=1)
def _busy_waits() -> PartyWaits:
    return party_waits(_busy())


def _crowd(line: CrowdLine, climbers: Climbers, comes: ByHour, people: int, size: int, party_of: int = 1):
    """A crowd on any line; nothing of the trip is left in what its days are computed from."""
    arrivals = CrowdArrivals(people - size, comes, seed=3, party_of=party_of, ours=OurParty(size, TEN))
    hands_s = np.zeros((2, line.bays))
    return replace(_busy(), line=line, climbers=climbers, arrivals=arrivals, hands_s=hands_s, people=people)


def _minutes_ten() -> CrowdSetting:
    """One bay of a minute each way. Ten come at ten sharp, one after the other; the party is two, and all stay long."""
    climbers = Climbers(up_m_s=10.0 / 60.0, down_m_s=10.0 / 60.0, top_s=STAY_S)
    line = CrowdLine(np.array([10.0]), np.zeros(2, np.int64), 0.0)
    return _crowd(line, climbers, ByHour(np.array([TEN]), np.array([TEN + 1e-3]), np.ones(1)), people=12, size=2)


def _sums_s(waits: PartyWaits, way: str) -> np.ndarray:
    wait = getattr(waits, way)
    return wait.wait_s + wait.held_s


def test_rules_are_as_stated() -> None:
    assert (BIN_S, RANKS, FEWEST) == (1800.0, 40, 30)
    assert (module._DAYS_A_BIN, module._MOST_CLIMBERS, module._DAYS_AHEAD) == (40, 1_600_000, 40)


def test_an_empty_line_costs_nothing() -> None:
    waits = party_waits(_busy().with_people(_busy().party_size))
    for way in (waits.up, waits.down):
        assert way.ranks == RANKS
        assert way.mean_s(TEN) == (0.0, 0.0)
        assert not way.wait_s.any()
        assert not way.held_s.any()


def test_who_is_not_there_is_not_asked_for() -> None:
    with pytest.raises(ValueError, match="nobody asks"):
        party_waits(_busy().without_us())


def test_one_bay_by_hand() -> None:
    """Ten minutes of queue at ten sharp, one less every minute; that the second waits for the first is our own."""
    crowd = _minutes_ten()
    joins = np.array([TEN - 121.0, TEN - 0.5, TEN + 1.0, TEN + 90.0, TEN + 599.0, TEN + 601.0])
    up, down = party_costs(crowd, joins).ways
    assert np.array_equal(up.join_clock_s, joins)
    assert up.wait_s == pytest.approx([0.0, 0.0, 599.0, 510.0, 1.0, 0.0], abs=2e-3)
    assert up.held_s == pytest.approx(np.zeros(6), abs=1e-6)
    # Everybody stays as long, so they come to the head a minute apart, and no queue is there.
    assert down.wait_s + down.held_s == pytest.approx(np.zeros(6), abs=1e-6)
    # The others are there from ten until the last has come down, 11 min and the stay later. A party of two is up and
    # down again 3 min and the stay after it came: it comes first the half hour that much before ten.
    clocks = module._joining_clocks_s(crowd)
    assert clocks == pytest.approx(BIN_S * (11.0 + (np.arange(720) + 0.5) / 40.0))
    waits = party_waits(crowd).up
    # One way takes such a party 2 min: the half hour before ten counts, and those before it and after all are nothing.
    assert waits.edges_clock_s.tolist() == (BIN_S * np.arange(18.0, 31.0)).tolist()
    (at,) = np.flatnonzero(waits.edges_clock_s == TEN)
    # Evenly over the half hour, a third of the days meets the queue: from nothing up to ten minutes.
    ranks = (np.arange(RANKS) + 0.5) / RANKS
    assert waits.wait_s[at] == pytest.approx(np.maximum(0.0, 600.0 - 1800.0 * (1.0 - ranks)), abs=50.0)
    assert not waits.held_s[at].any()
    assert not waits.wait_s[np.arange(waits.wait_s.shape[0]) != at].any()


def test_one_who_stands_still_is_passed_to_the_party_on_the_line() -> None:
    """Two bays, no place between. Up 60 s each; the first of others freezes for ever so long in the upper one."""
    line = CrowdLine(np.array([10.0, 10.0]), np.zeros(3, np.int64), 0.0)
    climbers = Climbers(up_m_s=10.0 / 60.0, down_m_s=10.0 / 60.0, top_s=STAY_S)
    comes = ByHour(np.array([TEN]), np.array([TEN + 1e-3]), np.ones(1))
    crowd = replace(_crowd(line, climbers, comes, people=2, size=1), hands_s=np.array([[0.0, 300.0], [0.0, 0.0]]))
    # Alone: 60 + 360 s. Behind one who came at ten: into the lower bay at once, then held until 10:07.
    up = party_costs(crowd, np.array([TEN + 60.0, TEN + 180.0])).ways[UP]
    assert up.wait_s == pytest.approx([0.0, 0.0], abs=2e-3)
    assert up.held_s == pytest.approx([300.0, 180.0], abs=2e-3)


def _simpy_ways(crowd: CrowdSetting, day: int, clock_s: float, *, others: bool) -> list[tuple[float, float, float]]:
    """Join, wait and time on the line of the party, up and down, of one day by the referee."""
    size, line = crowd.party_size, crowd.line
    who = replace(crowd.arrivals, ours=OurParty(size, clock_s))(day, 1)
    drawn = draw_climbers(line, crowd.climbers, who, seed=crowd.arrivals.seed, first_day=day)
    order = np.argsort(who.clock_s[: who.people if others else size], kind="stable")
    # Who came together stays above as long as the first of them.
    top_s = [drawn.top_s[np.flatnonzero(who.clock_s == who.clock_s[i])[0]] for i in order]
    waits = YIELDS[line.yields].waits
    climbers = simpy_day(
        who.clock_s[order].tolist(), drawn.service_s[order].tolist(), top_s, line.places.tolist(), line.pass_s,
        None if waits < 0 else waits,
    )  # fmt: skip
    party = [climber for climber, i in zip(climbers, order, strict=True) if i < size]
    told = []
    for way, (first, last) in enumerate(((0, line.bays - 1), (line.bays - 1, 0))):
        join = min(one.join[way] for one in party)
        enter = min(one.enter[way][first] for one in party)
        told.append((join, enter - join, max(one.leave[way][last] for one in party) - enter))
    return told


@pytest.mark.parametrize("yields", [PASS, DOWN_WAITS])
def test_against_simpy(yields: str) -> None:
    """A line with stances, people who freeze, rest and meet: every day of the party with and without them."""
    comes = ByHour(np.array([TEN]), np.array([TEN + 1800.0]), np.ones(1))
    line, climbers = a_line(6, yields=yields), replace(CLIMBERS, top_s=60.0, top_sigma=1.0)
    crowd = _crowd(line, climbers, comes, people=33, size=3, party_of=3)
    joins = np.linspace(TEN - 300.0, TEN + 3300.0, 25)
    costed = party_costs(crowd, joins)
    alone_longest_s = alone_waited_s = 0.0
    for day, clock in enumerate(joins.tolist()):
        there, alone = (_simpy_ways(crowd, day, clock, others=others) for others in (True, False))
        for costs, (join, wait_s, on_s), (_, alone_wait_s, alone_on_s) in zip(costed.ways, there, alone, strict=True):
            assert costs.join_clock_s[day] == pytest.approx(join, abs=1e-6)
            assert costs.wait_s[day] == pytest.approx(max(0.0, wait_s - alone_wait_s), abs=1e-6)
            assert costs.held_s[day] == pytest.approx(max(0.0, on_s - alone_on_s), abs=1e-6)
            alone_longest_s = max(alone_longest_s, alone_wait_s + alone_on_s)
            alone_waited_s = max(alone_waited_s, alone_wait_s)
    assert costed.alone_s == pytest.approx(alone_longest_s, abs=1e-6)
    # Where who comes down waits, the first down waits at the head for the last of its own party to come up.
    assert (alone_waited_s > 10.0) == (yields == DOWN_WAITS)
    for costs in costed.ways:
        assert costs.wait_s.max() > 60.0
        assert costs.held_s.max() > 60.0


def test_a_bin_is_its_days_by_rising_sum() -> None:
    """By hand: forty days in the first bin, five in the second, thirty in the third."""
    edges = BIN_S * np.arange(6.0)
    first, second, third = (np.full(n, BIN_S * (k + 0.5)) for k, n in ((1, 40), (2, 5), (3, 30)))
    all_s = np.concatenate((np.arange(40.0)[::-1], 100.0 + np.arange(5.0), 200.0 + np.arange(30.0)))
    wait_s = np.where(np.arange(75) % 2 == 0, all_s, 0.0)
    table = module._by_clock(PartyCosts(np.concatenate((first, second, third)), wait_s, all_s - wait_s), edges)
    sums = table.wait_s + table.held_s
    assert sums[0].tolist() == sums[4].tolist() == [0.0] * RANKS
    assert sums[1].tolist() == np.arange(40.0).tolist()
    # Too few: with as many bins on both sides, 75 days, of which forty evenly by rank.
    assert sums[2].tolist() == [np.sort(all_s)[int((r + 0.5) * 75 / 40)] for r in range(RANKS)]
    # Just enough: its own only, some of them twice.
    assert sums[3].tolist() == [200.0 + int((r + 0.5) * 30 / 40) for r in range(RANKS)]
    # A pair belongs to one day.
    assert not (table.wait_s * table.held_s).any()


def test_before_and_after_the_others_it_costs_nothing() -> None:
    """In the bins given as nothing the days with others are those without, to the last digit."""
    crowd, waits = _busy(), _busy_waits()
    edges = waits.up.edges_clock_s
    assert np.array_equal(edges, waits.down.edges_clock_s)
    joins = np.concatenate([np.linspace(*edges[k : k + 2], 20, endpoint=False) for k in (0, edges.size - 2)])
    up, down = party_costs(crowd, joins).ways
    assert not up.wait_s.any()
    assert not up.held_s.any()
    assert not (down.wait_s + down.held_s)[20:].any()
    # Coming down so early takes a party that was up earlier still.
    earlier = party_costs(crowd, joins - (down.join_clock_s - joins).max()).ways[1]
    early = earlier.join_clock_s < edges[1]
    assert early.sum() >= 20
    assert not (earlier.wait_s + earlier.held_s)[early].any()
    for way in ("up", "down"):
        sums = _sums_s(waits, way)
        assert not sums[[0, -1]].any()
        assert sums.max() > 1800.0
        assert sums.shape == (edges.size - 1, RANKS)


def test_when_the_party_comes_does_not_count() -> None:
    """What it costs is asked of every clock time: the party's own days say nothing to it."""
    crowd = _busy().with_people(30)
    later = replace(crowd, arrivals=replace(crowd.arrivals, ours=OurParty(3, np.array([60_000.0, 3_000.0]))))
    one, other = party_waits(crowd), party_waits(later)
    for way in ("up", "down"):
        assert np.array_equal(_sums_s(one, way), _sums_s(other, way))


def test_it_agrees_with_what_the_report_says_of_the_party() -> None:
    days = 150
    report = crowd_report(_busy_trip(), days=days, pictures=False)
    rng = np.random.default_rng(0)
    chunks = [party_days(chunk) for chunk in crowd_days(set_crowd(set_up(_busy_trip()), days), days)]
    for told, way in zip(report.party, ("up", "down"), strict=True):
        join = np.concatenate([getattr(chunk, way).join_clock_s for chunk in chunks])
        wait_s, held_s = getattr(_busy_waits(), way).cost_s(join, rng.standard_normal((200, days)))
        sums_s = wait_s + held_s
        # The standard error of a rank over so many days, once for the report and once for the table.
        for level, added_s in zip((0.5, 0.9), told.added_s, strict=True):
            off = 3.0 * np.sqrt(2.0 * level * (1.0 - level) / days)
            low, high = np.quantile(sums_s, (max(0.0, level - off), min(1.0, level + off)))
            assert low <= added_s <= high
            assert added_s > 300.0


def test_more_people_never_cost_less() -> None:
    fewer, more = party_waits(_busy().with_people(60)), _busy_waits()
    at = {float(edge): k for k, edge in enumerate(more.up.edges_clock_s[:-1])}
    seen = 0
    for way in ("up", "down"):
        few_s, many_s = _sums_s(fewer, way), _sums_s(more, way)
        for k, edge in enumerate(fewer.up.edges_clock_s[:-1].tolist()):
            if edge not in at:
                continue
            less, much = few_s[k], many_s[at[edge]]
            error_s = np.hypot(less.std(), much.std()) / np.sqrt(FEWEST)
            assert much.mean() >= less.mean() - 3.0 * error_s
            seen += much.mean() > less.mean() + 3.0 * error_s
    assert seen > 5


def test_fewer_days_for_a_great_crowd_take_neighbours_in(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_MOST_CLIMBERS", 1)
    told: list[float] = []
    waits = party_waits(_busy(), lambda what, share: told.append(share))
    assert module._joining_clocks_s(_busy()).size == FEWEST
    assert told[-1] == 1.0
    # All of the few days stand for every bin.
    assert np.unique(_sums_s(waits, "up")[1:-1], axis=0).shape[0] == 1


def test_others_who_hardly_ever_come() -> None:
    crowd = _busy().with_people(4)
    rare = replace(crowd, arrivals=replace(crowd.arrivals, come_share=1e-9))
    waits = party_waits(rare)
    assert not _sums_s(waits, "up").any()
    assert not _sums_s(waits, "down").any()
