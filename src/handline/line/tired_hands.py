"""How hands tire along the line: where they give out first, and the rests they need.

On every stretch both hands share the pull and let go in turn, so that the endurance with breaks applies, as long as one
hand alone holds the pull; where it takes both, neither can let go, and that of holding applies. What is used of it adds
up from one place of rest to the next. At a stance, or on the plank of a standing stanchion, hands come
back. All of that is ours: only the endurance over an hour was measured.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.line.footing import pull_to_stand_N
from handline.line.friction import ROCKS, Rock
from handline.line.geometry import DOWN, UP, WAYS, Line, angle_at, bay_edges_m, rest_places_m
from handline.line.grip import (
    ENDURANCE_SHARE,
    ENDURANCE_SHARE_WITH_BREAKS,
    WEAKER,
    Glove,
    Grip,
    both_hands_share,
    endurance_s,
)

TOO_MUCH = "too much"
"""Both hands cannot hold the pull at all."""
TIRED = "tired"
"""They could hold it, but not for as long as it takes to the next place of rest."""

# Hands that have given all come back in about this long, and in proportion. [our_hand_rest]
HANDS_BACK_S = 120.0
# A usual rate of climbing is that on rock in this state, with the short rests it takes there.
_RATE_IS_ON = ROCKS["dry"]
# Of what each of both hands gives: above it one alone does not hold the pull, and neither can let go.
ONE_ALONE_SHARE = 0.5


@dataclass(frozen=True)
class GivesOut:
    """Where hands give out first: a place along the line from its foot, the bay (0 the lowest), and why.

    ``why`` is "too much" or "tired".
    """

    at_m: float
    bay: int
    why: str


@dataclass(frozen=True)
class HandsTire:
    """How one median person's hands tire along the line, one way.

    ``gives_out`` is None where they last. ``most_used_share`` is the most of their endurance that goes between two
    rests, infinite where they cannot hold the pull at all.
    """

    gives_out: GivesOut | None
    most_used_share: float


def hands_tire(
    line: Line, mass_kg: float, rock: Rock, glove: Glove, rate_m_s: float, way: str, grip: Grip = WEAKER
) -> HandsTire:
    """How hands tire on the line, and where they give out first.

    On each stretch of even slope: share = what each of both hands gives of its most; used = time / endurance(share),
    added up since the last rest; with breaks up to a share of a half, held without one above it. Hands give out where
    the sum comes to 1, or where the share is above 1.

    Parameters
    ----------
    line : Line
    mass_kg : float
        Body with pack [kg].
    rock, glove : Rock, Glove
    rate_m_s : float
        How fast the line is climbed or descended [m/s].
    way : str
        "up", from the foot, or "down", from the head.
    grip : Grip
        Whose hands.

    Raises
    ------
    ValueError
        An unknown way, or a rate that is not positive.

    Validity
    --------
    The pull of standing still, all the time: it is the least that moving asks. The time of a changeover is not
    counted, nor that one hand is busy with it.

    Notes
    -----
    Sources: bjorksten_1977, dodds_2014, young_2009, our_endurance_curve, our_hand_rest.
    """
    if way not in WAYS or not rate_m_s > 0:
        raise ValueError(f"a way of {WAYS} and a rate above 0 are needed, not {way!r} and {rate_m_s!r}")
    rests, edges_m = frozenset(rest_places_m(line).tolist()), _edges_m(line)
    used_per_m = _used_per_m(line, edges_m, mass_kg, rock, glove, rate_m_s, grip)
    stretches = list(zip(itertools.pairwise(edges_m.tolist()), used_per_m.tolist(), strict=True))
    if way == DOWN:
        stretches = [((high_m, low_m), used) for (low_m, high_m), used in reversed(stretches)]

    gives_out: GivesOut | None = None
    used, most = 0.0, 0.0
    for (from_m, to_m), per_m in stretches:
        before, used = used, used + per_m * abs(to_m - from_m)
        if used >= 1.0 and gives_out is None:
            lasts_m = (1.0 - before) / per_m
            at_m = from_m + lasts_m if way == UP else from_m - lasts_m
            gives_out = GivesOut(at_m, _bay_of(line, (from_m + to_m) / 2.0), TIRED if np.isfinite(per_m) else TOO_MUCH)
        most = max(most, used)
        if to_m in rests:
            used = 0.0
    return HandsTire(gives_out, most)


def hand_rests_s(line: Line, mass_kg: float, rock: Rock, glove: Glove, rate_m_s: float) -> tuple[float, ...]:
    """The rests hands need in each bay, foot first, beyond those that a usual rate on dry rock has in it. [s]

    Rest = 120 s sum(time / endurance(share)) on this rock, less the same on dry rock; taken wherever there is a hold.

    Notes
    -----
    Hands give no more than their most: where the pull is more than that, they count as at their most, and whether they
    hold at all is for ``hands_tire`` to say. These rests are the breaks, so the endurance with breaks counts all the
    way. By the weaker norm.
    Sources: our_hand_rest, and those of ``hands_tire``.
    """
    edges_m = _edges_m(line)
    today, dry = (
        np.diff(edges_m)
        * _used_per_m(line, edges_m, mass_kg, state, glove, rate_m_s, WEAKER, at_most=1.0, breaks_up_to=1.0)
        for state in (rock, _RATE_IS_ON)
    )
    ends_m = bay_edges_m(line)
    bay = np.searchsorted(ends_m, (edges_m[:-1] + edges_m[1:]) / 2.0) - 1
    rests_s = np.bincount(bay, weights=HANDS_BACK_S * (today - dry), minlength=ends_m.size - 1)
    return tuple(rests_s.tolist())


def _edges_m(line: Line) -> NDArray[np.float64]:
    """Where the line is cut: at bends, at stops and at places of rest."""
    return np.unique(np.concatenate([bay_edges_m(line), np.cumsum(line.section_length_m)[:-1], rest_places_m(line)]))


def _used_per_m(
    line: Line,
    edges_m: NDArray[np.float64],
    mass_kg: float,
    rock: Rock,
    glove: Glove,
    rate_m_s: float,
    grip: Grip,
    *,
    at_most: float = np.inf,
    breaks_up_to: float = ONE_ALONE_SHARE,
) -> NDArray[np.float64]:
    """What of the endurance of both hands goes on each metre of each stretch; infinite where they cannot hold. [1/m]"""
    pull_N = pull_to_stand_N(mass_kg, angle_at(line, (edges_m[:-1] + edges_m[1:]) / 2.0), rock.mu_foot)
    share = np.minimum(both_hands_share(pull_N, glove.mu[rock.name], grip), at_most)
    held_s, with_breaks_s = endurance_s(share, ENDURANCE_SHARE), endurance_s(share, ENDURANCE_SHARE_WITH_BREAKS)
    with np.errstate(divide="ignore"):
        return 1.0 / (rate_m_s * np.where(share > breaks_up_to, held_s, with_breaks_s))


def _bay_of(line: Line, at_m: float) -> int:
    return int(np.searchsorted(bay_edges_m(line), at_m, side="right")) - 1
