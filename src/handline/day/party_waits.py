"""What others on the line cost the party, by when it joins the queue: the same days with them and without them.

The party joins the queue on simulated days, on each a little later than on the one before: first so early that it is
off the line before anybody comes, last when everybody is gone. What members of the party cost each other they cost
each other alone too; the difference is what others cost.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from handline.crowd.our_party import party_days
from handline.crowd.rules import WAYS
from handline.crowd.simulate import CrowdDays
from handline.crowd.tables import FEWEST
from handline.day.crowd_setting import CrowdSetting, both_ways, crowd_days, told_days
from handline.day.line_wait import Floats, WaitByClock
from handline.day.told import Told

BIN_S = 1800.0
# How many pairs a bin tells: nine in ten fall between two of them.
RANKS = 40

# Days with the party in each bin on the way up: its 90th percentile then has a standard error of 5 % of rank. Where
# these would be more climbers than the most there are fewer days, and bins are filled with their neighbours.
_DAYS_A_BIN = 40
_MOST_CLIMBERS = 1_600_000
# Days that tell how early and how late others are there.
_DAYS_AHEAD = 40


@dataclass(frozen=True)
class PartyWaits:
    """What others cost the party on the way up, and on the way down, each by when it joins that queue."""

    up: WaitByClock
    down: WaitByClock


@dataclass(frozen=True, eq=False)
class PartyCosts:
    """What others cost the party on one way, one value a day, all (days,).

    ``join_clock_s`` is when it joins the queue [s after local midnight]; ``wait_s`` what others add before the line,
    ``held_s`` on it [s].
    """

    join_clock_s: Floats
    wait_s: Floats
    held_s: Floats


@dataclass(frozen=True, eq=False)
class CostedDays:
    """The party's costs by the index of the way, and when somebody else was on or near the line on any of these days.

    Where nobody came on any of them these are inf and -inf. ``alone_s`` is the longest that the party alone took for
    one way, from joining its queue [s].
    """

    ways: tuple[PartyCosts, PartyCosts]
    others_first_clock_s: float
    others_last_clock_s: float
    alone_s: float


def party_waits(crowd: CrowdSetting, told: Told = lambda what, share: None) -> PartyWaits:
    """What others cost the party, by the half hour in which it joins the queue.

    wait = max(0, wait with others - wait alone); held = max(0, time on the line with others - time alone)

    Parameters
    ----------
    crowd : CrowdSetting
        With the party in it. When the party comes does not count.
    told : callable
        Told of the progress.

    Returns
    -------
    PartyWaits
        Each with ``RANKS`` pairs a bin, and with a bin of nothing first and last: so long before the others the party
        is off the line when they come, and after their last nobody is there.

    Raises
    ------
    ValueError
        A crowd without the party that asks.

    Notes
    -----
    The same crowd gives the same waits. The time on the line is from the first of the party on it to the last off it.
    How far others pull the party apart on the way up is in both ways: a plan in which all come down together counts it
    twice, which is the careful side, and little.

    Sources: our_party_waits, our_crowd_rules.
    """
    if crowd.arrivals.ours is None:
        raise ValueError("nobody asks: there is no party in this crowd")
    if crowd.arrivals.people == 0:
        return PartyWaits(_nothing(), _nothing())
    costed = party_costs(crowd, _joining_clocks_s(crowd), told)
    if not np.isfinite(costed.others_first_clock_s):
        return PartyWaits(_nothing(), _nothing())
    edges_clock_s = _edges_clock_s(costed)
    return PartyWaits(*(_by_clock(costs, edges_clock_s) for costs in costed.ways))


def _nothing() -> WaitByClock:
    """Where nobody else comes, on any of the days: one bin is as good as many."""
    return WaitByClock(np.array([0.0, BIN_S]), np.zeros((1, RANKS)), np.zeros((1, RANKS)))


def party_costs(crowd: CrowdSetting, joins_clock_s: Floats, told: Told = lambda what, share: None) -> CostedDays:
    """What others cost the party that comes at these clock times, one a day.

    Parameters
    ----------
    crowd : CrowdSetting
        With the party in it, and with others.
    joins_clock_s : ndarray, shape (days,)
        When it joins the queue at the foot [s after local midnight].
    told : callable
        Told of the progress.

    Sources: our_party_waits, our_crowd_rules.
    """
    assert crowd.arrivals.ours is not None
    days = joins_clock_s.size
    crowd = replace(crowd, arrivals=replace(crowd.arrivals, ours=replace(crowd.arrivals.ours, clock_s=joins_clock_s)))
    others_s: list[float] = []
    chunks = _others_noted(told_days(crowd_days(crowd, days), days, told, "Waiting at the line"), others_s)
    there = both_ways(map(party_days, chunks))
    alone = both_ways(map(party_days, crowd_days(crowd.with_people(crowd.party_size), days)))
    up, down = (
        PartyCosts(
            join_clock_s=with_others.join_clock_s,
            wait_s=np.maximum(0.0, with_others.wait_s - without.wait_s),
            held_s=np.maximum(0.0, with_others.on_line_s - without.on_line_s),
        )
        for with_others, without in zip(there, alone, strict=True)
    )
    return CostedDays(
        ways=(up, down),
        others_first_clock_s=min(others_s, default=np.inf),
        others_last_clock_s=max(others_s, default=-np.inf),
        alone_s=float(max(np.max(way.off_clock_s - way.join_clock_s) for way in alone)),
    )


def _joining_clocks_s(crowd: CrowdSetting) -> Floats:
    """When the party joins the queue at the foot, one clock a day, evenly over all that others can do to it."""
    size = crowd.party_size
    others = replace(crowd, arrivals=replace(crowd.arrivals, ours=None))
    noted_s = _others_clock_s(others)
    if not noted_s:
        # So few come that nobody came on any of these days: where they would be if all of them did.
        noted_s = _others_clock_s(replace(others, arrivals=replace(others.arrivals, come_share=1.0)))
    up, down = both_ways(map(party_days, crowd_days(crowd.with_people(size), _DAYS_AHEAD)))
    whole_s = float(np.max(down.off_clock_s - up.join_clock_s))
    first, last = np.floor((min(noted_s) - whole_s) / BIN_S), np.ceil(max(noted_s) / BIN_S)
    people = crowd.arrivals.people + size
    days = max(FEWEST, min(int(last - first) * _DAYS_A_BIN, _MOST_CLIMBERS // people))
    clocks_s: Floats = BIN_S * (first + (last - first) * (np.arange(days) + 0.5) / days)
    return clocks_s


def _others_clock_s(others: CrowdSetting) -> list[float]:
    """The first and the last moment of each of some days at which anybody is on or near the line [s]."""
    noted_s: list[float] = []
    for _ in _others_noted(crowd_days(others, _DAYS_AHEAD), noted_s):
        pass
    return noted_s


def _others_noted(chunks: Iterator[CrowdDays], into_s: list[float]) -> Iterator[CrowdDays]:
    """The same days; when the first of the others joins the queue, and the last of them is off the line, is noted."""
    for chunk in chunks:
        others = ~chunk.ours
        if others.any():
            into_s.append(float(chunk.up.join_clock_s[others].min()))
            into_s.append(float(chunk.down.leave_clock_s[others].max()))
        yield chunk


def _edges_clock_s(costed: CostedDays) -> Floats:
    """The bins: all in which others may be met, and one more on either side.

    A party that joins before them all is off the line before the first of the others comes; after them all the last of
    the others is off it. In both nobody is met: these cost nothing by construction.
    """
    first = np.floor((costed.others_first_clock_s - costed.alone_s) / BIN_S)
    last = np.ceil(costed.others_last_clock_s / BIN_S)
    return BIN_S * np.arange(first - 1.0, last + 2.0)


def _by_clock(costs: PartyCosts, edges_clock_s: Floats) -> WaitByClock:
    """The pairs of each bin by rising sum; a bin with too few days takes its neighbours in, as many on both sides."""
    at = np.floor((costs.join_clock_s - edges_clock_s[0]) / BIN_S)
    all_s = costs.wait_s + costs.held_s
    wait_s, held_s = (np.zeros((edges_clock_s.size - 1, RANKS)) for _ in WAYS)
    for number in range(1, edges_clock_s.size - 2):
        away = np.abs(at - number)
        here = np.flatnonzero(away <= np.partition(away, FEWEST - 1)[FEWEST - 1])
        ordered = here[np.argsort(all_s[here], kind="stable")]
        chosen = ordered[((np.arange(RANKS) + 0.5) * ordered.size / RANKS).astype(np.int64)]
        wait_s[number], held_s[number] = costs.wait_s[chosen], costs.held_s[chosen]
    return WaitByClock(edges_clock_s, wait_s, held_s)
