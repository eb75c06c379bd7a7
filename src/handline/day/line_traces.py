"""The hardest drawn slip of each tether, followed over time, and the chosen tether's once more on a body that gives."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from handline.line.audit import GIVES_WITHIN_M, acting, cases_of
from handline.line.chain import BODY_FROM_MEMORY, Chain, GivingPart
from handline.line.dynamic_arrest import ForceTrace, dynamic_arrest, force_trace
from handline.line.friction import Rock
from handline.line.geometry import Line, steepest_rad
from handline.line.slide import slide_speed_m_s
from handline.line.slip_chances import SlipEnds
from handline.line.slip_draws import Draws, slips_of
from handline.line.tether import Tether
from handline.sources import source

RIGID, GIVES = "rigid", "gives"


@dataclass(frozen=True)
class SlipTrace:
    """One slip from the moment the tether comes taut until the body first stands.

    ``body`` is "rigid" or "gives". The slip is the one of the drawn slips with the highest force, broken parts taken to
    hold; ``places`` are along the line from its foot.
    """

    tether: str
    case: str
    body: str
    mass_kg: float
    start_m: float
    taut_m: float
    speed_m_s: float
    peak_N: float
    time_s: tuple[float, ...]
    force_N: tuple[float, ...]
    source: str


@dataclass(frozen=True)
class _Slip:
    """Everything ``dynamic_arrest`` wants for one slip, and where it was."""

    chain: Chain
    mass_kg: float
    angle_rad: float
    mu: float
    speed_m_s: float
    start_m: float
    taut_m: float


def hardest_traces(
    line: Line, tether: Tether, rock: Rock, mass_kg: tuple[float, float], draws: Draws, ends: SlipEnds, *, soft: bool
) -> tuple[SlipTrace, ...]:
    """The hardest slip of a tether in its first case; with ``soft`` once more on a body that gives.

    ``ends`` are those of the same draws in that case. Empty where the tether stops nothing.

    Notes
    -----
    The body that gives is from memory, as a comparison: body_from_memory.
    """
    case = cases_of(tether, line)[0]
    if not bool(np.isfinite(ends.force_N).any()):
        return ()
    slip = _slip(line, tether, case, rock, mass_kg, draws, int(np.nanargmax(ends.force_N)))
    bodies = [(RIGID, slip.chain, source("rigid_mass").words)]
    if soft:
        bodies.append((GIVES, replace(slip.chain, body=BODY_FROM_MEMORY), source(BODY_FROM_MEMORY.source).words))
    return tuple(_trace(tether, case, body, replace(slip, chain=chain), words) for body, chain, words in bodies)


def _slip(
    line: Line, tether: Tether, case: str, rock: Rock, mass_kg: tuple[float, float], draws: Draws, index: int
) -> _Slip:
    """One of the drawn slips, as ``slip_ends`` has it; a test holds the two together."""
    slips, tied = slips_of(line, tether, case, rock, mass_kg, draws), acting(tether, case)
    start_m, taut_m, mu = (float(of[index]) for of in (slips.start_m, slips.taut_m, slips.mu_slide))
    gives_to_m = max(0.0, taut_m - GIVES_WITHIN_M)
    giving: tuple[GivingPart, ...] = ()
    if tied.absorber is not None:
        hard_N = tied.absorber.wet_ceiling_N if rock.gear_gets_wet else tied.absorber.ceiling_N
        brakes_N = tied.absorber.low_N + (hard_N - tied.absorber.low_N) * float(draws.braking[index])
        giving = (GivingPart(brakes_N, brakes_N, tied.absorber.travel_m, tied.absorber.source),)
    return _Slip(
        chain=Chain(float(slips.stiffness_N[index]), float(slips.reach_m[index]), giving=giving),
        mass_kg=float(slips.mass_kg[index]),
        angle_rad=float(steepest_rad(line, np.array(gives_to_m), np.array(taut_m))),
        mu=mu,
        speed_m_s=float(slide_speed_m_s(line, start_m, taut_m, mu)),
        start_m=start_m,
        taut_m=taut_m,
    )


def _trace(tether: Tether, case: str, body: str, slip: _Slip, words: str) -> SlipTrace:
    moving = (slip.mass_kg, slip.angle_rad, slip.mu, slip.speed_m_s)
    traced: ForceTrace = force_trace(slip.chain, *moving)
    return SlipTrace(
        tether=tether.name,
        case=case,
        body=body,
        mass_kg=slip.mass_kg,
        start_m=slip.start_m,
        taut_m=slip.taut_m,
        speed_m_s=slip.speed_m_s,
        peak_N=float(dynamic_arrest(slip.chain, *moving).peak_force_N),
        time_s=tuple(traced.time_s.tolist()),
        force_N=tuple(traced.force_N.tolist()),
        source=words,
    )
