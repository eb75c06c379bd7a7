"""The crowd on the line from event to event, many days in one call: a numba kernel of the rules in ``rules.py``.

Since nobody overtakes, the climbers of one way enter every bay in the order in which they joined the queue. So all
queues are counters: how many entered a bay and how many left it. Whoever left one bay and has not entered the next
waits at the node between.

The next event is the earliest of all bays and both queues. What may happen next stands in the order of rule 6, and the
first of equals comes first: bay 0 down, bay 0 up, bay 1 down, ..., the queue at the head, the queue at the foot. It
stands in rows of eight with the earliest of each row beside them: a new time looks through its row, the next event
through the rows' earliest and one row.

Importing this module imports numba: do it inside the function that needs it.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Any, NamedTuple, TypeVar, cast

import numpy as np
from numba import njit
from numba.core.cpu import CPUTargetOptions
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

# Eight times are one line of a processor's cache.
_ROW = 8

# Numba keeps this option to itself: where a later one has it no more, the same is computed, more slowly.
_NO_COUNT: dict[str, Any] = {"_nrt": False} if hasattr(CPUTargetOptions, "_nrt") else {}


class _Given(NamedTuple):
    """A day before anybody has come: its people, ``clock`` ascending, and the rules of the line."""

    clock: Floats
    service_s: Floats
    top_s: Floats
    places: Ints
    pass_s: float
    waits: int
    down_opens: float


class _Book(NamedTuple):
    """How a day stands.

    ``counts`` is told above. ``joined`` (2,) is how many joined each queue, ``order`` (2, people) who they were, and
    ``due`` (2, bays) when who is in a bay would have finished alone. ``next_s`` (rows of 8,) is what may happen next,
    ``earliest_s`` (rows,) each row's earliest. ``coming`` and ``who`` are a heap of those on the way to the queue at
    the head.
    """

    counts: Ints
    joined: Ints
    order: Ints
    due: Floats
    next_s: Floats
    earliest_s: Floats
    coming: Floats
    who: Ints


class _Told(NamedTuple):
    """What is told of everybody; ``bay_enter`` and ``bay_leave`` have no rows where nobody asked for them."""

    results: Floats
    bay_enter: Floats
    bay_leave: Floats


_Function = TypeVar("_Function", bound=Callable[..., object])


def _jit(function: _Function, **options: Any) -> _Function:
    """Compiled at its first call and kept on disk; kept in memory only where no place on disk can be written."""
    compiled: Any
    try:
        compiled = njit(cache=True, nogil=True, **options)(function)
    except RuntimeError:
        compiled = njit(nogil=True, **options)(function)
    return cast(_Function, compiled)


def _uncounted(function: _Function) -> _Function:
    """Compiled without a count of who holds which array, which took half of a day's time: no array is made in it."""
    return _jit(function, **_NO_COUNT)


def _inside(function: _Function) -> _Function:
    """The same, put into the code of whoever calls it."""
    return cast(_Function, njit(forceinline=True, **_NO_COUNT)(function))


@_inside
def _set(book: _Book, event: int, time_s: float) -> None:
    """A new time for what may happen next, inf for never."""
    book.next_s[event] = time_s
    row = event // _ROW
    earliest_s = book.next_s[row * _ROW]
    for other in range(row * _ROW + 1, row * _ROW + _ROW):
        earliest_s = min(earliest_s, book.next_s[other])
    book.earliest_s[row] = earliest_s


@_inside
def _earliest(book: _Book) -> tuple[float, int]:
    """When something happens next and what that is; inf where nothing does."""
    row, now = 0, book.earliest_s[0]
    for other in range(1, book.earliest_s.size):
        if book.earliest_s[other] < now:
            row, now = other, book.earliest_s[other]
    event, end = row * _ROW, row * _ROW + _ROW - 1
    while event < end and book.next_s[event] != now:
        event += 1
    return now, event


@_inside
def _come_later(book: _Book, waiting: int, time_s: float, person: int) -> None:
    """One more on the way to the queue at the head: into the heap of ``waiting``, by time and then by number."""
    coming, who, at = book.coming, book.who, waiting
    while at > 0:
        parent = (at - 1) >> 1
        if coming[parent] < time_s or (coming[parent] == time_s and who[parent] < person):
            break
        coming[at], who[at] = coming[parent], who[parent]
        at = parent
    coming[at], who[at] = time_s, person


@_inside
def _comes_now(book: _Book, waiting: int) -> int:
    """The first of ``waiting`` out of the heap."""
    coming, who = book.coming, book.who
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
def _held(book: _Book, way: int, bay: int) -> bool:
    """Whether somebody of this way is in the bay."""
    return book.counts[ENTERED, way, bay] > book.counts[LEFT, way, bay]


@_inside
def _may_enter(given: _Given, book: _Book, way: int, bay: int) -> bool:
    """Whether the bay is free for this way, and nobody is in it to whom this way yields."""
    return not _held(book, way, bay) and (way != given.waits or not _held(book, 1 - way, bay))


@_inside
def _above(counts: Ints, way: int, bay: int) -> int:
    """People on the line higher up than who has just entered a bay: going up, and coming down."""
    last = counts.shape[2] - 1
    up = counts[ENTERED, UP, bay] - 1 if way == UP else counts[LEFT, UP, bay]
    return up - counts[LEFT, UP, last] + counts[ENTERED, DOWN, last] - counts[ENTERED, DOWN, bay]


@_inside
def _enter(given: _Given, book: _Book, told: _Told, way: int, bay: int, now: float) -> None:
    """The next in order enters a bay; whoever of the other way is in it is met."""
    counts, results, other = book.counts, told.results, 1 - way
    person = book.order[way, counts[ENTERED, way, bay]]
    counts[ENTERED, way, bay] += 1
    if bay == (0 if way == UP else counts.shape[2] - 1):
        results[person, way, ENTER] = now
    else:
        results[person, way, STANCE] += now - results[person, way, LEAVE]
    above = _above(counts, way, bay)
    results[person, way, ABOVE_SUM] += above
    results[person, way, ABOVE_MOST] = max(results[person, way, ABOVE_MOST], above)
    ends = now + given.service_s[person, way, bay]
    book.due[way, bay] = ends
    if _held(book, other, bay):
        ends += given.pass_s
        event = 2 * bay + 1 - other
        # Who has finished and stands there blocked is passed too, and cannot go on before that is done.
        there = now if counts[FINISHED, other, bay] else book.next_s[event]
        counts[FINISHED, other, bay] = 0
        _set(book, event, there + given.pass_s)
        results[person, way, MEETINGS] += 1.0
        results[book.order[other, counts[LEFT, other, bay]], other, MEETINGS] += 1.0
    _set(book, 2 * bay + 1 - way, ends)
    if told.bay_enter.shape[0] > 0:
        told.bay_enter[person, way, bay] = now


@_inside
def _leave(book: _Book, told: _Told, way: int, bay: int, now: float) -> int:
    """Who has finished a bay leaves it; who that is."""
    person = book.order[way, book.counts[LEFT, way, bay]]
    book.counts[LEFT, way, bay] += 1
    book.counts[FINISHED, way, bay] = 0
    told.results[person, way, HELD] += now - book.due[way, bay]
    told.results[person, way, LEAVE] = now
    if told.bay_leave.shape[0] > 0:
        told.bay_leave[person, way, bay] = now
    return person


@_inside
def _fill(given: _Given, book: _Book, told: _Told, way: int, bay: int, now: float) -> int:
    """Into a bay goes who waits for it, into the place so freed who is blocked behind, and so on backwards.

    What is told is the bay that stays free at the end, -1 for none.
    """
    counts = book.counts
    step, first = (1, 0) if way == UP else (-1, counts.shape[2] - 1)
    while _may_enter(given, book, way, bay):
        behind = bay - step
        reached = book.joined[way] if bay == first else counts[LEFT, way, behind]
        blocked = bay != first and counts[FINISHED, way, behind] == 1
        if reached == counts[ENTERED, way, bay] and not blocked:
            return bay
        if blocked:
            _leave(book, told, way, behind, now)
        _enter(given, book, told, way, bay, now)
        if not blocked:
            return -1
        bay = behind
    return -1 if _held(book, way, bay) else bay


@_inside
def _join(given: _Given, book: _Book, told: _Told, way: int, on_top: int, now: float) -> None:
    """The next joins the queue of a way: at the foot who comes first, at the head the first of ``on_top``."""
    bays, people = given.service_s.shape[2], given.clock.size
    if way == UP:
        person = book.joined[UP]
        told.results[person, UP, JOIN] = now
        _set(book, 2 * bays + 1, given.clock[person + 1] if person + 1 < people else inf)
    else:
        book.order[DOWN, book.joined[DOWN]] = _comes_now(book, on_top)
        _set(book, 2 * bays, book.coming[0] if on_top > 1 else inf)
    book.joined[way] += 1


@_uncounted
def _day(given: _Given, book: _Book, told: _Told) -> float:
    """One day until everybody is off the line: when that is; NaN if they never are."""
    counts, bays, on_top, last = book.counts, given.service_s.shape[2], 0, np.nan
    while True:
        now, event = _earliest(book)
        if now == inf:
            break
        last, way, bay = now, event & 1 ^ 1, event >> 1
        if bay == bays:
            _join(given, book, told, way, on_top, now)
            on_top -= way
            bay = 0 if way == UP else bays - 1
        else:
            _set(book, event, inf)
            counts[FINISHED, way, bay] = 1
            ahead = bay + 1 if way == UP else bay - 1
            if ahead < 0 or ahead == bays:
                person = _leave(book, told, way, bay, now)
                if way == UP:
                    ready = now + given.top_s[person]
                    told.results[person, DOWN, JOIN] = ready
                    _come_later(book, on_top, max(ready, given.down_opens), person)
                    on_top += 1
                    _set(book, 2 * bays, book.coming[0])
            elif _may_enter(given, book, way, ahead):
                bay = ahead
            elif counts[LEFT, way, bay] - counts[ENTERED, way, ahead] < given.places[max(bay, ahead)]:
                _leave(book, told, way, bay, now)
            else:
                continue
        # First on its own way; then, where the other way yields and a bay became free for it, on that one.
        for _ in range(2):
            bay = _fill(given, book, told, way, bay, now)
            way = 1 - way
            if bay < 0 or way != given.waits:
                break
    return last if counts[LEFT, DOWN, 0] == given.clock.size else np.nan


@_jit
def _empty_book(people: int, bays: int, first_s: float) -> _Book:
    """Nobody on the line, and nobody on the way to it but the first."""
    rows = (2 * bays + 2 + _ROW - 1) // _ROW
    order = np.zeros((2, people), np.int64)
    order[UP] = np.arange(people)
    book = _Book(
        np.zeros((COUNTS, 2, bays), np.int64),
        np.zeros(2, np.int64),
        order,
        np.zeros((2, bays)),
        np.full(rows * _ROW, inf),
        np.full(rows, inf),
        np.zeros(people),
        np.zeros(people, np.int64),
    )
    _set(book, 2 * bays + 1, first_s)
    return book


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
        first, end = day_first[day], day_first[day + 1]
        rows = slice(first, end)
        kept = rows if bay_enter.shape[0] > 0 else slice(0, 0)
        clears[day] = _day(
            _Given(clock[rows], service_s[rows], top_s[rows], places, pass_s, waits, down_opens),
            _empty_book(end - first, service_s.shape[2], clock[first] if end > first else inf),
            _Told(results[rows], bay_enter[kept], bay_leave[kept]),
        )
