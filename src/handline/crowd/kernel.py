"""The crowd on the line from event to event, many days in one call: a numba kernel of the rules in ``rules.py``.

Since nobody overtakes, the climbers of one way enter every bay in the order in which they joined the queue. So all
queues are counters: how many entered a bay and how many left it. Whoever left one bay and has not entered the next
waits at the node between.

The next event is the winner of a tournament over all bays and both queues. Its leaves stand in the order of rule 6, and
the left one wins a tie: bay 0 down, bay 0 up, bay 1 down, ..., the queue at the head, the queue at the foot.

Importing this module imports numba: do it inside the function that needs it.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Any, TypeVar, cast

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

UP, DOWN = 0, 1

# Columns of a result: joined the queue, entered the line, left it [s]; held in bays, waited at nodes [s]; people met;
# people above, summed over the bays and the most.
JOIN, ENTER, LEAVE, HELD, STANCE, MEETINGS, ABOVE_SUM, ABOVE_MOST, RESULT_COLUMNS = 0, 1, 2, 3, 4, 5, 6, 7, 8

# What is counted at each bay for each way, (3, 2, bays): how many entered it, how many left it, and 1 where who is in
# it has finished.
ENTERED, LEFT, FINISHED, COUNTS = 0, 1, 2, 3

_Function = TypeVar("_Function", bound=Callable[..., object])


def _jit(function: _Function) -> _Function:
    """Compiled at its first call and kept on disk; kept in memory only where no place on disk can be written."""
    compiled: Any
    try:
        compiled = njit(cache=True, nogil=True)(function)
    except RuntimeError:
        compiled = njit(nogil=True)(function)
    return cast(_Function, compiled)


def _inside(function: _Function) -> _Function:
    """Put into the code of whoever calls it: arrays handed from call to call cost more than all that is done here."""
    return cast(_Function, njit(inline="always", nogil=True)(function))


@_inside
def _play(next_s: Floats, winner: Ints, node: int) -> None:
    """One match: of two leaves the earlier one wins, the left one at the same time."""
    first, second = winner[2 * node], winner[2 * node + 1]
    winner[node] = first if next_s[first] <= next_s[second] else second


@_inside
def _set(next_s: Floats, winner: Ints, leaf: int, time_s: float) -> None:
    """A new time for a leaf, and the matches above it played again."""
    next_s[leaf] = time_s
    node = (next_s.size + leaf) >> 1
    while node >= 1:
        _play(next_s, winner, node)
        node >>= 1


@_inside
def _come_later(coming: Floats, who: Ints, waiting: int, time_s: float, person: int) -> None:
    """One more on the way to the queue at the head: into the heap of ``waiting``, by time and then by number."""
    at = waiting
    while at > 0:
        parent = (at - 1) >> 1
        if coming[parent] < time_s or (coming[parent] == time_s and who[parent] < person):
            break
        coming[at], who[at] = coming[parent], who[parent]
        at = parent
    coming[at], who[at] = time_s, person


@_inside
def _comes_now(coming: Floats, who: Ints, waiting: int) -> int:
    """The first of ``waiting`` out of the heap."""
    first, last, at = who[0], waiting - 1, 0
    time_s, person = coming[last], who[last]
    while 2 * at + 1 < last:
        child, other = 2 * at + 1, 2 * at + 2
        if other < last and (
            coming[other] < coming[child] or (coming[other] == coming[child] and who[other] < who[child])
        ):
            child = other
        if time_s < coming[child] or (time_s == coming[child] and person < who[child]):
            break
        coming[at], who[at] = coming[child], who[child]
        at = child
    coming[at], who[at] = time_s, person
    return first


@_inside
def _may_enter(count: Ints, waits: int, way: int, bay: int) -> bool:
    """Whether the bay is free for this way, and nobody is in it to whom this way yields."""
    free = count[ENTERED, way, bay] == count[LEFT, way, bay]
    return free and (way != waits or count[ENTERED, 1 - way, bay] == count[LEFT, 1 - way, bay])


@_inside
def _above(count: Ints, way: int, bay: int) -> int:
    """People on the line higher up than who has just entered a bay: going up, and coming down."""
    last = count.shape[2] - 1
    up = count[ENTERED, UP, bay] - 1 if way == UP else count[LEFT, UP, bay]
    return up - count[LEFT, UP, last] + count[ENTERED, DOWN, last] - count[ENTERED, DOWN, bay]


@_inside
def _enter(
    count: Ints,
    order: Ints,
    due: Floats,
    next_s: Floats,
    winner: Ints,
    service_s: Floats,
    pass_s: float,
    results: Floats,
    bay_enter: Floats,
    way: int,
    bay: int,
    now: float,
) -> None:
    """The next in order enters a bay; whoever of the other way is in it is met."""
    person, other = order[way, count[ENTERED, way, bay]], 1 - way
    count[ENTERED, way, bay] += 1
    if bay == (0 if way == UP else count.shape[2] - 1):
        results[person, way, ENTER] = now
    else:
        results[person, way, STANCE] += now - results[person, way, LEAVE]
    above = _above(count, way, bay)
    results[person, way, ABOVE_SUM] += above
    results[person, way, ABOVE_MOST] = max(results[person, way, ABOVE_MOST], above)
    ends = now + service_s[person, way, bay]
    due[way, bay] = ends
    if count[ENTERED, other, bay] > count[LEFT, other, bay]:
        ends += pass_s
        leaf = 2 * bay + 1 - other
        # Who has finished and stands there blocked is passed too, and cannot go on before that is done.
        there = now if count[FINISHED, other, bay] else next_s[leaf]
        count[FINISHED, other, bay] = 0
        _set(next_s, winner, leaf, there + pass_s)
        results[person, way, MEETINGS] += 1.0
        results[order[other, count[LEFT, other, bay]], other, MEETINGS] += 1.0
    _set(next_s, winner, 2 * bay + 1 - way, ends)
    if bay_enter.shape[0] > 0:
        bay_enter[person, way, bay] = now


@_inside
def _leave(
    count: Ints, order: Ints, due: Floats, results: Floats, bay_leave: Floats, way: int, bay: int, now: float
) -> int:
    """Who has finished a bay leaves it; who that is."""
    person = order[way, count[LEFT, way, bay]]
    count[LEFT, way, bay] += 1
    count[FINISHED, way, bay] = 0
    results[person, way, HELD] += now - due[way, bay]
    results[person, way, LEAVE] = now
    if bay_leave.shape[0] > 0:
        bay_leave[person, way, bay] = now
    return person


@_inside
def _fill(
    count: Ints,
    joined: Ints,
    order: Ints,
    due: Floats,
    next_s: Floats,
    winner: Ints,
    service_s: Floats,
    pass_s: float,
    waits: int,
    results: Floats,
    bay_enter: Floats,
    bay_leave: Floats,
    way: int,
    bay: int,
    now: float,
) -> int:
    """Into a bay goes who waits for it, into the place so freed who is blocked behind, and so on backwards.

    What is told is the bay that stays free at the end, -1 for none.
    """
    step, first = (1, 0) if way == UP else (-1, count.shape[2] - 1)
    while _may_enter(count, waits, way, bay):
        behind = bay - step
        reached = joined[way] if bay == first else count[LEFT, way, behind]
        blocked = bay != first and count[FINISHED, way, behind] == 1
        if reached == count[ENTERED, way, bay] and not blocked:
            return bay
        if blocked:
            _leave(count, order, due, results, bay_leave, way, behind, now)
        _enter(count, order, due, next_s, winner, service_s, pass_s, results, bay_enter, way, bay, now)
        if not blocked:
            return -1
        bay = behind
    return bay if count[ENTERED, way, bay] == count[LEFT, way, bay] else -1


@_jit
def _tournament(bays: int, first_s: float) -> tuple[Floats, Ints]:
    """The leaves' times and the winners of all matches, with nobody but the first on the way to the foot."""
    leaves = 2
    while leaves < 2 * bays + 2:
        leaves *= 2
    next_s, winner = np.full(leaves, inf), np.zeros(2 * leaves, np.int64)
    next_s[2 * bays + 1] = first_s
    winner[leaves:] = np.arange(leaves)
    for node in range(leaves - 1, 0, -1):
        _play(next_s, winner, node)
    return next_s, winner


@_jit
def _day(
    clock: Floats,
    service_s: Floats,
    top_s: Floats,
    places: Ints,
    pass_s: float,
    waits: int,
    down_opens: float,
    results: Floats,
    bay_enter: Floats,
    bay_leave: Floats,
) -> float:
    """One day, ``clock`` ascending, until everybody is off the line: when that is; NaN if they never are."""
    people, bays, on_top, now = clock.size, service_s.shape[2], 0, np.nan
    count, joined, due = np.zeros((COUNTS, 2, bays), np.int64), np.zeros(2, np.int64), np.zeros((2, bays))
    order, coming, who = np.zeros((2, people), np.int64), np.zeros(people), np.zeros(people, np.int64)
    order[UP] = np.arange(people)
    next_s, winner = _tournament(bays, clock[0] if people > 0 else inf)
    while next_s[winner[1]] < inf:
        leaf = winner[1]
        now, way, bay = next_s[leaf], leaf & 1 ^ 1, leaf >> 1
        if bay < bays:
            _set(next_s, winner, leaf, inf)
            count[FINISHED, way, bay] = 1
            ahead = bay + 1 if way == UP else bay - 1
            if ahead < 0 or ahead == bays:
                person = _leave(count, order, due, results, bay_leave, way, bay, now)
                if way == UP:
                    ready = now + top_s[person]
                    results[person, DOWN, JOIN] = ready
                    _come_later(coming, who, on_top, max(ready, down_opens), person)
                    on_top += 1
                    _set(next_s, winner, 2 * bays, coming[0])
            elif _may_enter(count, waits, way, ahead):
                bay = ahead
            elif count[LEFT, way, bay] - count[ENTERED, way, ahead] < places[max(bay, ahead)]:
                _leave(count, order, due, results, bay_leave, way, bay, now)
            else:
                continue
        else:
            if way == UP:
                bay, person = 0, joined[UP]
                after_s = clock[person + 1] if person + 1 < people else inf
            else:
                bay, person = bays - 1, _comes_now(coming, who, on_top)
                on_top -= 1
                order[DOWN, joined[DOWN]] = person
                after_s = coming[0] if on_top > 0 else inf
            joined[way] += 1
            if way == UP:
                results[person, way, JOIN] = now
            _set(next_s, winner, leaf, after_s)
        # First on its own way; then, where the other way yields and a bay became free for it, on that one.
        for _ in range(2):
            bay = _fill(
                count, joined, order, due, next_s, winner, service_s, pass_s, waits, results, bay_enter, bay_leave,
                way, bay, now,
            )  # fmt: skip
            way = 1 - way
            if bay < 0 or way != waits:
                break
    return now if count[LEFT, DOWN, 0] == people else np.nan


@_jit
def crowd_batch(
    day_first: Ints,
    clock: Floats,
    service_s: Floats,
    top_s: Floats,
    places: Ints,
    pass_s: float,
    waits: int,
    down_opens: float,
    results: Floats,
    bay_enter: Floats,
    bay_leave: Floats,
    clears: Floats,
) -> None:
    """Run every day; day d is the rows from ``day_first[d]`` to ``day_first[d + 1]`` of all tables of people.

    ``clock`` ascends within a day. ``clears`` has when each day's last climber is off the line, NaN for a day without
    people, or one that came to no end: the caller raises.
    """
    results[:] = 0.0
    for day in range(day_first.size - 1):
        rows = slice(day_first[day], day_first[day + 1])
        kept = rows if bay_enter.shape[0] > 0 else slice(0, 0)
        clears[day] = _day(
            clock[rows],
            service_s[rows],
            top_s[rows],
            places,
            pass_s,
            waits,
            down_opens,
            results[rows],
            bay_enter[kept],
            bay_leave[kept],
        )
