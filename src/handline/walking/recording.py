"""A recorded walk: when it moved, stood, lost the signal or was driven, and the walked pieces a pace is learned from.

    time, east, north, height -> spells (what went on when) -> pieces (two minutes of walking each)

The people of a recording are moving while they get anywhere: what counts is how far apart the middle of half a minute
lies from the middle of the next, not the sum of steps, which grows while a recorder lies still.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray
from handline.walking.smoothed import SmoothedLine
from handline.walking.spells import MOVING, Moves, Spell, SpellKind, spells_of

__all__ = ["Pieces", "Recording", "Spell", "SpellKind", "recording_of"]

# Common practice, no source (sources: practice_moving).
PIECE_S = 120.0
SHORTEST_PIECE_S = 60.0
CHORD_S = 20.0
POSITION_WINDOW_S = 20.0
HEIGHT_WINDOW_S = 60.0
# This much beside a spell that is not moving is left out of pieces: the smoothing mixes the two there.
GUARD_S = 15.0


@dataclass(frozen=True, eq=False)
class Pieces:
    """Walked pieces of about two minutes, one entry each.

    ``run_m`` horizontal length, ``rise_m`` signed height gained, ``time_s`` time taken, ``start_s`` [s since 1970,
    UTC].
    """

    run_m: FloatArray
    rise_m: FloatArray
    time_s: FloatArray
    start_s: FloatArray

    @property
    def size(self) -> int:
        return int(self.time_s.size)


@dataclass(frozen=True, eq=False)
class Recording:
    """What a recording says. ``spells`` tile it from its first point to its last.

    ``moving_s`` and ``moving_m`` sum the moving spells; ``elevation_m`` is the middle height while moving, NaN where
    nothing moved; ``usual_step_s`` is the usual time between points.
    """

    pieces: Pieces
    spells: tuple[Spell, ...]
    moving_s: float
    moving_m: float
    total_s: float
    elevation_m: float
    usual_step_s: float

    def spent_s(self, kind: SpellKind) -> float:
        """The time spent so [s]."""
        return float(sum(spell.end_s - spell.start_s for spell in self.spells if spell.kind == kind))


def recording_of(
    time_s: npt.ArrayLike,
    east_m: npt.ArrayLike,
    north_m: npt.ArrayLike,
    elevation_m: npt.ArrayLike,
    piece_starts: Sequence[int] = (0,),
) -> Recording:
    """Find what went on in a recording, and cut its walking into pieces.

    Parameters
    ----------
    time_s : array_like, shape (n,)
        Time of each point [s since 1970, UTC], never falling; points at the same time count as one, in their middle.
    east_m, north_m, elevation_m : array_like, shape (n,)
        Where the points lie, on a plane, and how high [m].
    piece_starts : sequence of int
        The first points of the pieces the recorder wrote; between two of them it was off.

    Returns
    -------
    Recording

    Raises
    ------
    ValueError
        Fewer than two different times, times that fall, arrays that differ in length or are not finite.

    Validity: people on foot, points up to some minutes apart. Stops are seen from about a minute and a half, or
    five of the usual steps where that is more; shorter ones count as walking, which errs to the slow side.
    Notes: positions are averaged over 20 s and their line is measured in chords of 20 s; heights are averaged over
    60 s.
    Sources: practice_moving, our_moving_rule.
    """
    clock, starts, east, north, height = _checked(time_s, east_m, north_m, elevation_m, piece_starts)
    moves = Moves(clock, SmoothedLine(clock, east), SmoothedLine(clock, north), SmoothedLine(clock, height), starts)
    found = spells_of(moves)
    moving = [spell for spell in found if spell.kind == MOVING]
    return Recording(
        pieces=_pieces(moves, found),
        spells=found,
        moving_s=float(sum(spell.end_s - spell.start_s for spell in moving)),
        moving_m=float(sum(spell.length_m for spell in moving)),
        total_s=float(clock[-1] - clock[0]),
        elevation_m=_middle_height_m(moves, moving),
        usual_step_s=moves.usual_step_s,
    )


def _checked(
    time_s: npt.ArrayLike,
    east_m: npt.ArrayLike,
    north_m: npt.ArrayLike,
    elevation_m: npt.ArrayLike,
    piece_starts: Sequence[int],
) -> tuple[FloatArray, tuple[int, ...], FloatArray, FloatArray, FloatArray]:
    """The points at strictly rising times, those at one time drawn together."""
    time = np.asarray(time_s, float)
    arrays = [np.asarray(values, float) for values in (east_m, north_m, elevation_m)]
    if time.ndim != 1 or any(values.shape != time.shape for values in arrays):
        raise ValueError("time, east, north and height must be of one length")
    if not all(bool(np.all(np.isfinite(values))) for values in (time, *arrays)):
        raise ValueError("time, east, north and height must be finite")
    if bool(np.any(np.diff(time) < 0.0)):
        raise ValueError("the times of a recording must not fall")
    clock, first, count = np.unique(time, return_index=True, return_counts=True)
    if clock.size < 2:
        raise ValueError("a recording needs points at two different times")
    starts = np.searchsorted(first, np.asarray(piece_starts, dtype=np.int64), side="right") - 1
    east, north, height = (np.add.reduceat(values, first) / count for values in arrays)
    return clock, tuple(int(start) for start in starts), east, north, height


def _pieces(moves: Moves, found: Sequence[Spell]) -> Pieces:
    """The moving spells cut into pieces of about two minutes, without their edges."""
    bounds: list[FloatArray] = []
    for i, spell in enumerate(found):
        if spell.kind != MOVING:
            continue
        start = spell.start_s + (GUARD_S if i > 0 else 0.0)
        end = spell.end_s - (GUARD_S if i + 1 < len(found) else 0.0)
        if end - start >= SHORTEST_PIECE_S:
            bounds.append(np.linspace(start, end, max(1, round((end - start) / PIECE_S)) + 1))
    if not bounds:
        return Pieces(*(np.empty(0) for _ in range(4)))
    start_s = np.concatenate([edges[:-1] for edges in bounds])
    end_s = np.concatenate([edges[1:] for edges in bounds])
    rise_m = moves.height.around(end_s, HEIGHT_WINDOW_S) - moves.height.around(start_s, HEIGHT_WINDOW_S)
    return Pieces(_lengths_m(moves, start_s, end_s), rise_m, end_s - start_s, start_s)


def _lengths_m(moves: Moves, start_s: FloatArray, end_s: FloatArray) -> FloatArray:
    """The length between each start and end [m], in chords of about 20 s between averaged positions."""
    chords = np.maximum(1, np.rint((end_s - start_s) / max(CHORD_S, moves.usual_step_s))).astype(int)
    first = np.concatenate(([0], np.cumsum(chords + 1)[:-1]))
    step = np.arange(int(np.sum(chords + 1))) - np.repeat(first, chords + 1)
    at_s = np.repeat(start_s, chords + 1) + step * np.repeat((end_s - start_s) / chords, chords + 1)
    east, north = (line.around(at_s, POSITION_WINDOW_S) for line in (moves.east, moves.north))
    chord_m = np.append(np.hypot(np.diff(east), np.diff(north)), 0.0)
    chord_m[first + chords] = 0.0  # from the end of one piece to the start of the next
    return np.add.reduceat(chord_m, first)


def _middle_height_m(moves: Moves, moving: Sequence[Spell]) -> float:
    if not moving:
        return float("nan")
    at_s = np.concatenate([np.arange(spell.start_s, spell.end_s, CHORD_S) for spell in moving])
    return float(np.median(moves.height.at(at_s)))
