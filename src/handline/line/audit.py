"""What each way of attaching does in a slip, for every place on the line a slip can start.

A running connector drops with the climber to the next stop below; with x the harness's distance above that stop and r
the reach, the free travel is x + r, and x goes up to the bay's length + r (the harness above the upper stop, its
connector not yet past it). A stanchion standing in a socket is no rated anchor, so each running case is shown twice:
if every stop holds, and if no stanchion does. A gripping hitch is shown twice as well: if it grips, and if it slips.
One that slips runs to the next anchor; with a backup behind it, the backup does, and is shown with the stanchions too.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.line.arrest import absorbed_stop, stopping_force_N
from handline.line.friction import Rock
from handline.line.geometry import Line, bay_edges_m, steepest_rad
from handline.line.limits import LIMITS
from handline.line.slide import fastest_m_s, slide_acceleration_m_s2, slide_end_m, specific_energy_J_kg
from handline.line.tethers import GRIPPING, HITCH_BITE_M, HITCH_SLACK_M, NONE, Tether

_STEP_M = 0.1
# A slide longer than this that the tether does not stop counts as uncaught: about a body's length; ours.
BODY_LENGTH_M = 1.8
# When more than this share of slips goes uncaught, the tether is no stop; ours.
NO_STOP_SHARE = 0.10
# How far below the place where a tether comes taut the slope is looked at: stretch and absorber use that much at most.
GIVES_WITHIN_M = 2.5

CASE_NOTHING = "nothing holds"
CASE_STOPS_HOLD = "every stop holds"
CASE_ANCHORS_ONLY = "only the anchors hold"
CASE_GRIPS = "the hitch grips"
CASE_SLIPS = "the hitch slips"
CASE_SLIPS_TO_STOP = "the hitch slips, every stop holds the backup"


@dataclass(frozen=True)
class Outcome:
    """What one tether does in a slip, for one rock state and one case.

    Pairs are (typical, worst) over the places a slip may start: the median and the maximum. Slides and forces are those
    of a tether that holds; ``part_breaks`` says that its weakest part does not. ``stopped_share`` is the share of slips
    that come to an end in the tether, and ``force_N`` NaN where none does. ``reach_foot_share`` is the share of places
    from which the body slides to the foot of the line, ``foot_from_m`` the highest of them; ``uncaught_share`` the
    share of slips longer than a body that the tether does not stop. ``start_m`` and ``end_m`` are the longest slide,
    along the line from its foot. ``over_limits`` are the keys of body limits the worst force passes. ``verdict`` is "no
    stop" (too many slips go uncaught), "breaks" (a part's strength is passed), "hurts" (over the party's limit on the
    body) or "holds"; the gravest that applies.
    """

    tether: str
    rock: str
    case: str
    free_m: tuple[float, float]
    slide_m: tuple[float, float]
    speed_m_s: tuple[float, float]
    force_N: tuple[float, float]
    reach_foot_share: float
    foot_from_m: float
    uncaught_share: float
    stopped_share: float
    start_m: float
    end_m: float
    over_limits: tuple[str, ...]
    part_breaks: bool
    verdict: str


@dataclass(frozen=True)
class _Slips:
    """Slips by place: where each starts, where the tether comes taut, and whether the foot comes first."""

    start_m: NDArray[np.float64]
    taut_m: NDArray[np.float64]


def cases_of(tether: Tether, line: Line) -> tuple[str, ...]:
    """The cases one tether is shown in on this line."""
    if tether.kind == NONE:
        return (CASE_NOTHING,)
    if tether.kind == GRIPPING:
        backed = tether.backup is not None and line.has_stanchions
        return (CASE_GRIPS, CASE_SLIPS_TO_STOP, CASE_SLIPS) if backed else (CASE_GRIPS, CASE_SLIPS)
    return (CASE_STOPS_HOLD, CASE_ANCHORS_ONLY) if line.has_stanchions else (CASE_STOPS_HOLD,)


def acting(tether: Tether, case: str) -> Tether:
    """What acts in a case: the backup behind a hitch that slips, else the tether itself."""
    return tether.backup if tether.backup is not None and case in (CASE_SLIPS, CASE_SLIPS_TO_STOP) else tether


def stops_in_m(line: Line, case: str) -> NDArray[np.float64]:
    """The stops that hold in a case, along the line [m].

    Only those that a connector is moved past: nobody moves it past one at the head, so nothing ever comes down on that.
    """
    at_m = line.stop_m if case in (CASE_STOPS_HOLD, CASE_SLIPS_TO_STOP) else line.anchor_m
    return at_m[at_m <= bay_edges_m(line)[-2]]


def audit(line: Line, tether: Tether, rock: Rock, mass_kg: float, body_limit_N: float) -> tuple[Outcome, ...]:
    """Every case of one tether on one state of the rock.

    Parameters
    ----------
    line, tether, rock
        What is climbed, how it is tied to, and how it holds.
    mass_kg, body_limit_N : float
        Body with pack [kg]; the party's own limit on the force on a body [N].

    Validity
    --------
    Closed form: a rigid body, a stop that does not give, friction constant along the line.
    """
    return tuple(_outcome(line, tether, rock, mass_kg, body_limit_N, case) for case in cases_of(tether, line))


def _slips(line: Line, tether: Tether, case: str) -> _Slips:
    places_m = np.arange(_STEP_M, line.length_m + 1e-9, _STEP_M)
    if case == CASE_NOTHING:
        return _Slips(places_m, np.full_like(places_m, -np.inf))
    if case == CASE_GRIPS:
        # From level with the hitch to a full reach above it, evenly.
        travel_m = np.linspace(HITCH_SLACK_M + HITCH_BITE_M, 2.0 * tether.reach_m + HITCH_BITE_M, 9)
        start_m = np.repeat(places_m, travel_m.size)
        return _Slips(start_m, start_m - np.tile(travel_m, places_m.size))
    stops_m = stops_in_m(line, case)
    edges_m = np.unique(np.concatenate([[0.0], stops_m, [line.length_m]]))
    starts, tauts = [], []
    for lower_m, upper_m in itertools.pairwise(edges_m):
        start_m = np.append(np.arange(lower_m + _STEP_M, upper_m + tether.reach_m, _STEP_M), upper_m + tether.reach_m)
        held = bool(np.isclose(stops_m, lower_m).any())
        starts.append(start_m)
        tauts.append(np.full_like(start_m, lower_m - tether.reach_m if held else -np.inf))
    return _Slips(np.concatenate(starts), np.concatenate(tauts))


def _outcome(line: Line, tether: Tether, rock: Rock, mass_kg: float, body_limit_N: float, case: str) -> Outcome:
    acts = acting(tether, case)
    slips = _slips(line, acts, case)
    rest_m = slide_end_m(line, slips.start_m, rock.mu_slide)
    by_tether = (slips.taut_m > 0.0) & (rest_m <= slips.taut_m)
    end_m = np.where(by_tether, slips.taut_m, rest_m)
    free_m = slips.start_m - end_m
    force_N, stretch_m = np.full_like(free_m, np.nan), np.zeros_like(free_m)
    if by_tether.any():
        force_N[by_tether], stretch_m[by_tether] = _stop(
            line, acts, rock, mass_kg, slips.start_m[by_tether], end_m[by_tether]
        )
    slide_m = np.minimum(free_m + stretch_m, slips.start_m)
    to_foot = (slide_m >= slips.start_m) & (slide_m > 0.0)
    uncaught = (to_foot | ~by_tether) & (slide_m > BODY_LENGTH_M)
    speed_m_s = fastest_m_s(line, slips.start_m, end_m, rock.mu_slide)
    worst = int(np.argmax(slide_m))
    forces = force_N[by_tether]
    force = (float(np.median(forces)), float(forces.max())) if forces.size else (float("nan"), float("nan"))
    breaks = bool(force[1] > acts.weakest.force_N)
    uncaught_share = float(uncaught.mean())
    nothing_holds = case == CASE_NOTHING and bool(slide_m.any())
    return Outcome(
        tether=tether.name,
        rock=rock.name,
        case=case,
        free_m=(float(np.median(free_m)), float(free_m.max())),
        slide_m=(float(np.median(slide_m)), float(slide_m.max())),
        speed_m_s=(float(np.median(speed_m_s)), float(speed_m_s.max())),
        force_N=force,
        reach_foot_share=float(to_foot.mean()),
        foot_from_m=float(slips.start_m[to_foot].max()) if to_foot.any() else 0.0,
        uncaught_share=uncaught_share,
        stopped_share=float(by_tether.mean()),
        start_m=float(slips.start_m[worst]),
        end_m=float(slips.start_m[worst] - slide_m[worst]),
        over_limits=tuple(key for key, limit in LIMITS.items() if limit.of == "body" and force[1] > limit.force_N),
        part_breaks=breaks,
        verdict=_verdict(1.0 if nothing_holds else uncaught_share, breaks, force[1], body_limit_N),
    )


def _stop(
    line: Line,
    tether: Tether,
    rock: Rock,
    mass_kg: float,
    start_m: NDArray[np.float64],
    taut_m: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Peak force [N] and how far tether and absorber give [m], for slips the tether stops."""
    energy_J = mass_kg * (
        specific_energy_J_kg(line, start_m, rock.mu_slide) - specific_energy_J_kg(line, taut_m, rock.mu_slide)
    )
    angle_rad = steepest_rad(line, np.maximum(0.0, taut_m - GIVES_WITHIN_M), taut_m)
    acceleration = slide_acceleration_m_s2(angle_rad, rock.mu_slide)
    if tether.absorber is not None:
        stop = absorbed_stop(
            mass_kg, acceleration, energy_J, tether.stiffness_N, tether.reach_m, tether.absorber, rock.gear_gets_wet
        )
        return stop.force_N, stop.given_m + stop.force_N * tether.reach_m / tether.stiffness_N
    force_N = stopping_force_N(mass_kg, acceleration, energy_J, tether.stiffness_N, tether.reach_m)
    return force_N, force_N * tether.reach_m / tether.stiffness_N


def _verdict(uncaught_share: float, breaks: bool, worst_N: float, body_limit_N: float) -> str:
    if uncaught_share > NO_STOP_SHARE:
        return "no stop"
    if breaks:
        return "breaks"
    return "hurts" if worst_N > body_limit_N else "holds"
