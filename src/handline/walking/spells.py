"""What went on when in a recording: spells of moving, standing, no signal, and going faster than anybody walks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handline.walking.grade_models import FloatArray
from handline.walking.smoothed import SmoothedLine

SpellKind = Literal["moving", "pause", "lost signal", "faster than walking"]
MOVING: SpellKind = "moving"
PAUSE: SpellKind = "pause"
LOST: SpellKind = "lost signal"
FAST: SpellKind = "faster than walking"

# Common practice, no source, all of these (sources: practice_moving).
CLOCK_S = 5.0
HALF_WINDOW_S = 30.0
HALF_WINDOW_STEPS = 2.5
STANDING_M_S = 0.15
SHORTEST_PAUSE_S = 60.0
# A recorder whose place wanders while it lies still: seen over windows four times as long.
WANDERING_M_S = 0.12
WANDERING_WINDOWS = 4.0
SHORTEST_WANDERING_S = 180.0
# Who stands stays within this of one place, as far as a recorder can tell.
PLACE_M = 15.0
# A pause that gets on faster than this all the same is a slow climb.
SLOWEST_WALK_M_S = 0.08
FASTEST_WALK_M_S = 2.5
FASTEST_CLIMB_M_S = 0.5
SHORTEST_RIDE_S = 60.0
SHORTEST_LIFT_S = 180.0
# Heights tremble more than places: they are watched over windows so many times as long.
CLIMB_WINDOWS = 2.0
# Two rides nearer in time than this are one: it stood at a light, or crawled.
RIDE_BREAK_S = 300.0
# Without a point for longer than this the signal is lost, unless the recorder stayed where it was: many write a point
# only where they have moved, so that a pause shows as one long step to a place near by.
GAP_S = 120.0
GAP_STEPS = 6.0
PIECE_GAP_S = 30.0
PIECE_GAP_STEPS = 2.0
STAYED_M = 25.0
LONG_STEP_STEPS = 4.0
NEAR_S = 300.0

Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Spell:
    """A stretch of one kind: from ``start_s`` to ``end_s`` [s since 1970, UTC], and how far it went [m].

    The length of moving and of a ride is that of its smoothed line; of the others it is from one end to the other.
    """

    kind: SpellKind
    start_s: float
    end_s: float
    length_m: float


@dataclass(frozen=True, eq=False)
class Moves:
    """A recording as lines over strictly rising times; ``piece_starts`` are where the recorder was switched on."""

    time_s: FloatArray
    east: SmoothedLine
    north: SmoothedLine
    height: SmoothedLine
    piece_starts: tuple[int, ...] = (0,)
    usual_step_s: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "usual_step_s", float(np.median(np.diff(self.time_s))))

    def apart_m(self, from_s: FloatArray, to_s: FloatArray, window_s: float = 0.0) -> FloatArray:
        """How far apart the places at two times lie [m], averaged over a window."""
        changes = [line.around(to_s, window_s) - line.around(from_s, window_s) for line in (self.east, self.north)]
        return np.hypot(*changes)

    def speed_m_s(self, at_s: FloatArray, half_window_s: float) -> FloatArray:
        """How fast the place changes [m/s]."""
        return np.hypot(*(line.velocity_m_s(at_s, half_window_s) for line in (self.east, self.north)))


def spells_of(moves: Moves) -> tuple[Spell, ...]:
    """The spells of a recording, which tile it.

    A moment belongs to the first of these that holds:

    1. A gap: no point for two minutes and six usual steps, or the recorder was switched off. It is a pause where the
       next point lies within 25 m, a ride where nobody walks so fast, else lost signal. No point for one minute and
       four usual steps is a pause where the next point lies within 15 m.
    2. A ride: over 2.5 m/s for a minute, or climbing over 1,800 m an hour for three; rides less than five minutes apart
       are one.
    3. A pause: under 0.15 m/s for a minute, or under 0.12 m/s for three in windows four times as long and all the
       while within 25 m of one place; out to where it has half the speed of the walking near it. What lies between two
       pauses for less than a minute belongs to them; what gets on at 0.08 m/s and further than 15 m is slow walking all
       the same.
    4. Else it is moving.

    Speeds are those of ``SmoothedLine.velocity_m_s`` over half windows of 30 s, or 2.5 usual steps where that is more,
    and twice as much for climbing.

    Sources: practice_moving, our_moving_rule.
    """
    at_s = _clock(moves)
    half_s = max(HALF_WINDOW_S, HALF_WINDOW_STEPS * moves.usual_step_s)
    speed = moves.speed_m_s(at_s, half_s)
    climbing = moves.height.velocity_m_s(at_s, CLIMB_WINDOWS * half_s)
    kind = np.full(at_s.size, MOVING, dtype=object)
    gaps = _gaps(moves)
    in_gap = np.zeros(at_s.size, dtype=bool)
    for start_s, end_s, what in gaps:
        here = (at_s > start_s) & (at_s < end_s)
        kind[here] = what
        in_gap |= here
    fast = _rides(at_s, speed, climbing, in_gap & (kind != FAST)) | (kind == FAST)
    kind[fast & ~in_gap] = FAST
    kind[_pauses(moves, at_s, half_s, speed, fast | (kind == LOST)) & ~in_gap & ~fast] = PAUSE
    return _tiles(moves, at_s, kind, gaps)


def _clock(moves: Moves) -> FloatArray:
    """The middles of even steps of about 5 s over the whole recording."""
    start, end = float(moves.time_s[0]), float(moves.time_s[-1])
    edges = np.linspace(start, end, max(1, round((end - start) / CLOCK_S)) + 1)
    return (edges[:-1] + edges[1:]) / 2.0


def _gaps(moves: Moves) -> list[tuple[float, float, SpellKind]]:
    """Each gap: from when to when, and what it was."""
    step_s = np.diff(moves.time_s)
    longest_s = np.full(step_s.size, max(GAP_S, GAP_STEPS * moves.usual_step_s))
    joins = [start - 1 for start in moves.piece_starts if start > 0]
    longest_s[joins] = max(PIECE_GAP_S, PIECE_GAP_STEPS * moves.usual_step_s)
    found: list[tuple[float, float, SpellKind]] = []
    apart_m = np.hypot(np.diff(moves.east.value_m), np.diff(moves.north.value_m))
    stayed = np.where(step_s > longest_s, apart_m <= STAYED_M, apart_m <= PLACE_M)
    stayed &= step_s > np.minimum(longest_s, max(SHORTEST_PAUSE_S, LONG_STEP_STEPS * moves.usual_step_s))
    for i in np.flatnonzero(stayed | (step_s > longest_s)):
        what = PAUSE if stayed[i] else FAST if apart_m[i] / step_s[i] > FASTEST_WALK_M_S else LOST
        found.append((float(moves.time_s[i]), float(moves.time_s[i + 1]), what))
    return found


def _rides(at_s: FloatArray, speed: FloatArray, climbing: FloatArray, known: Flags) -> Flags:
    """Where it goes faster than anybody walks; ``known`` moments are something else already."""
    ride = np.zeros(at_s.size, dtype=bool)
    quick = ((speed > FASTEST_WALK_M_S, SHORTEST_RIDE_S), (climbing > FASTEST_CLIMB_M_S, SHORTEST_LIFT_S))
    for too_fast, shortest_s in quick:
        for first, last in _runs(too_fast & ~known):
            if _span_s(at_s, first, last) >= shortest_s:
                ride[first:last] = True
    for first, last in _runs(~ride):
        if first > 0 and last < at_s.size and _span_s(at_s, first, last) < RIDE_BREAK_S:
            ride[first:last] = True
    return ride


def _pauses(moves: Moves, at_s: FloatArray, half_s: float, speed: FloatArray, other: Flags) -> Flags:
    """Where it stands."""
    pause = np.zeros(at_s.size, dtype=bool)
    for first, last in _runs((speed < STANDING_M_S) & ~other):
        if _span_s(at_s, first, last) >= SHORTEST_PAUSE_S:
            pause[first:last] = True
    for first, last in _runs((moves.speed_m_s(at_s, WANDERING_WINDOWS * half_s) < WANDERING_M_S) & ~other):
        if _span_s(at_s, first, last) >= SHORTEST_WANDERING_S and _reach_m(moves, at_s[first:last]) < STAYED_M:
            pause[first:last] = True
    pause = _grown(at_s, speed, pause, other)
    for first, last in _runs(~pause & ~other):
        between = first > 0 and last < at_s.size and pause[first - 1] and pause[last]
        if between and _span_s(at_s, first, last) < SHORTEST_PAUSE_S:
            pause[first:last] = True
    for first, last in _runs(pause):
        if _gets_on(moves, float(at_s[first]), float(at_s[last - 1])):
            pause[first:last] = False
    return pause


def _grown(at_s: FloatArray, speed: FloatArray, pause: Flags, other: Flags) -> Flags:
    """Pauses out to where the speed is half of the walking near them: there it stopped, whatever the window."""
    grown, walking = pause.copy(), ~pause & ~other & (speed >= STANDING_M_S)
    usual = float(np.median(speed[walking])) if walking.any() else 0.0
    near = round(NEAR_S / _step_s(at_s))
    for first, last in _runs(pause):
        for edge, way in ((first - 1, -1), (last, 1)):
            beside = slice(max(0, edge - near + 1), edge + 1) if way < 0 else slice(edge, edge + near)
            here = speed[beside][walking[beside]]
            half = (float(np.median(here)) if here.size else usual) / 2.0
            while 0 <= edge < at_s.size and not other[edge] and speed[edge] < half:
                grown[edge] = True
                edge += way
    return grown


def _reach_m(moves: Moves, at_s: FloatArray) -> float:
    """How far from its middle a stretch gets [m]."""
    east, north = (line.around(at_s, HALF_WINDOW_S) for line in (moves.east, moves.north))
    return float(np.max(np.hypot(east - np.mean(east), north - np.mean(north))))


def _gets_on(moves: Moves, start_s: float, end_s: float) -> bool:
    """Whether what looks like a pause is a slow climb."""
    apart_m = float(moves.apart_m(np.array(start_s), np.array(end_s), HALF_WINDOW_S))
    return apart_m > PLACE_M and apart_m > SLOWEST_WALK_M_S * (end_s - start_s)


def _tiles(
    moves: Moves, at_s: FloatArray, kind: NDArray[np.object_], gaps: Sequence[tuple[float, float, SpellKind]]
) -> tuple[Spell, ...]:
    """The moments as spells without a space between them; gaps keep their exact ends."""
    changes = np.flatnonzero(kind[1:] != kind[:-1]) + 1
    edges_s = (at_s[changes - 1] + at_s[changes]) / 2.0
    exact_s = np.array([edge for start, end, _ in gaps for edge in (start, end)])
    if exact_s.size and edges_s.size:
        nearest = exact_s[np.argmin(np.abs(exact_s[None, :] - edges_s[:, None]), axis=1)]
        edges_s = np.where(np.abs(nearest - edges_s) <= _step_s(at_s), nearest, edges_s)
    bounds_s = np.concatenate(([moves.time_s[0]], edges_s, [moves.time_s[-1]]))
    kinds = kind[np.concatenate(([0], changes))]
    return tuple(
        Spell(what, float(start), float(end), _length_m(moves, what, float(start), float(end)))
        for what, start, end in zip(kinds, bounds_s[:-1], bounds_s[1:], strict=True)
        if end > start
    )


def _length_m(moves: Moves, kind: SpellKind, start_s: float, end_s: float) -> float:
    """How far a spell went [m]: along its line if it moved, else from one end to the other."""
    chord_s = 4.0 * CLOCK_S
    chords = max(1, round((end_s - start_s) / max(chord_s, moves.usual_step_s))) if kind in (MOVING, FAST) else 1
    at_s = np.linspace(start_s, end_s, chords + 1)
    return float(np.sum(moves.apart_m(at_s[:-1], at_s[1:], chord_s)))


def _runs(flags: Flags) -> list[tuple[int, int]]:
    """First and one past the last index of each run of True."""
    edges = np.diff(np.concatenate(([0], flags.astype(np.int8), [0])))
    return list(zip(np.flatnonzero(edges == 1).tolist(), np.flatnonzero(edges == -1).tolist(), strict=True))


def _span_s(at_s: FloatArray, first: int, last: int) -> float:
    return (last - first) * _step_s(at_s)


def _step_s(at_s: FloatArray) -> float:
    return float(at_s[1] - at_s[0]) if at_s.size > 1 else CLOCK_S
