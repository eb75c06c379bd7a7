"""How slips end: the chance of each end, over everything about a slip that nobody can know beforehand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from handline.line.arrest import Absorber, plateau_stop
from handline.line.audit import BODY_LENGTH_M, GIVES_WITHIN_M, acting, cases_of
from handline.line.friction import Rock
from handline.line.geometry import Line, steepest_rad
from handline.line.limits import LIMITS
from handline.line.slide import slide_acceleration_m_s2, slide_end_m, slide_speed_m_s
from handline.line.slip_draws import Draws, Floats, Slips, draw, slips_of
from handline.line.tether import Tether

USUAL_DRAWS = 2000

NOT_STOPPED, BREAKS, OVER, UNDER_ROPE, UNDER_LAW, UNDER_ABSORBER = (
    "not stopped",
    "a part breaks",
    "over 12 kN",
    "8 to 12 kN",
    "6 to 8 kN",
    "under 6 kN",
)
ENDS = (NOT_STOPPED, BREAKS, OVER, UNDER_ROPE, UNDER_LAW, UNDER_ABSORBER)
"""How a slip may end, the gravest first; every slip ends in one of these."""

EDGES_N: Mapping[str, float] = MappingProxyType(
    {key: LIMITS[key].force_N for key in ("rope_ceiling", "harness_law", "absorber")}
)
# An absorber that brakes at a limit gives that limit but for the last bit of a float: that is not over it.
OVER_BY = 1.0 + 1e-9

QUANTILES = (0.10, 0.50, 0.90)


@dataclass(frozen=True)
class SlipChances:
    """How slips of one tether end in one case on one state of the rock.

    ``share`` has the chance of each of ``ENDS``; they sum to one. ``slide_m`` and ``force_N`` are quantiles of
    ``QUANTILES``, the forces those of slips the tether stops (NaN where it stops none); ``longest_m`` and ``hardest_N``
    are the worst drawn. ``body_share`` is the chance of a slide longer than a body: one whose tether breaks counts as
    longer, for it goes on. ``error`` is one standard error of the largest share, from the number of draws alone.
    ``draws`` is how many.
    """

    tether: str
    rock: str
    case: str
    share: Mapping[str, float]
    slide_m: tuple[float, float, float]
    longest_m: float
    force_N: tuple[float, float, float]
    hardest_N: float
    body_share: float
    error: float
    draws: int

    def under(self, limit_N: float) -> float:
        """The chance of being stopped under a limit on the body that is one of the edges [1]."""
        ends = {12000.0: ENDS[3:], 8000.0: ENDS[4:], 6000.0: ENDS[5:]}[limit_N]
        return sum(self.share[end] for end in ends)


@dataclass(frozen=True, eq=False)
class SlipEnds:
    """How each draw ends: ``end`` an index into ``ENDS``; slide [m], force [N] (NaN where no tether stops it)."""

    end: np.ndarray
    slide_m: Floats
    force_N: Floats


def slip_chances(
    line: Line, tether: Tether, rock: Rock, mass_kg: tuple[float, float], draws: Draws | None = None, seed: int = 1
) -> tuple[SlipChances, ...]:
    """How slips of one tether end, for each case it is shown in.

    Parameters
    ----------
    line, tether, rock
        What is climbed, how it is tied to, and how it holds.
    mass_kg : (float, float)
        The lightest and the heaviest of the party, each with a pack [kg].
    draws : Draws
        What is drawn; left out, ``USUAL_DRAWS`` of ``seed``.

    Returns
    -------
    tuple of SlipChances
        One a case, in the order of ``cases_of``.

    Validity: as ``slip_ends``. Sources: our_slip_draws, and those of ``slip_ends``.
    """
    drawn = draw(USUAL_DRAWS, seed) if draws is None else draws
    return tuple(
        chances_of(tether, rock, case, slip_ends(line, tether, rock, case, mass_kg, drawn))
        for case in cases_of(tether, line)
    )


def slip_ends(
    line: Line, tether: Tether, rock: Rock, case: str, mass_kg: tuple[float, float], draws: Draws
) -> SlipEnds:
    """How each drawn slip ends.

    A slip that friction ends before the tether comes taut is "not stopped" if it is longer than a body or reaches the
    foot, else it counts as stopped without force. Where the force passes the weakest part it breaks, and what happens
    after is not followed: the slide shown is as far as there.

    Validity: a rigid body, stops that do not give, the slope where the tether comes taut carried on below it at its
    steepest within 2.5 m; parts as strong as new. Sources: wexler_1950, rigid_mass, absorber_low, our_slip_draws.
    """
    slips = slips_of(line, tether, case, rock, mass_kg, draws)
    rest_m = slide_end_m(line, slips.start_m, slips.mu_slide)
    tied = acting(tether, case)
    by_tether = (slips.taut_m > 0.0) & (rest_m <= slips.taut_m)
    slide_m = slips.start_m - np.where(by_tether, slips.taut_m, rest_m)
    force_N, given_m = np.full(slide_m.shape, np.nan), np.zeros(slide_m.shape)
    if by_tether.any():
        force_N[by_tether], given_m[by_tether] = _stops(line, tied, rock, slips, by_tether, draws)
    slide_m = np.minimum(slide_m + given_m, slips.start_m)
    unstopped = (~by_tether & (slide_m > BODY_LENGTH_M)) | ((slide_m >= slips.start_m) & (slide_m > BODY_LENGTH_M))
    felt_N = np.nan_to_num(force_N)
    over = len(ENDS) - 1 - sum((felt_N > edge_N * OVER_BY).astype(int) for edge_N in EDGES_N.values())
    broken = by_tether & (felt_N > tied.weakest.force_N * OVER_BY)
    end = np.where(unstopped, ENDS.index(NOT_STOPPED), np.where(broken, ENDS.index(BREAKS), over))
    return SlipEnds(end, slide_m, force_N)


def _stops(
    line: Line, tied: Tether, rock: Rock, slips: Slips, which: np.ndarray, draws: Draws
) -> tuple[Floats, Floats]:
    """Peak force [N] and how far tether and absorber give [m], of the slips that come taut."""
    taut_m, mu = slips.taut_m[which], slips.mu_slide[which]
    angle_rad = steepest_rad(line, np.maximum(0.0, taut_m - GIVES_WITHIN_M), taut_m)
    stop = plateau_stop(
        slips.mass_kg[which],
        slide_acceleration_m_s2(angle_rad, mu),
        slide_speed_m_s(line, slips.start_m[which], taut_m, mu),
        slips.stiffness_N[which],
        slips.reach_m[which],
        *(() if tied.absorber is None else _plateau(tied.absorber, rock, draws.braking[which])),
    )
    return stop.force_N, stop.travel_m


def _plateau(absorber: Absorber, rock: Rock, braking: Floats) -> tuple[Floats, float]:
    """An absorber that brakes somewhere between the least it is trusted with and its ceiling: force [N], length [m]."""
    hard_N = absorber.wet_ceiling_N if rock.gear_gets_wet else absorber.ceiling_N
    return absorber.low_N + (hard_N - absorber.low_N) * braking, absorber.travel_m


def chances_of(tether: Tether, rock: Rock, case: str, ends: SlipEnds) -> SlipChances:
    """The chances that lie in drawn slips of one case."""
    count = ends.end.size
    share = np.bincount(ends.end, minlength=len(ENDS)) / count
    stopped_N = ends.force_N[(ends.end != ENDS.index(NOT_STOPPED)) & np.isfinite(ends.force_N)]
    nan = float("nan")
    low, middle, high = np.quantile(ends.slide_m, QUANTILES)
    force = tuple(np.quantile(stopped_N, QUANTILES)) if stopped_N.size else (nan, nan, nan)
    largest = float(share.max())
    return SlipChances(
        tether=tether.name,
        rock=rock.name,
        case=case,
        share=MappingProxyType(dict(zip(ENDS, (float(value) for value in share), strict=True))),
        slide_m=(float(low), float(middle), float(high)),
        longest_m=float(ends.slide_m.max()),
        force_N=(float(force[0]), float(force[1]), float(force[2])),
        hardest_N=float(stopped_N.max()) if stopped_N.size else nan,
        body_share=float(((ends.slide_m > BODY_LENGTH_M) | (ends.end == ENDS.index(BREAKS))).mean()),
        error=float(np.sqrt(largest * (1.0 - largest) / count)),
        draws=count,
    )
