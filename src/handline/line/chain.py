"""What holds a sliding body: a chain of parts without mass, from the stop on the rock to the harness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.arrest import Absorber

# The kernel keeps count of this many giving parts.
MOST_GIVING = 2


@dataclass(frozen=True, eq=False)
class GivingPart:
    """A part that holds until a set force and then gives way: an absorber, or a hitch or knot that slips.

    It opens at ``opening_N``, gives at ``plateau_N`` (the same, or lower for one that opens with a jerk), and holds
    rigidly once it has given ``travel_m``; infinite for a hitch that slips on without end. Arrays broadcast over cases.
    """

    opening_N: ArrayLike
    plateau_N: ArrayLike
    travel_m: ArrayLike
    source: str = "typed"

    def __post_init__(self) -> None:
        opening, plateau, travel = (np.asarray(part, float) for part in (self.opening_N, self.plateau_N, self.travel_m))
        if not (bool(np.all(plateau > 0.0)) and bool(np.all(np.isfinite(plateau)))):
            raise ValueError("plateau_N must be above 0 and finite")
        if not (bool(np.all(opening >= plateau)) and bool(np.all(np.isfinite(opening)))):
            raise ValueError("opening_N must be finite and no less than plateau_N")
        if not bool(np.all(travel > 0.0)):
            raise ValueError("travel_m must be above 0")


@dataclass(frozen=True, eq=False)
class Body:
    """A body and harness that give: a spring [N/m] and a dashpot [N s/m] side by side, between chain and mass.

    An infinite spring is a rigid body; a dashpot of 0 is a spring alone. Arrays broadcast over cases.
    """

    stiffness_N_m: ArrayLike
    damping_N_s_m: ArrayLike
    source: str = "typed"

    def __post_init__(self) -> None:
        stiffness, damping = np.asarray(self.stiffness_N_m, float), np.asarray(self.damping_N_s_m, float)
        if not bool(np.all(stiffness > 0.0)):
            raise ValueError("stiffness_N_m must be above 0")
        if not (bool(np.all(damping >= 0.0)) and bool(np.all(np.isfinite(damping)))):
            raise ValueError("damping_N_s_m must be finite, 0 or more")


# From memory: rules for workers' lanyards take the force on a person as that on a rigid weight over about 1.4. This
# pair lowers the peak in a short stiff sling by that much, and in softer tethers by less: the careful side.
BODY_FROM_MEMORY = Body(stiffness_N_m=300e3, damping_N_s_m=1000.0, source="body_from_memory")


@dataclass(frozen=True, eq=False)
class Chain:
    """Parts in series, from the stop to the body; every part carries the same force.

    Parameters
    ----------
    strand_N, strand_m : array_like
        EA of the tether's strand, force per unit strain [N], and its length [m]; EA from drop tests.
    stop_N_m, cable_N_m : array_like
        Stiffness of the stop, and of the cable where the connector grips it [N/m] (``cable_along_N_m``). Infinite,
        which is rigid and so the careful side, if not given.
    giving : tuple of GivingPart
        None, one or two. The one that gives at the lower force goes first.
    body : Body or None
        None is a rigid body: the careful side.

    Raises
    ------
    ValueError
        A number outside its range, more than two giving parts, or nothing in the chain that springs.

    Notes
    -----
    Drop tests of rigid masses give the stiffness of strands, so body and stop are rigid unless one asks. A chain of
    rigid parts alone has no finite force and is refused. What is rigid is careful unless a giving part holds less than
    twice the pull m a and can run out: then what is soft may run it out where what is stiff does not.

    Sources
    -------
    rigid_mass; stiffness of strands as in tethers.
    """

    strand_N: ArrayLike
    strand_m: ArrayLike
    stop_N_m: ArrayLike = np.inf
    cable_N_m: ArrayLike = np.inf
    giving: tuple[GivingPart, ...] = ()
    body: Body | None = None

    def __post_init__(self) -> None:
        for name in ("strand_N", "strand_m", "stop_N_m", "cable_N_m"):
            if not bool(np.all(np.asarray(getattr(self, name), float) > 0.0)):
                raise ValueError(f"{name} must be above 0")
        if not bool(np.all(np.isfinite(np.asarray(self.strand_m, float)))):
            raise ValueError("strand_m must be finite")
        if len(self.giving) > MOST_GIVING:
            raise ValueError(f"a chain has at most {MOST_GIVING} giving parts")
        body_m_N = 0.0 if self.body is None else 1.0 / np.asarray(self.body.stiffness_N_m, float)
        if not bool(np.all(sum(self.spring_m_N) + body_m_N > 0.0)):
            raise ValueError("something in the chain must spring: stop, cable, strand or body")

    @property
    def spring_m_N(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """What stop, cable and strand stretch for each newton [m/N]; 0 for a rigid one."""
        return (
            1.0 / np.asarray(self.stop_N_m, float),
            1.0 / np.asarray(self.cable_N_m, float),
            np.asarray(self.strand_m, float) / np.asarray(self.strand_N, float),
        )

    @property
    def stiffness_N_m(self) -> NDArray[np.float64]:
        """Of stop, cable and strand in series [N/m]: 1 / sum(1 / k). Infinite where all are rigid."""
        total_m_N = np.asarray(sum(self.spring_m_N))
        return np.divide(1.0, total_m_N, out=np.full(total_m_N.shape, np.inf), where=total_m_N > 0.0)


def slipping_hitch(force_N: ArrayLike, source: str = "hitch_on_cable") -> GivingPart:
    """A hitch that slips along the cable at a set force [N], without end.

    No published holding load was found for any hitch on bare steel cable: the force is the user's, and a result with
    it stands beside one where the hitch grips.

    Sources
    -------
    hitch_on_cable
    """
    return GivingPart(force_N, force_N, np.inf, source)


def absorber_bounds(absorber: Absorber, wet: bool = False) -> tuple[GivingPart, GivingPart]:
    """An absorber as its standard promises it, twice: braking as hard, and as weakly, as it may.

    The first gives the highest force where it does not run out; the second the longest way, and so whether it runs out
    and how hard the stop is then. The careful answer is the larger of the two forces and of the two lengths.

    Sources
    -------
    en_958_2017; the weak end from memory (absorber_low).
    """
    hard_N = absorber.wet_ceiling_N if wet else absorber.ceiling_N
    return (
        GivingPart(hard_N, hard_N, absorber.travel_m, absorber.source),
        GivingPart(absorber.low_N, absorber.low_N, absorber.travel_m, "absorber_low"),
    )


def cable_along_N_m(stiffness_N: ArrayLike, to_upper_m: ArrayLike, to_lower_m: ArrayLike) -> NDArray[np.float64]:
    """Stiffness of a cable against a pull along it, from a place between two stops that hold it.

    k = EA (1 / upper + 1 / lower): the part above stretches and the part below goes slack by the same length.

    Parameters
    ----------
    stiffness_N : array_like
        EA of the cable [N].
    to_upper_m, to_lower_m : array_like
        From the place to the stop that holds the cable above, and below [m]; ``inf`` for a lower part that hangs loose.

    Returns
    -------
    ndarray
        Stiffness [N/m].

    Raises
    ------
    ValueError
        A length that is not above 0.

    Validity
    --------
    A pull along the cable, by a hitch that grips, of a cable strung tighter than it is unloaded below. Its give across
    the span (the sag of a taut cable, stiffer the further it goes) is left out: rigid there, the careful side. A
    connector that lies against a stop does not pull on the cable at all.

    Sources
    -------
    Hooke's law; EA is the caller's, with its source.
    """
    upper, lower = np.asarray(to_upper_m, float), np.asarray(to_lower_m, float)
    if not (bool(np.all(upper > 0.0)) and bool(np.all(lower > 0.0))):
        raise ValueError("to_upper_m and to_lower_m must be above 0")
    return np.asarray(stiffness_N, float) * (1.0 / upper + 1.0 / lower)
