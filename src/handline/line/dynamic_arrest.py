"""How a slip ends once the tether comes taut: force, time, travel and where the energy goes, part by part."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec, module_from_spec
from types import ModuleType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.chain import Chain
from handline.line.footing import G_M_S2
from handline.line.slide import slide_acceleration_m_s2

# Names of flags, each of them of some case at least: a part gave all it had; friction and chain are too weak to stop
# the body; a part that can run out holds less than twice the pull m a, so that rigid is not surely the careful side.
RAN_OUT_OF_TRAVEL = "ran_out_of_travel"
NEVER_STOPS = "never_stops"
GIVES_EASILY = "gives_below_twice_the_pull"

# Loading numba and its compiled kernel takes most of a second: up to so many cases are sooner done without.
FEW_CASES = 32

CAUTION_RIGID_BODY = "The body is taken as rigid: on a real one the peak is lower."
CAUTION_SOFT_BODY = "The body is taken to give, which lowers the peak: how much real bodies give is not well known."
CAUTION_HOLDS = "Every part is taken to hold: whether stop, hitch and tether do is not computed here."


@dataclass(frozen=True, eq=False)
class ArrestEnergy:
    """Where the energy goes until the body stands [J]; each of the cases' shape, NaN where it never stops.

    ``motion_J`` and ``height_J`` come in: speed at the start, and the drop along the slope. The rest is where they are:
    ``friction_J`` on the rock; ``stop_J``, ``cable_J``, ``strand_J`` and ``body_J`` stored in springs; ``dashpot_J``
    lost in the body; ``given_J`` lost in each giving part.
    """

    motion_J: NDArray[np.float64]
    height_J: NDArray[np.float64]
    friction_J: NDArray[np.float64]
    stop_J: NDArray[np.float64]
    cable_J: NDArray[np.float64]
    strand_J: NDArray[np.float64]
    body_J: NDArray[np.float64]
    dashpot_J: NDArray[np.float64]
    given_J: tuple[NDArray[np.float64], ...]


@dataclass(frozen=True, eq=False)
class Arrest:
    """One arrest for each case, from the moment the tether comes taut until the body first stands still.

    ``peak_force_N`` is the highest force in the chain and on the body. ``deceleration_m_s2`` belongs to it: how fast
    speed is lost at that moment, along the slope. ``time_s`` and ``travel_m`` last until the body stands; ``inf`` where
    it never does. ``stretch_m`` is the most that stop, cable and strand stretch together; ``squeeze_m`` what
    the body has given when it stands, NaN where it never does. ``given_m`` and ``ran_out`` belong to each giving part.
    """

    peak_force_N: NDArray[np.float64]
    deceleration_m_s2: NDArray[np.float64]
    time_s: NDArray[np.float64]
    travel_m: NDArray[np.float64]
    stretch_m: NDArray[np.float64]
    squeeze_m: NDArray[np.float64]
    given_m: tuple[NDArray[np.float64], ...]
    ran_out: tuple[NDArray[np.bool_], ...]
    never_stops: NDArray[np.bool_]
    energy: ArrestEnergy
    flags: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class ForceTrace:
    """One arrest over time, for a picture: three arrays of one length, from taut to standing.

    Times rise, unevenly; where the force jumps, two points share a time.
    """

    time_s: NDArray[np.float64]
    force_N: NDArray[np.float64]
    travel_m: NDArray[np.float64]


def dynamic_arrest(
    chain: Chain, mass_kg: ArrayLike, angle_rad: ArrayLike, mu: ArrayLike, speed_m_s: ArrayLike
) -> Arrest:
    """How a chain stops a sliding body, by its motion.

    m x'' = m g sin(angle) - mu m g cos(angle) sign(x') - T(x, x'), with T the force in a chain of massless parts in
    series. Up to the first standstill x' > 0. With springs alone the peak is
    F = m a + sqrt((m a)^2 + K m v^2), a = g (sin(angle) - mu cos(angle)), 1/K = sum(1/k): ``stopping_force_N``.

    Parameters
    ----------
    chain : Chain
        What holds the body. Its arrays and those below broadcast together: one case for each element.
    mass_kg : array_like
        Body with pack [kg].
    angle_rad, mu : array_like
        Slope [rad] and friction of the sliding body [1].
    speed_m_s : array_like
        Speed down the slope when the tether comes taut [m/s].

    Returns
    -------
    Arrest
        In the broadcast shape, with the flags ``ran_out_of_travel``, ``never_stops`` and ``gives_below_twice_the_pull``
        where they hold for any case.

    Raises
    ------
    ValueError
        A mass not above 0, an angle outside 0 to 90 deg, a friction or speed below 0, or any of them not finite.
    ArithmeticError
        A case could not be followed: a dashpot that is far too weak or too strong beside its springs.

    Validity
    --------
    A straight even slope below the place where the tether comes taut, and contact with it; parts without mass; springs
    that stay linear. It ends at the first standstill: what swings back or is loaded again is not followed.

    Notes
    -----
    A body on a strong dashpot creeps to rest without end; it stands when under a millionth of its highest speed.
    Steeper, smoother or faster never lowers the peak. Rigid stop, cable and body, unless the chain says else, are the
    careful side: with springs alone a stiffer chain never lowers the peak, and a body that gives never raises it. With
    giving parts both hold as long as each holds twice the pull m a or has no end; else the flag
    ``gives_below_twice_the_pull`` says that what is soft may run a part out where what is stiff does not. Beside a
    dashpot in the body a stiffer chain may lower the peak of a slow start, for it works the dashpot harder.

    Up to ``FEW_CASES`` are followed by the plain kernel. For more numba is imported at the first call, compiles then,
    and is kept on disk beside the package, or in the user's own cache where that folder cannot be written; later runs
    only load it.

    Sources
    -------
    wexler_1950 for springs alone, of which this is the motion; rigid_mass; those of the chain's parts.
    """
    cases, shape = _cases(chain, mass_kg, angle_rad, mu, speed_m_s)
    return _arrest(chain, cases, shape, angle_rad, mu)


def force_trace(
    chain: Chain, mass_kg: float, angle_rad: float, mu: float, speed_m_s: float, endless_s: float = 1.0
) -> ForceTrace:
    """One arrest over time, for a picture; the same motion as ``dynamic_arrest``.

    Parameters
    ----------
    chain, mass_kg, angle_rad, mu, speed_m_s
        As there, of one case.
    endless_s : float
        How much to show of a slip that never ends [s].

    Returns
    -------
    ForceTrace
        From taut to standing, or ``endless_s`` into a slip without end.

    Raises
    ------
    ValueError, ArithmeticError
        As there, and ValueError for more than one case.

    Sources
    -------
    As ``dynamic_arrest``.
    """
    kernel = plain_kernel()
    cases, _ = _cases(chain, mass_kg, angle_rad, mu, speed_m_s)
    if len(cases) != 1:
        raise ValueError(f"a trace is of one case, not of {len(cases)}")
    # A first run tells how many points there are.
    results, nothing = np.empty((1, kernel.RESULT_COLUMNS)), np.empty((0, kernel.TRACE_COLUMNS))
    points = np.empty((kernel.arrest_batch(cases, results, nothing, True, endless_s), kernel.TRACE_COLUMNS))
    kernel.arrest_batch(cases, results, points, True, endless_s)
    _refuse_lost(results)
    return ForceTrace(points[:, 0], points[:, 1], points[:, 2])


def kernel_for(cases: int) -> ModuleType:
    """The kernel for so many cases: compiled, or plain where loading numba takes longer than following them."""
    if cases <= FEW_CASES:
        return plain_kernel()
    from handline.line import arrest_kernel

    return arrest_kernel


@lru_cache(maxsize=1)
def plain_kernel() -> ModuleType:
    """The functions of arrest_kernel.py as they stand, without numba. Its numbers agree to the last bits."""
    spec = find_spec("handline.line.arrest_kernel")
    if spec is None or spec.loader is None:
        raise ModuleNotFoundError("handline.line.arrest_kernel")
    module = module_from_spec(spec)
    module.__dict__["COMPILED"] = False
    spec.loader.exec_module(module)
    return module


def _cases(
    chain: Chain, mass_kg: ArrayLike, angle_rad: ArrayLike, mu: ArrayLike, speed_m_s: ArrayLike
) -> tuple[NDArray[np.float64], tuple[int, ...]]:
    """The kernel's table of cases, and the shape they came in."""
    mass, angle, friction, speed = (np.asarray(value, float) for value in (mass_kg, angle_rad, mu, speed_m_s))
    for name, value, allowed in (
        ("mass_kg", mass, mass > 0.0),
        ("angle_rad", angle, (angle >= 0.0) & (angle <= np.pi / 2 + 1e-9)),
        ("mu", friction, friction >= 0.0),
        ("speed_m_s", speed, speed >= 0.0),
    ):
        if not bool(np.all(allowed & np.isfinite(value))):
            raise ValueError(f"{name} is out of range")
    body = (np.asarray(np.inf), np.asarray(0.0))
    if chain.body is not None:
        stiffness = np.asarray(chain.body.stiffness_N_m, float)
        # The dashpot stands beside the spring: where the spring is rigid, it cannot move.
        body = (stiffness, np.where(np.isinf(stiffness), 0.0, np.asarray(chain.body.damping_N_s_m, float)))
    giving = [np.asarray(np.inf)] * 6
    for i, part in enumerate(chain.giving):
        giving[3 * i : 3 * i + 3] = [np.asarray(v, float) for v in (part.opening_N, part.plateau_N, part.travel_m)]
    columns = np.broadcast_arrays(
        mass, slide_acceleration_m_s2(angle, friction), speed, chain.stiffness_N_m, *body, *giving
    )
    return np.ascontiguousarray(np.stack([column.ravel() for column in columns], axis=1)), columns[0].shape


def _arrest(
    chain: Chain, cases: NDArray[np.float64], shape: tuple[int, ...], angle_rad: ArrayLike, mu: ArrayLike
) -> Arrest:
    """Run the kernel and read its table."""
    kernel = kernel_for(len(cases))
    results = np.empty((len(cases), kernel.RESULT_COLUMNS))
    kernel.arrest_batch(cases, results, np.empty((0, kernel.TRACE_COLUMNS)), False, 0.0)
    _refuse_lost(results)

    def of(table: NDArray[np.float64], column: int) -> NDArray[np.float64]:
        return table[:, column].reshape(shape)

    never = of(results, kernel.STATUS) == kernel.NEVER_STOPS
    mass, force = of(cases, kernel.MASS), of(results, kernel.PEAK)
    stretch, squeeze = of(results, kernel.STRETCH), np.where(never, np.nan, of(results, kernel.SQUEEZE))
    parts = range(len(chain.giving))
    given = tuple(of(results, kernel.GIVEN + part) for part in parts)
    ran_out = tuple(of(results, kernel.RAN_OUT + part) == 1.0 for part in parts)
    travel = np.where(never, np.inf, stretch + of(results, kernel.SQUEEZE) + sum(given))
    # Where it never stops no energy has an end.
    slid = np.where(never, np.nan, travel)
    held_N = np.where(never, np.nan, _last_force_N(chain, stretch))
    stop_m_N, cable_m_N, strand_m_N = chain.spring_m_N
    body_N_m = 0.0 if chain.body is None else np.where(squeeze != 0.0, np.asarray(chain.body.stiffness_N_m, float), 0.0)
    energy = ArrestEnergy(
        motion_J=np.where(never, np.nan, 0.5 * mass * of(cases, kernel.SPEED) ** 2),
        height_J=mass * G_M_S2 * np.sin(np.asarray(angle_rad, float)) * slid,
        friction_J=mass * G_M_S2 * np.cos(np.asarray(angle_rad, float)) * np.asarray(mu, float) * slid,
        stop_J=0.5 * held_N**2 * stop_m_N,
        cable_J=0.5 * held_N**2 * cable_m_N,
        strand_J=0.5 * held_N**2 * strand_m_N,
        body_J=0.5 * body_N_m * squeeze**2,
        dashpot_J=np.where(never, np.nan, of(results, kernel.LOSS)),
        given_J=tuple(np.where(never, np.nan, of(results, kernel.WORK + part)) for part in parts),
    )
    return Arrest(
        peak_force_N=force,
        deceleration_m_s2=force / mass - of(cases, kernel.ACCELERATION),
        time_s=of(results, kernel.TIME),
        travel_m=travel,
        stretch_m=force * np.asarray(sum(chain.spring_m_N)),
        squeeze_m=squeeze,
        given_m=given,
        ran_out=ran_out,
        never_stops=never,
        energy=energy,
        flags=_flags(cases, ran_out, never),
        cautions=(CAUTION_RIGID_BODY if chain.body is None else CAUTION_SOFT_BODY, CAUTION_HOLDS),
        sources=_sources(chain),
    )


def _last_force_N(chain: Chain, stretch_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Force in the springs when the body stands; 0 where they are all rigid and so keep nothing."""
    return stretch_m * np.where(stretch_m > 0.0, chain.stiffness_N_m, 0.0)


def _flags(
    cases: NDArray[np.float64], ran_out: tuple[NDArray[np.bool_], ...], never: NDArray[np.bool_]
) -> tuple[str, ...]:
    """The flags that hold for any of the cases."""
    kernel = plain_kernel()

    plateau, travel = (cases[:, kernel.GIVING + offset :: 3] for offset in (1, 2))
    pull = (cases[:, kernel.MASS] * cases[:, kernel.ACCELERATION])[:, None]
    seen = {
        RAN_OUT_OF_TRAVEL: any(bool(np.any(out)) for out in ran_out),
        NEVER_STOPS: bool(np.any(never)),
        GIVES_EASILY: bool(np.any((plateau < 2.0 * pull) & np.isfinite(travel))),
    }
    return tuple(flag for flag, holds in seen.items() if holds)


def _sources(chain: Chain) -> tuple[str, ...]:
    body = "rigid_mass" if chain.body is None else chain.body.source
    return tuple(dict.fromkeys(("wexler_1950", body, *(part.source for part in chain.giving))))


def _refuse_lost(results: NDArray[np.float64]) -> None:
    kernel = plain_kernel()

    lost = np.flatnonzero(results[:, kernel.STATUS] == kernel.NOT_FOLLOWED)
    if lost.size:
        raise ArithmeticError(
            f"{lost.size} arrests could not be followed, the first is case {lost[0]}: "
            "is the dashpot of the body far from its springs? 0 takes it out"
        )
