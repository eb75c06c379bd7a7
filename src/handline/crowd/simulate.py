"""Many days of a crowd on the line: the one entrance."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from dataclasses import dataclass

import numpy as np

from handline.crowd.draws import THINNING, Drawn, draw_climbers, generator
from handline.crowd.rules import DOWN, UP, YIELDS, Arrivals, Climbers, CrowdLine, Flags, Floats, Ints

# Names of flags, each of them of some day at least.
CLEARS_AFTER_MIDNIGHT = "clears_after_midnight"

CAUTION_MODEL = "The crowd is a model of people who queue, climb and pass each other by rule: real people do worse."
CAUTION_NOBODY_LEAVES = "Nobody turns back here, however long the wait: the queue is the longest it can be."

ArrivalSource = Callable[[int, int], Arrivals]
"""Who comes on which days: (first day, how many days) -> their arrivals. The same days are always the same people."""

_MIDNIGHT_S = 86_400.0
# Days in one call of the kernel, by default: with 300 people on 45 bays its draws take some 15 MB.
_DAYS_A_CHUNK = 50
# Chunks under way at once with an executor: so much waits in memory, however many days there are.
_CHUNKS_AHEAD = 8


@dataclass(frozen=True, eq=False)
class Passes:
    """Everybody's pass along the line, one way; all arrays (people,), in the order of the arrivals.

    ``join_clock_s`` is when they join the queue, at the foot on arrival and at the head after their stay;
    ``enter_clock_s`` when they step onto the line, ``leave_clock_s`` when they are off it [s after local midnight].
    Between these two lie ``service_s``, what they would need with nobody there, ``held_s``, standing in a bay, blocked
    or being passed, and ``stance_s``, waiting at a place of an inner node [s]. ``meetings`` counts people of the other
    way met in a bay. ``above_mean`` and ``above_most`` are people on the line higher up, in the fall line, as counted
    on entering each bay; who waits at the head is not on the line.
    """

    join_clock_s: Floats
    enter_clock_s: Floats
    leave_clock_s: Floats
    service_s: Floats
    held_s: Floats
    stance_s: Floats
    meetings: Floats
    above_mean: Floats
    above_most: Floats

    @property
    def wait_s(self) -> Floats:
        """In the queue before the line [s]."""
        return self.enter_clock_s - self.join_clock_s

    @property
    def on_line_s(self) -> Floats:
        """From stepping onto the line to stepping off it [s]."""
        return self.leave_clock_s - self.enter_clock_s

    @property
    def stuck_s(self) -> Floats:
        """What others cost on the line: ``held_s`` and ``stance_s`` [s]."""
        return self.held_s + self.stance_s

    @property
    def delay_s(self) -> Floats:
        """What others cost in all: ``wait_s`` and ``stuck_s`` [s]."""
        return self.wait_s + self.stuck_s


@dataclass(frozen=True, eq=False)
class BayTimes:
    """When everybody entered and left each bay, both (people, 2, bays) [s after local midnight].

    The second axis is the way (``UP``, ``DOWN``), the third the bay from the foot. Between leaving one bay and entering
    the next a climber waits at the node.
    """

    enter_clock_s: Floats
    leave_clock_s: Floats


@dataclass(frozen=True, eq=False)
class CrowdDays:
    """Days of a crowd. ``up`` and ``down`` have one value a climber, in the order of ``arrivals``.

    ``clears_clock_s`` (days,) is when the last climber is off the line, NaN on a day without any; it may lie past
    midnight, 86,400 s and more, and then the flag ``clears_after_midnight`` is up: more came than can pass in a day.
    ``bay_times`` is None unless asked for. ``first_day`` and ``seed`` tell which days these are.
    """

    line: CrowdLine
    arrivals: Arrivals
    up: Passes
    down: Passes
    clears_clock_s: Floats
    bay_times: BayTimes | None
    first_day: int
    seed: int
    flags: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def ways(self) -> tuple[Passes, Passes]:
        """Both passes, by the index of the way."""
        return self.up, self.down

    @property
    def days(self) -> int:
        return self.arrivals.days

    @property
    def day(self) -> Ints:
        """Which day each climber belongs to, counted from ``first_day``, (people,)."""
        return self.first_day + np.repeat(np.arange(self.days), np.diff(self.arrivals.day_first))

    @property
    def ours(self) -> Flags:
        """Who belongs to the party that asks, (people,)."""
        assert self.arrivals.ours is not None
        return self.arrivals.ours

    def thinning(self, way: int) -> Floats:
        """A random number for each climber and way, (people,), of the stream of their day: who is kept in a sample."""
        first = self.arrivals.day_first
        parts = [
            generator(self.seed, self.first_day + i, THINNING).random((n, 2)) for i, n in enumerate(np.diff(first))
        ]
        return np.concatenate(parts)[:, way]


def simulate_days(
    line: CrowdLine,
    climbers: Climbers,
    arrivals: Arrivals,
    *,
    seed: int,
    first_day: int = 0,
    keep_bays: bool = False,
) -> CrowdDays:
    """Every climber of every day, up and down the line, by the rules of ``rules.py``.

    Parameters
    ----------
    line : CrowdLine
    climbers : Climbers
        From which everybody's times are drawn.
    arrivals : Arrivals
        Who comes when.
    seed : int
        The same seed gives the same draws: each day and each thing drawn has its own stream.
    first_day : int
        Number of the first of these days; day n is the same whichever days it is computed with.
    keep_bays : bool
        Whether to keep when everybody entered and left each bay.

    Returns
    -------
    CrowdDays
        Memory grows with the people of these days: ``simulate_chunks`` hands out many days in parts.

    Raises
    ------
    ValueError
        A number of a first day or a seed below 0.
    ArithmeticError
        The events of a day came to no end: a defect of ours.

    Notes
    -----
    Numba is imported at the first call here, compiles at that call, and is kept on disk.

    Sources: our_crowd_rules.
    """
    drawn = draw_climbers(line, climbers, arrivals, seed=seed, first_day=first_day)
    return follow_days(line, arrivals, drawn, seed=seed, first_day=first_day, keep_bays=keep_bays)


def follow_days(
    line: CrowdLine, arrivals: Arrivals, drawn: Drawn, *, seed: int = 0, first_day: int = 0, keep_bays: bool = False
) -> CrowdDays:
    """The same, with times already drawn: what is left is who waits for whom.

    Parameters
    ----------
    line, arrivals, keep_bays
        As ``simulate_days``.
    drawn : Drawn
        What everybody needs, in the order of the arrivals.
    seed, first_day : int
        Kept with the result: which draws these were.

    Raises
    ------
    ValueError
        Times for other people or bays than there are.
    ArithmeticError
        As ``simulate_days``.

    Sources: our_crowd_rules.
    """
    from handline.crowd import kernel

    people, bays = arrivals.people, line.bays
    if drawn.service_s.shape != (people, 2, bays):
        raise ValueError(f"times are drawn for {drawn.service_s.shape}, not for {people} people on {bays} bays")
    day = np.repeat(np.arange(arrivals.days), np.diff(arrivals.day_first))
    order = np.lexsort((arrivals.clock_s, day))
    told, clears = np.empty((people, 2, kernel.RESULT_COLUMNS)), np.empty(arrivals.days)
    enter, leave = (np.empty((people if keep_bays else 0, 2, bays)) for _ in range(2))
    kernel.crowd_batch(
        arrivals.day_first, arrivals.clock_s[order], drawn.service_s[order], drawn.top_s[order], line.places,
        line.pass_s, YIELDS[line.yields].waits, line.down_opens_clock_s, told, enter, leave, clears,
    )  # fmt: skip
    unfinished = np.flatnonzero(np.isnan(clears) & (np.diff(arrivals.day_first) > 0))
    if unfinished.size:
        raise ArithmeticError(f"{unfinished.size} days came to no end, the first is day {first_day + unfinished[0]}")
    results = _unsorted(told, order)
    up, down = (_passes(results[:, way], drawn.service_s[:, way]) for way in (UP, DOWN))
    return CrowdDays(
        line=line,
        arrivals=arrivals,
        up=up,
        down=down,
        clears_clock_s=clears,
        bay_times=BayTimes(_unsorted(enter, order), _unsorted(leave, order)) if keep_bays else None,
        first_day=first_day,
        seed=seed,
        flags=(CLEARS_AFTER_MIDNIGHT,) if bool(np.any(clears >= _MIDNIGHT_S)) else (),
        cautions=(CAUTION_MODEL, CAUTION_NOBODY_LEAVES),
        sources=(YIELDS[line.yields].source,),
    )


def simulate_chunks(
    line: CrowdLine,
    climbers: Climbers,
    arrivals: Arrivals | ArrivalSource,
    *,
    days: int,
    seed: int,
    executor: Executor | None = None,
    days_a_chunk: int = _DAYS_A_CHUNK,
) -> Iterator[CrowdDays]:
    """The same, a few days at a time and in their order, so that memory stays flat in the number of days.

    Parameters
    ----------
    line, climbers, seed
        As ``simulate_days``.
    arrivals : Arrivals or ArrivalSource
        All of the days, or what gives any of them; a source that goes to a pool of processes must pickle.
    days : int
        How many.
    executor : Executor, optional
        Any pool of threads, processes or machines; the kernel lets other threads run. The result is the same with any
        and with none.
    days_a_chunk : int
        How many days are computed, and kept, at once.

    Raises
    ------
    ValueError
        Fewer than one day, or in a chunk; more days than there are arrivals for; or as ``simulate_days``.
    """
    if days < 1 or days_a_chunk < 1:
        raise ValueError("there is at least one day, and one in a chunk")
    if isinstance(arrivals, Arrivals) and days > arrivals.days:
        raise ValueError(f"{days} days were asked for, but people come on {arrivals.days}")
    parts = [(first, min(days_a_chunk, days - first)) for first in range(0, days, days_a_chunk)]
    return _chunks(line, climbers, arrivals, parts, seed, executor)


def _chunks(
    line: CrowdLine,
    climbers: Climbers,
    arrivals: Arrivals | ArrivalSource,
    parts: list[tuple[int, int]],
    seed: int,
    executor: Executor | None,
) -> Iterator[CrowdDays]:
    """The parts, first day and how many, one after the other."""

    def who(first: int, days: int) -> Arrivals | ArrivalSource:
        return arrivals.some(first, days) if isinstance(arrivals, Arrivals) else arrivals

    if executor is None:
        for first, days in parts:
            yield _chunk(line, climbers, who(first, days), first, days, seed)
        return
    under_way: deque[Future[CrowdDays]] = deque()
    try:
        for first, days in parts:
            under_way.append(executor.submit(_chunk, line, climbers, who(first, days), first, days, seed))
            if len(under_way) == _CHUNKS_AHEAD:
                yield under_way.popleft().result()
        while under_way:
            yield under_way.popleft().result()
    finally:
        for future in under_way:
            future.cancel()


def _chunk(
    line: CrowdLine, climbers: Climbers, arrivals: Arrivals | ArrivalSource, first: int, days: int, seed: int
) -> CrowdDays:
    """A few days, wherever they are computed."""
    who = arrivals if isinstance(arrivals, Arrivals) else arrivals(first, days)
    if who.days != days:
        raise ValueError(f"people come on {who.days} days where {days} were asked for")
    return simulate_days(line, climbers, who, seed=seed, first_day=first)


def _passes(results: Floats, service_s: Floats) -> Passes:
    """One way of the kernel's table."""
    from handline.crowd import kernel

    return Passes(
        join_clock_s=results[:, kernel.JOIN].copy(),
        enter_clock_s=results[:, kernel.ENTER].copy(),
        leave_clock_s=results[:, kernel.LEAVE].copy(),
        service_s=service_s.sum(axis=1),
        held_s=results[:, kernel.HELD].copy(),
        stance_s=results[:, kernel.STANCE].copy(),
        meetings=results[:, kernel.MEETINGS].copy(),
        above_mean=results[:, kernel.ABOVE_SUM] / service_s.shape[1],
        above_most=results[:, kernel.ABOVE_MOST].copy(),
    )


def _unsorted(rows: Floats, order: Ints) -> Floats:
    """Rows back in the order of the arrivals."""
    back = np.empty_like(rows)
    back[order] = rows
    return back
