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
from typing import Any, NamedTuple, TypeVar, cast

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

_Function = TypeVar("_Function", bound=Callable[..., object])


def _jit(function: _Function) -> _Function:
    """Compiled at its first call and kept on disk; kept in memory only where no place on disk can be written."""
    compiled: Any
    try:
        compiled = njit(cache=True, nogil=True)(function)
    except RuntimeError:
        compiled = njit(nogil=True)(function)
    return cast(_Function, compiled)


class Asked(NamedTuple):
    """What the climbers of one day bring, (people, 2, bays) and (people,), and the line they meet."""

    service_s: Floats
    top_s: Floats
    places: Ints
    pass_s: float
    waits: int


class State(NamedTuple):
    """Where everybody is. All but ``order``, the queue at the head and the tournament have the shape (2, bays)."""

    entered: Ints
    left: Ints
    finished: Flags
    due: Floats
    joined: Ints
    order: Ints
    coming: Floats
    who: Ints
    next_s: Floats
    winner: Ints


class Told(NamedTuple):
    """What is written down: (people, 2, columns), and (people, 2, bays) or (0, 2, bays) where bays are not kept."""

    results: Floats
    bay_enter: Floats
    bay_leave: Floats


@_jit
def _set(state: State, leaf: int, time_s: float) -> None:
    """A new time for a leaf, and the matches above it played again."""
    next_s, winner = state.next_s, state.winner
    next_s[leaf] = time_s
    node = (next_s.size + leaf) >> 1
    while node >= 1:
        first, second = winner[2 * node], winner[2 * node + 1]
        winner[node] = first if next_s[first] <= next_s[second] else second
        node >>= 1


@_jit
def _come_later(state: State, waiting: int, time_s: float, person: int) -> None:
    """One more on the way to the queue at the head: into the heap of ``waiting``, by time and then by number."""
    coming, who, at = state.coming, state.who, waiting
    while at > 0:
        parent = (at - 1) >> 1
        if coming[parent] < time_s or (coming[parent] == time_s and who[parent] < person):
            break
        coming[at], who[at] = coming[parent], who[parent]
        at = parent
    coming[at], who[at] = time_s, person


@_jit
def _comes_now(state: State, waiting: int) -> int:
    """The first of ``waiting`` out of the heap."""
    coming, who = state.coming, state.who
    first = who[0]
    last = waiting - 1
    time_s, person, at = coming[last], who[last], 0
    while True:
        child = 2 * at + 1
        if child >= last:
            break
        other = child + 1
        if other < last and (
            coming[other] < coming[child] or (coming[other] == coming[child] and who[other] < who[child])
        ):
            child = other
        if time_s < coming[child] or (time_s == coming[child] and person < who[child]):
            break
        coming[at], who[at] = coming[child], who[child]
        at = child
    coming[at], who[at] = time_s, person
    return int(first)


@_jit
def _may_enter(asked: Asked, state: State, way: int, bay: int) -> bool:
    """Whether the bay is free for this way, and nobody is in it to whom this way yields."""
    if state.entered[way, bay] > state.left[way, bay]:
        return False
    return way != asked.waits or state.entered[1 - way, bay] == state.left[1 - way, bay]


@_jit
def _enter(asked: Asked, state: State, told: Told, way: int, bay: int, now: float) -> None:
    """The next in order enters a bay; whoever of the other way is in it is met."""
    entered, left, last = state.entered, state.left, state.entered.shape[1] - 1
    person, other = state.order[way, entered[way, bay]], 1 - way
    entered[way, bay] += 1
    row = told.results[person, way]
    if bay == (0 if way == UP else last):
        row[ENTER] = now
    else:
        row[STANCE] += now - row[LEAVE]
    if way == UP:
        above = entered[UP, bay] - 1 - left[UP, last] + entered[DOWN, last] - entered[DOWN, bay]
    else:
        above = left[UP, bay] - left[UP, last] + entered[DOWN, last] - entered[DOWN, bay]
    row[ABOVE_SUM] += above
    row[ABOVE_MOST] = max(row[ABOVE_MOST], float(above))
    due = now + asked.service_s[person, way, bay]
    state.due[way, bay] = due
    if entered[other, bay] > left[other, bay]:
        due += asked.pass_s
        leaf = 2 * bay + 1 - other
        # Who has finished and stands there blocked is passed too, and cannot go on before that is done.
        there = now if state.finished[other, bay] else state.next_s[leaf]
        state.finished[other, bay] = False
        _set(state, leaf, there + asked.pass_s)
        row[MEETINGS] += 1.0
        told.results[state.order[other, left[other, bay]], other, MEETINGS] += 1.0
    _set(state, 2 * bay + 1 - way, due)
    if told.bay_enter.shape[0] > 0:
        told.bay_enter[person, way, bay] = now


@_jit
def _leave(state: State, told: Told, way: int, bay: int, now: float) -> int:
    """Who has finished a bay leaves it; who that is."""
    person = state.order[way, state.left[way, bay]]
    state.left[way, bay] += 1
    state.finished[way, bay] = False
    row = told.results[person, way]
    row[HELD] += now - state.due[way, bay]
    row[LEAVE] = now
    if told.bay_leave.shape[0] > 0:
        told.bay_leave[person, way, bay] = now
    return int(person)


@_jit
def _fill(asked: Asked, state: State, told: Told, way: int, bay: int, now: float) -> int:
    """Into a bay go those who wait for it, and so on backwards; the bay that stays free, -1 for none."""
    step, first = (1, 0) if way == UP else (-1, state.entered.shape[1] - 1)
    while True:
        if not _may_enter(asked, state, way, bay):
            return -1 if state.entered[way, bay] > state.left[way, bay] else bay
        if bay == first:
            if state.joined[way] == state.entered[way, bay]:
                return bay
            _enter(asked, state, told, way, bay, now)
            return -1
        behind = bay - step
        if state.left[way, behind] > state.entered[way, bay]:
            _enter(asked, state, told, way, bay, now)
            if not state.finished[way, behind]:
                return -1
            _leave(state, told, way, behind, now)
        elif state.finished[way, behind]:
            _leave(state, told, way, behind, now)
            _enter(asked, state, told, way, bay, now)
        else:
            return bay
        bay = behind


@_jit
def _go_on(asked: Asked, state: State, told: Told, way: int, bay: int, now: float) -> int:
    """Who has finished a bay goes on if they can; who is off the line by it, -1 for nobody."""
    off, last = -1, state.entered.shape[1] - 1
    if bay == (last if way == UP else 0):
        off = _leave(state, told, way, bay, now)
    else:
        ahead = bay + 1 if way == UP else bay - 1
        waiting = state.left[way, bay] - state.entered[way, ahead]
        if waiting == 0 and _may_enter(asked, state, way, ahead):
            _leave(state, told, way, bay, now)
            _enter(asked, state, told, way, ahead, now)
        elif waiting < asked.places[bay + 1 if way == UP else bay]:
            _leave(state, told, way, bay, now)
        else:
            return -1
    free = _fill(asked, state, told, way, bay, now)
    if free >= 0 and asked.waits == 1 - way:
        _fill(asked, state, told, 1 - way, free, now)
    return off


@_jit
def _begin(state: State, people: int, bays: int) -> None:
    """Nobody on the line, nobody in a queue."""
    state.entered[:] = 0
    state.left[:] = 0
    state.finished[:] = False
    state.joined[:] = 0
    for person in range(people):
        state.order[UP, person] = person
    leaves = state.next_s.size
    for leaf in range(leaves):
        state.next_s[leaf] = inf
        state.winner[leaves + leaf] = leaf
    for node in range(leaves - 1, 0, -1):
        state.winner[node] = state.winner[2 * node]


@_jit
def _day(asked: Asked, state: State, told: Told, clock: Floats) -> float:
    """One day from the first arrival, ``clock`` ascending, until everybody is off the line: when that is; NaN if not."""
    people, bays, head = clock.size, state.entered.shape[1], 0
    head_leaf, foot_leaf, now = 2 * bays, 2 * bays + 1, -inf
    _begin(state, people, bays)
    if people > 0:
        _set(state, foot_leaf, clock[0])
    while True:
        leaf = state.winner[1]
        if state.next_s[leaf] == inf:
            break
        now = state.next_s[leaf]
        if leaf < head_leaf:
            way, bay = (UP if leaf & 1 else DOWN), leaf >> 1
            _set(state, leaf, inf)
            state.finished[way, bay] = True
            off = _go_on(asked, state, told, way, bay, now)
            if off >= 0 and way == UP:
                _come_later(state, head, now + asked.top_s[off], off)
                head += 1
                _set(state, head_leaf, state.coming[0])
        elif leaf == head_leaf:
            person = _comes_now(state, head)
            head -= 1
            _set(state, head_leaf, state.coming[0] if head > 0 else inf)
            state.order[DOWN, state.joined[DOWN]] = person
            state.joined[DOWN] += 1
            told.results[person, DOWN, JOIN] = now
            _fill(asked, state, told, DOWN, bays - 1, now)
        else:
            person = state.joined[UP]
            state.joined[UP] += 1
            _set(state, foot_leaf, clock[person + 1] if person + 1 < people else inf)
            told.results[person, UP, JOIN] = now
            _fill(asked, state, told, UP, 0, now)
    return now if state.left[DOWN, 0] == people else np.nan


@_jit
def crowd_batch(
    day_first: Ints,
    clock: Floats,
    service_s: Floats,
    top_s: Floats,
    places: Ints,
    pass_s: float,
    waits: int,
    results: Floats,
    bay_enter: Floats,
    bay_leave: Floats,
    clears: Floats,
) -> None:
    """Run every day; day d is the rows from ``day_first[d]`` to ``day_first[d + 1]`` of all tables of people.

    ``clock`` ascends within a day. ``clears`` has when each day's last climber is off the line, NaN for a day without
    people, or one that came to no end: the caller raises.
    """
    bays, most = service_s.shape[2], 0
    for day in range(day_first.size - 1):
        most = max(most, day_first[day + 1] - day_first[day])
    leaves = 2
    while leaves < 2 * bays + 2:
        leaves *= 2
    state = State(
        np.zeros((2, bays), np.int64),
        np.zeros((2, bays), np.int64),
        np.zeros((2, bays), np.bool_),
        np.zeros((2, bays)),
        np.zeros(2, np.int64),
        np.zeros((2, most), np.int64),
        np.zeros(most),
        np.zeros(most, np.int64),
        np.zeros(leaves),
        np.zeros(2 * leaves, np.int64),
    )
    for day in range(day_first.size - 1):
        rows = slice(day_first[day], day_first[day + 1])
        results[rows] = 0.0
        kept = rows if bay_enter.shape[0] > 0 else slice(0, 0)
        asked = Asked(service_s[rows], top_s[rows], places, pass_s, waits)
        told = Told(results[rows], bay_enter[kept], bay_leave[kept])
        clears[day] = _day(asked, state, told, clock[rows])
        if rows.start == rows.stop:
            clears[day] = np.nan
