"""The force that stops a slide, in closed form: Wexler's energy argument on a slope, and an absorber that gives."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


def stopping_force_N(
    mass_kg: ArrayLike,
    acceleration_m_s2: ArrayLike,
    energy_J: ArrayLike,
    stiffness_N: ArrayLike,
    length_m: ArrayLike,
) -> NDArray[np.float64]:
    """Peak force in an elastic tether that stops a sliding body.

    F = m a + sqrt((m a)^2 + 2 E k), k = EA / L, the positive root of k x^2 / 2 = E + m a x.
    With E = m a d it is F = m a + sqrt((m a)^2 + 2 m a EA d / L); with a = g it is the standard equation of a fall.

    Parameters
    ----------
    mass_kg, acceleration_m_s2 : array_like
        Body with pack [kg]; acceleration of its slide where the tether stretches [m/s2] (negative: friction brakes).
    energy_J : array_like
        Energy of motion when the tether comes taut [J].
    stiffness_N, length_m : array_like
        EA, force per unit strain [N], and the tether's own length [m]. All broadcast together.

    Returns
    -------
    ndarray
        Peak force [N].

    Validity
    --------
    A rigid body and a stop that does not give: the careful side. The standard equation may be up to 30 % too low in
    some severe cases (wexler_1950).

    Sources
    -------
    wexler_1950; rigid_mass; stiffness from drop tests, never from static elongation.
    """
    pull = np.asarray(mass_kg, float) * np.asarray(acceleration_m_s2, float)
    k_N_m = np.asarray(stiffness_N, float) / np.asarray(length_m, float)
    return pull + np.sqrt(pull**2 + 2.0 * np.asarray(energy_J, float) * k_N_m)


@dataclass(frozen=True)
class Absorber:
    """What a standard promises of an energy absorber, both ends, so that force and length each err to the careful side.

    ``ceiling_N`` is the most force it may show while it gives, dry, and ``wet_ceiling_N`` wet;
    ``low_N`` the least it is trusted to brake with;
    ``travel_m`` how far it gives; below ``activation_N`` it does not give at all. The promise is for bodies from
    ``lightest_kg`` to ``heaviest_kg``.
    """

    ceiling_N: float
    wet_ceiling_N: float
    low_N: float
    travel_m: float
    activation_N: float
    lightest_kg: float
    heaviest_kg: float
    source: str


# Ceiling, travel and activation from the standard. The standard states no least mean force: 3 kN is from memory, low.
ABSORBER_EN_958_2017 = Absorber(
    ceiling_N=6000.0,
    wet_ceiling_N=8000.0,
    low_N=3000.0,
    travel_m=2.2,
    activation_N=1300.0,
    lightest_kg=40.0,
    heaviest_kg=120.0,
    source="en_958_2017",
)


@dataclass(frozen=True)
class AbsorbedStop:
    """A stop through an absorber: peak force [N], how far it gave [m], and where it ran out."""

    force_N: NDArray[np.float64]
    given_m: NDArray[np.float64]
    runs_out: NDArray[np.bool_]


def absorbed_stop(
    mass_kg: ArrayLike,
    acceleration_m_s2: ArrayLike,
    energy_J: ArrayLike,
    stiffness_N: ArrayLike,
    length_m: ArrayLike,
    absorber: Absorber,
    wet: bool = False,
) -> AbsorbedStop:
    """A slide stopped by an absorber in series with an elastic arm.

    Where the arm alone would stay under the activation force the absorber stays shut and the arm's force stands.
    Else it gives s = E / (low - m a), at a force up to its ceiling. Where s passes its travel the rest of the energy
    goes into the arm: the force is then the larger of the ceiling and the arm's. It is never more than the arm alone.

    Parameters as ``stopping_force_N``; arrays broadcast together; ``wet`` takes the wet ceiling.
    Sources: en_958_2017, wexler_1950; low_N from memory (absorber_low).
    """
    mass, acceleration, energy, stiffness, length = np.broadcast_arrays(
        *(np.asarray(value, float) for value in (mass_kg, acceleration_m_s2, energy_J, stiffness_N, length_m))
    )
    arm_only_N = stopping_force_N(mass, acceleration, energy, stiffness, length)
    opens = arm_only_N > absorber.activation_N
    brake_N = absorber.low_N - mass * acceleration
    with np.errstate(divide="ignore"):
        wanted_m = np.where(brake_N > 0.0, energy / np.where(brake_N > 0.0, brake_N, 1.0), np.inf)
    runs_out = opens & (wanted_m > absorber.travel_m)
    left_J = np.maximum(0.0, energy - brake_N * absorber.travel_m)
    hard_N = stopping_force_N(mass, acceleration, left_J, stiffness, length)
    ceiling_N = absorber.wet_ceiling_N if wet else absorber.ceiling_N
    force = np.where(opens, ceiling_N, arm_only_N)
    force = np.where(runs_out, np.maximum(ceiling_N, hard_N), force)
    force = np.minimum(force, arm_only_N)
    given = np.where(opens, np.minimum(wanted_m, absorber.travel_m), 0.0)
    return AbsorbedStop(force_N=force, given_m=given, runs_out=runs_out)


@dataclass(frozen=True)
class PlateauStop:
    """A stop by a spring and a part that gives: peak force [N], how far both give [m], where the part ran out."""

    force_N: NDArray[np.float64]
    travel_m: NDArray[np.float64]
    runs_out: NDArray[np.bool_]


def plateau_stop(
    mass_kg: ArrayLike,
    acceleration_m_s2: ArrayLike,
    speed_m_s: ArrayLike,
    stiffness_N: ArrayLike,
    length_m: ArrayLike,
    plateau_N: ArrayLike = np.inf,
    plateau_m: ArrayLike = 0.0,
) -> PlateauStop:
    """A slide stopped by an elastic tether with a part in series that gives at one force over a finite length.

    In phases, each exact, k = EA / L: the spring stretches to F = m a + sqrt((m a)^2 + k m v^2), or to the plateau P if
    that is less; then P brakes over s = v1^2 / (2 (P / m - a)), v1^2 = v^2 + 2 a P / k - P^2 / (k m); where s passes
    the plateau's length, v2 is left and the spring takes it: F = m a + sqrt((m a - P)^2 + k m v2^2).

    Parameters
    ----------
    mass_kg, acceleration_m_s2, speed_m_s : array_like
        Body with pack [kg]; acceleration of its slide [m/s2] (negative: friction brakes); speed when the tether comes
        taut [m/s].
    stiffness_N, length_m : array_like
        EA of the tether [N per unit strain] and its length [m].
    plateau_N, plateau_m : array_like
        Force at which the part gives [N], infinite where there is none, and how far [m]. All broadcast together.

    Returns
    -------
    PlateauStop

    Validity
    --------
    A rigid body and a stop that does not give. It is ``dynamic_arrest`` of such a chain, without its kernel.

    Sources
    -------
    wexler_1950; rigid_mass.
    """
    mass, a, speed, stiffness, length, plateau, give_m = np.broadcast_arrays(
        *(
            np.asarray(value, float)
            for value in (mass_kg, acceleration_m_s2, speed_m_s, stiffness_N, length_m, plateau_N, plateau_m)
        )
    )
    pull, k_N_m = mass * a, stiffness / length
    spring_N = pull + np.sqrt(pull**2 + k_N_m * mass * speed**2)
    opens = (spring_N > plateau) & (give_m > 0.0)
    at_N = np.where(opens, plateau, 1.0)  # any finite force where it stays shut: not used there
    at_opening = np.where(opens, speed**2 + 2.0 * a * at_N / k_N_m - at_N**2 / (k_N_m * mass), 0.0)
    brake_m_s2 = at_N / mass - a
    with np.errstate(divide="ignore", invalid="ignore"):
        wanted_m = np.where(brake_m_s2 > 0.0, at_opening / (2.0 * brake_m_s2), np.inf)
    runs_out = opens & (wanted_m > give_m)
    left = np.where(runs_out, np.maximum(0.0, at_opening - 2.0 * brake_m_s2 * np.where(runs_out, give_m, 0.0)), 0.0)
    hard_N = pull + np.sqrt((pull - at_N) ** 2 + k_N_m * mass * left)
    force = np.where(opens, np.where(runs_out, np.maximum(plateau, hard_N), plateau), spring_N)
    given = np.where(opens, np.minimum(wanted_m, give_m), 0.0)
    return PlateauStop(force, force / k_N_m + given, runs_out)
