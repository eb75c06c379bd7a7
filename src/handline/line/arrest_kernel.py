"""The dynamic arrest of many slips at once: one numba kernel, each case followed from event to event.

    m x'' = m a - T,   a = g (sin(angle) - mu cos(angle)),   x' > 0

until the body first stands still, so friction never turns round. T is the one force in a chain without mass:

    x = given + z + y,   T = K z (stop, cable, strand in series),   T = k y + c y' (body)

A giving part holds until T reaches its opening, then gives at its plateau until its travel ends or it holds again.
Without a dashpot every phase has a closed form. With one, the motion while all parts hold is linear: it goes by the
exact map exp(A h), so steps only have to be short enough to see every turn, and an event is found by halving the step.
While a part gives, T is constant, and mass and body have closed forms of their own.

Importing this module imports numba: do it inside the function that needs it. ``plain_kernel`` of dynamic_arrest.py runs
this file once more without numba, for a few cases, which are done before numba is even there.
"""

from __future__ import annotations

from collections.abc import Callable
from math import atan2, cos, exp, expm1, hypot, inf, isfinite, isinf, pi, sqrt
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

# False only where ``plain_kernel`` has put it before this file is run.
COMPILED: bool = globals().get("COMPILED", True)
if COMPILED:
    from numba import njit

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# Columns of a case: mass [kg], a [m/s2], speed [m/s], K [N/m], k [N/m], c [N s/m], then for each of two giving parts
# opening [N], plateau [N], travel [m]; a part that is not there has inf in all three.
MASS, ACCELERATION, SPEED, CHAIN, BODY, DASHPOT, GIVING, CASE_COLUMNS = 0, 1, 2, 3, 4, 5, 6, 12
# Columns of a result. GIVEN, WORK and RAN_OUT hold two each, one for each giving part.
STATUS, PEAK, TIME, STRETCH, SQUEEZE, LOSS, GIVEN, WORK, RAN_OUT, RESULT_COLUMNS = 0, 1, 2, 3, 4, 5, 6, 8, 10, 12
# Columns of a trace: time [s], force [N], travel [m].
TRACE_COLUMNS = 3

STOPPED, NEVER_STOPS, NOT_FOLLOWED = 0.0, 1.0, 2.0

# A body on a strong dashpot creeps to its rest without end: under this share of its highest speed it stands.
STILL_SHARE = 1e-6

# What is known of a case on its way: stretch, speed, squeeze, time, loss in the dashpot, highest force and speed,
# points traced, steps taken, and whether the force has been rising.
_Z, _V, _Y, _T, _LOST, _TOP, _FASTEST, _POINTS, _STEPS, _RISING, _STATE_COLUMNS = 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10

# Steps to a swing of the fastest kind, and to the dashpot's decay; the short ones only until it has decayed.
_STEPS_A_SWING = 64.0
_STEPS_A_DECAY = 4.0
_STEPS_A_LEVEL = 8
# Steps to a doubling of the step where a body creeps: it never is more than a hundredth of the time gone by.
_STEPS_A_CREEP = 256
_CREEP_LEVELS = 20
# An event is found to this share of a step: 2 to the power of -_HALVINGS.
_HALVINGS = 32
_MOST_LEVELS = 100
_MOST_STEPS = 200_000
_MOST_PHASES = 10_000
_POINTS_A_PHASE = 48

_HOLDS, _GIVES, _STANDS, _HOLDS_AGAIN, _RUNS_OUT, _PAST_TOP, _ENDLESS = 0, 1, 2, 3, 4, 5, 6

_Function = TypeVar("_Function", bound=Callable[..., object])


def _jit(function: _Function) -> _Function:
    """Compiled at its first call and kept on disk; kept in memory only where no place on disk can be written."""
    if not COMPILED:
        return function
    compiled: Any
    try:
        compiled = njit(cache=True)(function)
    except RuntimeError:
        compiled = njit(function)
    return cast(_Function, compiled)


@_jit
def _note(trace: Floats, at: Floats, time_s: float, force_N: float, travel_m: float) -> None:
    """One more point of the trace; counted even where there is no room, so that a first run tells the size."""
    row = int(at[_POINTS])
    if row < trace.shape[0]:
        trace[row, 0], trace[row, 1], trace[row, 2] = time_s, force_N, travel_m
    at[_POINTS] += 1.0


@_jit
def _next_to_give(case: Floats, done: Floats, opened: Flags) -> tuple[int, float]:
    """Which part gives next, and at what force; inf where none is left."""
    which, force = 0, inf
    for part in range(2):
        if done[RAN_OUT + part] == 0.0:
            holds = case[GIVING + 3 * part + (1 if opened[part] else 0)]
            if holds < force:
                which, force = part, holds
    return which, force


@_jit
def _open(case: Floats, done: Floats, opened: Flags, part: int, stiffness: float, at: Floats) -> None:
    """Open a part: the force falls to its plateau at once, and as much of the chain's stretch goes into the part."""
    opening, plateau, travel = case[GIVING + 3 * part], case[GIVING + 3 * part + 1], case[GIVING + 3 * part + 2]
    opened[part] = True
    if isinf(stiffness):
        return
    taken = (opening - plateau) / stiffness
    if taken >= travel:
        taken = travel
        done[RAN_OUT + part] = 1.0
    done[GIVEN + part] += taken
    done[WORK + part] += (opening - 0.5 * stiffness * taken) * taken
    at[_Z] -= taken


@_jit
def _swing(case: Floats, stiffness: float, force: float, given: float, at: Floats, trace: Floats, tracing: bool) -> int:
    """Springs alone stretch: a swing about rest, from angle psi down to where a part gives or the body stands."""
    omega, rest = sqrt(stiffness / case[MASS]), case[MASS] * case[ACCELERATION] / stiffness
    q, w = at[_Z] - rest, at[_V] / omega
    turn = hypot(q, w)
    q_end, w_end, why = turn, 0.0, _STANDS
    if isfinite(force):
        q_gives = force / stiffness - rest
        left = w * w + (q - q_gives) * (q + q_gives)
        if left > 0.0:
            q_end, w_end, why = q_gives, sqrt(left), _GIVES
    psi, psi_end = atan2(w, q), atan2(w_end, q_end)
    if tracing:
        for i in range(_POINTS_A_PHASE + 1):
            angle = psi + (psi_end - psi) * i / _POINTS_A_PHASE
            z = rest + turn * cos(angle)
            _note(trace, at, at[_T] + (psi - angle) / omega, stiffness * z, given + z)
    at[_T] += (psi - psi_end) / omega
    at[_Z], at[_V] = q_end + rest, w_end * omega
    at[_TOP] = max(at[_TOP], stiffness * at[_Z])
    return why


@_jit
def _slip_event(t: float, v: float, braking: float, squeezing: float, decay: float, left: float) -> int:
    """While a part gives, t after it began: what has happened, by what it gave, by speed, by how fast it gives."""
    speed = v - braking * t
    gave = v * t - 0.5 * braking * t * t
    if squeezing != 0.0:
        gave += squeezing * expm1(-decay * t) / decay
    if gave >= left:
        return _RUNS_OUT
    if speed <= 0.0:
        return _STANDS
    if speed < squeezing * exp(-decay * t):
        return _HOLDS_AGAIN
    return _HOLDS


@_jit
def _slip_end(v: float, braking: float, squeezing: float, decay: float, left: float) -> tuple[float, int]:
    """When a part stops giving, and why. What has happened stays so, so halving finds the first moment."""
    if v <= squeezing:
        return 0.0, _HOLDS_AGAIN
    if braking > 0.0:
        late = v / braking
        why = _slip_event(late, v, braking, squeezing, decay, left)
        if why == _HOLDS:
            why = _STANDS
    elif isinf(left):
        return inf, _ENDLESS
    else:
        late = 1e-3
        why = _slip_event(late, v, braking, squeezing, decay, left)
        while why == _HOLDS:
            late *= 2.0
            why = _slip_event(late, v, braking, squeezing, decay, left)
    early = 0.0
    while True:
        middle = 0.5 * (early + late)
        if middle <= early or middle >= late:
            return late, why
        seen = _slip_event(middle, v, braking, squeezing, decay, left)
        if seen == _HOLDS:
            early = middle
        else:
            late, why = middle, seen


@_jit
def _rigid_slip_end(v: float, braking: float, left: float) -> tuple[float, int]:
    """The same for a body that does not give: constant braking."""
    if braking > 0.0 and v * v <= 2.0 * braking * left:
        return v / braking, _STANDS
    if isinf(left):
        return inf, _ENDLESS
    return 2.0 * left / (v + sqrt(v * v - 2.0 * braking * left)), _RUNS_OUT


@_jit
def _slip(case: Floats, done: Floats, part: int, at: Floats, trace: Floats, tracing: bool, endless_s: float) -> int:
    """A part gives at its plateau: constant force on the mass, and on the body a decay to its rest."""
    plateau, left = case[GIVING + 3 * part + 1], case[GIVING + 3 * part + 2] - done[GIVEN + part]
    braking, v, given = plateau / case[MASS] - case[ACCELERATION], at[_V], done[GIVEN] + done[GIVEN + 1]
    squeezing, decay = 0.0, 0.0
    if case[DASHPOT] > 0.0:
        squeezing, decay = (plateau - case[BODY] * at[_Y]) / case[DASHPOT], case[BODY] / case[DASHPOT]
        lasts, why = _slip_end(v, braking, squeezing, decay, left)
    else:
        lasts, why = _rigid_slip_end(v, braking, left)
    if tracing and lasts > 0.0:
        shown = endless_s if why == _ENDLESS else lasts
        for i in range(_POINTS_A_PHASE + 1):
            s = shown * i / _POINTS_A_PHASE
            _note(trace, at, at[_T] + s, plateau, given + at[_Z] + at[_Y] + v * s - 0.5 * braking * s * s)
    if why == _ENDLESS:
        done[STATUS], done[GIVEN + part], done[WORK + part], at[_T] = NEVER_STOPS, inf, inf, inf
        return why
    gave = v * lasts - 0.5 * braking * lasts * lasts
    if case[DASHPOT] > 0.0:
        squeezed = -squeezing * expm1(-decay * lasts) / decay
        at[_LOST] -= case[DASHPOT] * squeezing * squeezing * expm1(-2.0 * decay * lasts) / (2.0 * decay)
        at[_Y] += squeezed
        gave -= squeezed
    if why == _RUNS_OUT:
        gave = left
        done[RAN_OUT + part] = 1.0
    done[GIVEN + part] += gave
    done[WORK + part] += plateau * gave
    at[_T] += lasts
    at[_V] = 0.0 if why == _STANDS else v - braking * lasts
    at[_FASTEST] = max(at[_FASTEST], v, at[_V])
    return why


@_jit
def _closed_form(
    case: Floats, done: Floats, opened: Flags, at: Floats, trace: Floats, tracing: bool, endless_s: float
) -> None:
    """One case without a dashpot, phase by phase, into ``done``."""
    stiffness = 1.0 / (1.0 / case[CHAIN] + 1.0 / case[BODY])
    why = _HOLDS
    # Each of two parts opens once and runs out once: there are never more phases.
    for _ in range(6):
        part, force = _next_to_give(case, done, opened)
        why = _swing(case, stiffness, force, done[GIVEN] + done[GIVEN + 1], at, trace, tracing)
        if why == _STANDS:
            break
        if not opened[part]:
            _open(case, done, opened, part, stiffness, at)
            if done[RAN_OUT + part] != 0.0:
                continue
        why = _slip(case, done, part, at, trace, tracing, endless_s)
        if why != _RUNS_OUT:
            break
    if why not in (_STANDS, _ENDLESS):
        done[STATUS] = NOT_FOLLOWED
    force = stiffness * at[_Z]
    done[STRETCH], done[SQUEEZE] = force / case[CHAIN], force / case[BODY]


@_jit
def _twice(E: Floats, twice: Floats) -> None:
    """exp(2 X) - 1 from E = exp(X) - 1: 2 E + E E, which keeps every digit however small X is."""
    for i in range(3):
        for j in range(4):
            twice[i, j] = 2.0 * E[i, j] + E[i, 0] * E[0, j] + E[i, 1] * E[1, j] + E[i, 2] * E[2, j]


@_jit
def _exact_maps(case: Floats, longest_s: float, levels: int, maps: Floats) -> bool:
    """exp(A h) - 1 of the motion while all parts hold, for h = longest, longest / 2, ... to at least
    ``levels`` of them; False if out of reach.

    State: stretch z, speed v, squeeze y. Row of a map: three factors, and what the slope adds.
    """
    mass, chain, body, dashpot = case[MASS], case[CHAIN], case[BODY], case[DASHPOT]
    A = maps[_MOST_LEVELS]
    A[:, :] = 0.0
    A[1, 3] = case[ACCELERATION]
    if isinf(chain):
        A[1, 1], A[1, 2] = -dashpot / mass, -body / mass
        A[2, 1] = 1.0
    else:
        A[0, 0], A[0, 1], A[0, 2] = -chain / dashpot, 1.0, body / dashpot
        A[1, 0] = -chain / mass
        A[2, 0], A[2, 2] = chain / dashpot, -body / dashpot
    # From a step so short that exp(X) - 1 is X + X X / 2 to every digit.
    largest = 0.0
    for i in range(3):
        for j in range(4):
            largest = max(largest, abs(A[i, j]))
    shortest_s = longest_s * 0.5 ** (levels - 1)
    while largest * shortest_s > 1e-8:
        levels += 1
        shortest_s *= 0.5
    if levels > _MOST_LEVELS:
        return False
    for i in range(3):
        for j in range(4):
            A[i, j] *= shortest_s
    _twice(A, maps[levels - 1])
    for i in range(3):
        for j in range(4):
            maps[levels - 1, i, j] *= 0.5
    for level in range(levels - 2, -1, -1):
        _twice(maps[level + 1], maps[level])
    return True


@_jit
def _moved(M: Floats, z: float, v: float, y: float) -> tuple[float, float, float]:
    return (
        z + M[0, 0] * z + M[0, 1] * v + M[0, 2] * y + M[0, 3],
        v + M[1, 0] * z + M[1, 1] * v + M[1, 2] * y + M[1, 3],
        y + M[2, 0] * z + M[2, 1] * v + M[2, 2] * y + M[2, 3],
    )


@_jit
def _pull(case: Floats, z: float, v: float, y: float) -> tuple[float, float, float]:
    """Force, its rate of growth (to a positive factor), and the speed of the squeeze while all parts hold."""
    if isinf(case[CHAIN]):
        force = case[BODY] * y + case[DASHPOT] * v
        return force, case[BODY] * v + case[DASHPOT] * (case[ACCELERATION] - force / case[MASS]), v
    force = case[CHAIN] * z
    squeezing = (force - case[BODY] * y) / case[DASHPOT]
    return force, v - squeezing, squeezing


@_jit
def _event(case: Floats, z: float, v: float, y: float, at: Floats, force: float) -> int:
    """What has happened by this state while all parts hold."""
    pull, rate, _ = _pull(case, z, v, y)
    if v <= STILL_SHARE * at[_FASTEST]:
        return _STANDS
    if at[_RISING] != 0.0 and pull >= force:
        return _GIVES
    if at[_RISING] != 0.0 and rate < 0.0:
        return _PAST_TOP
    return _HOLDS


@_jit
def _step(case: Floats, maps: Floats, level: int, longest_s: float, force: float, at: Floats, stop_short: bool) -> int:
    """One step in two exact halves, not taken if something happens in it and ``stop_short``. Loss by Simpson's rule."""
    step_s, M = longest_s * 0.5**level, maps[level + 1]
    z, v, y = at[_Z], at[_V], at[_Y]
    z1, v1, y1 = _moved(M, z, v, y)
    z2, v2, y2 = _moved(M, z1, v1, y1)
    why = _event(case, z2, v2, y2, at, force)
    if why != _HOLDS and stop_short:
        return why
    s0, s1, s2 = _pull(case, z, v, y)[2], _pull(case, z1, v1, y1)[2], _pull(case, z2, v2, y2)[2]
    at[_LOST] += case[DASHPOT] * step_s / 6.0 * (s0 * s0 + 4.0 * s1 * s1 + s2 * s2)
    at[_Z], at[_V], at[_Y] = z2, v2, y2
    at[_T] += step_s
    return why


@_jit
def _hold(
    case: Floats,
    maps: Floats,
    longest_s: float,
    first: int,
    force: float,
    given: float,
    at: Floats,
    trace: Floats,
    tracing: bool,
) -> int:
    """All parts hold and a body with a dashpot gives: short steps first, longer ones as the dashpot's start decays,
    and still longer ones where the body only creeps."""
    pull = _pull(case, at[_Z], at[_V], at[_Y])[0]
    if at[_RISING] != 0.0 and pull >= force:
        at[_TOP] = max(at[_TOP], force)
        return _GIVES
    level, taken = first, 0
    while at[_STEPS] < _MOST_STEPS:
        at[_STEPS] += 1.0
        if taken == (_STEPS_A_LEVEL if level > _CREEP_LEVELS else _STEPS_A_CREEP) and level > 0:
            level, taken = level - 1, 0
        taken += 1
        why = _step(case, maps, level, longest_s, force, at, True)
        if why != _HOLDS:
            # Halves are taken while nothing happens in them, then one last sliver in which it does. Where that is too
            # thin to tell in floating point, what the half before saw stands.
            for finer in range(level + 1, level + _HALVINGS):
                seen = _step(case, maps, finer, longest_s, force, at, True)
                why = seen if seen != _HOLDS else why
            seen = _step(case, maps, level + _HALVINGS - 1, longest_s, force, at, False)
            why = seen if seen != _HOLDS else why
        pull, rate, _ = _pull(case, at[_Z], at[_V], at[_Y])
        at[_TOP], at[_FASTEST] = max(at[_TOP], min(pull, force)), max(at[_FASTEST], at[_V])
        if tracing:
            _note(trace, at, at[_T], pull, given + at[_Z] + at[_Y])
        if why in (_STANDS, _GIVES):
            return why
        # Past its top the force falls and the body goes on; only a body that creeps sees it rise again.
        at[_RISING] = 1.0 if rate > 0.0 and why == _HOLDS else (0.0 if why == _PAST_TOP else at[_RISING])
    return _HOLDS


@_jit
def _damped(
    case: Floats,
    done: Floats,
    opened: Flags,
    at: Floats,
    maps: Floats,
    trace: Floats,
    tracing: bool,
    endless_s: float,
) -> None:
    """One case with a dashpot in the body, phase by phase, into ``done``."""
    mass, chain, body, dashpot = case[MASS], case[CHAIN], case[BODY], case[DASHPOT]
    # No swing is faster than this: not faster than the chain's own, nor than what spring and dashpot can carry.
    fastest_rad_s = min(sqrt(chain / mass), (dashpot + sqrt(dashpot * dashpot + 4.0 * mass * body)) / (2.0 * mass))
    longest_s, first = 2.0 * pi / fastest_rad_s / _STEPS_A_SWING * 2.0**_CREEP_LEVELS, _CREEP_LEVELS
    if isfinite(chain):
        while longest_s * 0.5**first > dashpot / (chain + body) / _STEPS_A_DECAY and first < _MOST_LEVELS:
            first += 1
    why = _HOLDS
    if at[_V] == 0.0 and case[ACCELERATION] <= 0.0:
        why = _STANDS
    elif _exact_maps(case, longest_s, first + _HALVINGS + 1, maps):
        if tracing:
            _note(trace, at, 0.0, _pull(case, 0.0, at[_V], 0.0)[0], 0.0)
        for _ in range(_MOST_PHASES):
            part, force = _next_to_give(case, done, opened)
            given = done[GIVEN] + done[GIVEN + 1]
            why = _hold(case, maps, longest_s, first, force, given, at, trace, tracing)
            if why != _GIVES:
                break
            at[_RISING] = 1.0
            if not opened[part]:
                _open(case, done, opened, part, chain, at)
                if done[RAN_OUT + part] != 0.0:
                    continue
            why = _slip(case, done, part, at, trace, tracing, endless_s)
            if why in (_STANDS, _ENDLESS):
                break
            if why == _HOLDS_AGAIN:
                at[_RISING] = 0.0
    if why not in (_STANDS, _ENDLESS):
        done[STATUS] = NOT_FOLLOWED
    done[STRETCH], done[SQUEEZE] = at[_Z], at[_Y]


@_jit
def arrest_batch(cases: Floats, results: Floats, trace: Floats, tracing: bool, endless_s: float) -> int:
    """Follow every case (a row of ``cases``) into a row of ``results``; how many points a trace of the last one has.

    When ``tracing``, the last case's motion goes into ``trace`` as far as it has rows; an endless slip is traced for
    ``endless_s``. A case that could not be followed has status NOT_FOLLOWED: the caller raises.
    """
    opened, at, maps = np.zeros(2, dtype=np.bool_), np.zeros(_STATE_COLUMNS), np.zeros((_MOST_LEVELS + 1, 3, 4))
    for i in range(cases.shape[0]):
        case, done = cases[i], results[i]
        done[:] = 0.0
        at[:] = 0.0
        at[_V], at[_FASTEST], at[_RISING] = case[SPEED], case[SPEED], 1.0
        opened[:] = False
        if case[DASHPOT] > 0.0:
            _damped(case, done, opened, at, maps, trace, tracing, endless_s)
        else:
            _closed_form(case, done, opened, at, trace, tracing, endless_s)
        done[PEAK], done[TIME], done[LOSS] = at[_TOP], at[_T], at[_LOST]
    return int(at[_POINTS])
