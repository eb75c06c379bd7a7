"""An arrest by scipy's solve_ivp: the same physics written another way, one case at a time.

The force itself is a state, T' = K (x' - y' - given'), gravity and friction stand apart, and every kind of work is
integrated beside the motion. Events end a phase: the body stands, a part opens, holds again or has given all it had.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

G = 9.80665
# Columns of the state.
X, V, T, Y, FRICTION, DASHPOT = range(6)


@dataclass
class Part:
    opening: float
    plateau: float
    travel: float
    given: float = 0.0
    work: float = 0.0
    opened: bool = False

    @property
    def holds(self) -> float:
        if self.given >= self.travel:
            return np.inf
        return self.plateau if self.opened else self.opening


@dataclass(frozen=True)
class Slip:
    peak_N: float
    time_s: float
    travel_m: float
    given_m: tuple[float, ...]
    given_J: tuple[float, ...]
    friction_J: float
    dashpot_J: float
    last_N: float
    squeeze_m: float
    stops: bool


def slip_ode(
    *,
    mass: float,
    angle: float,
    mu: float,
    speed: float,
    springs: Sequence[float],
    giving: Sequence[tuple[float, float, float]] = (),
    body: tuple[float, float] | None = None,
    rtol: float = 1e-10,
) -> Slip:
    """``springs`` in N/m, ``giving`` as (opening, plateau, travel), ``body`` as (spring, dashpot)."""
    parts = [Part(*numbers) for numbers in giving]
    series = [k for k in springs if np.isfinite(k)]
    damped = body is not None and body[1] > 0.0
    if body is not None and not damped:
        series.append(body[0])
    K = 1.0 / sum(1.0 / k for k in series)
    k, c = body if body is not None and damped else (1.0, 1.0)

    def squeezing(s: np.ndarray) -> float:
        return (s[T] - k * s[Y]) / c if damped else 0.0

    def motion(slips: bool) -> Callable[[float, np.ndarray], list[float]]:
        def rates(_: float, s: np.ndarray) -> list[float]:
            rub = mu * mass * G * np.cos(angle)
            give = squeezing(s)
            fall = G * np.sin(angle) - (rub * np.sign(max(s[V], 1e-300)) + s[T]) / mass
            return [s[V], fall, 0.0 if slips else K * (s[V] - give), give, rub * s[V], c * give**2 if damped else 0.0]

        return rates

    state, clock, peak, last_bite = np.array([0.0, speed, 0.0, 0.0, 0.0, 0.0]), 0.0, 0.0, False
    scale = np.array([1e-3, 1e-2, 1.0, 1e-4, 1.0, 1.0])

    def run(slips: bool, ends: list[Callable[[float, np.ndarray], float]], beyond: float, longest: float = 0.05) -> int:
        nonlocal state, clock, peak
        how = {"events": ends, "rtol": rtol, "atol": rtol * scale, "max_step": longest}
        try:
            done = solve_ivp(motion(slips), (0.0, 1e3), state, method="LSODA", **how)
        except ValueError:  # its dense output sees an event at a step's end that the step itself does not
            done = solve_ivp(motion(slips), (0.0, 1e3), state, method="DOP853", **how)
        assert done.status == 1, done.message
        if done.y[X, -1] - done.y[Y, -1] > beyond + 1e-9:  # out and back again within one step: look closer
            return run(slips, ends, beyond, longest / 8)
        state, clock = done.y[:, -1].copy(), clock + float(done.t[-1])
        # Where the force turned: the last event of a phase in which all hold, and it ends nothing.
        turns = done.y_events[-1] if not slips else []
        peak = max([peak, float(state[T]), *(float(s[T]) for s in turns)])
        return next(i for i, end in enumerate(ends) if getattr(end, "terminal", False) and len(done.t_events[i]))

    def event(of: Callable[[np.ndarray], float], direction: int, terminal: bool = True) -> Callable[..., float]:
        def end(_: float, s: np.ndarray) -> float:
            return float(of(s))

        end.terminal, end.direction = terminal, direction  # type: ignore[attr-defined]
        return end

    def slip(stops: bool) -> Slip:
        return Slip(
            peak, clock, float(state[X]), tuple(p.given for p in parts), tuple(p.work for p in parts),
            float(state[FRICTION]), float(state[DASHPOT]), float(state[T]), float(state[Y]), stops,
        )  # fmt: skip

    # A body on a strong dashpot creeps without end: it stands at a millionth of its first speed.
    stands = event(lambda s: s[V] - 1e-6 * max(speed, 0.1), -1)
    if speed == 0.0 and np.tan(angle) <= mu:
        return slip(True)
    while True:
        part = min(parts, key=lambda p: p.holds, default=Part(np.inf, np.inf, np.inf))
        limit = part.holds
        if last_bite or state[T] < limit:
            opens = event(lambda s, limit=limit: s[T] - limit if np.isfinite(limit) else -1.0, 1)
            turns = event(lambda s: s[V] - squeezing(s), -1, terminal=False)
            if run(False, [stands, opens, turns], np.inf) == 0:
                return slip(True)
        last_bite = False
        if not part.opened:
            part.opened = True
            relaxes = min((limit - part.plateau) / K, part.travel)
            part.given += relaxes
            part.work += limit * relaxes - 0.5 * K * relaxes**2
            state[T] = limit - K * relaxes
            if part.given >= part.travel:
                continue
        state[T] = part.plateau
        rub = mu * mass * G * np.cos(angle)
        if np.isinf(part.travel) and part.plateau <= mass * G * np.sin(angle) - rub:
            return slip(False)
        if state[V] <= squeezing(state):
            last_bite = True
            continue
        began, left = state[X] - state[Y], part.travel - part.given
        holds_again = event(lambda s: s[V] - squeezing(s), -1)
        runs_out = event(lambda s, end=began + left: s[X] - s[Y] - end if np.isfinite(end) else -1.0, 1)
        ended = run(True, [stands, holds_again, runs_out], began + left)
        gave = state[X] - state[Y] - began if ended < 2 else left
        part.given = part.given + gave if ended < 2 else part.travel
        part.work += part.plateau * gave
        if ended == 0 or (not damped and ended == 1):
            return slip(True)
        last_bite = ended == 1
