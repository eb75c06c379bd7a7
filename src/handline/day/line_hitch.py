"""What is known of a tether's hitch, for the line report: the cord rule, theory, heat, and the test that counts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.line.fibres import FIBRES, Fibre
from handline.line.friction import Rock
from handline.line.geometry import Line
from handline.line.hitches import (
    CORD_ON_CABLE,
    CORD_ON_CABLE_SOURCE,
    CORD_THINNER_M,
    Hitch,
    capstan_ratio,
    cord_flag,
    hang_test_N,
    least_friction_to_lock,
    slip_temperature_C,
    slip_to_melt_m,
)
from handline.line.slide import slide_acceleration_m_s2
from handline.line.tether import Cord, Tether
from handline.sources import source

# A hitch at best: two strands share its load and lose none of it on the way. Not known, and so only an upper bound.
BEST_TENSION_SHARE = 0.5
# How far the hitch slips in the rows of heat [m]: about its bite, a step, a body's reach.
HEAT_SLIPS_M = (0.1, 0.5, 1.0)
ADVICE = (
    "Hang your whole weight on the hitch near the foot of the line, where the ground is right under your feet, each "
    "time it is tied, wet, or moved to another cable. It is the only test there is."
)


@dataclass(frozen=True)
class SlipHeat:
    """How warm the cord gets after one length of slipping under a body's weight, low and high end."""

    slip_m: float
    temperature_C: tuple[float, float]


@dataclass(frozen=True)
class FibreHeat:
    """How soon a cord of the same thickness of one fibre begins to melt or char, slipping as the tether's own."""

    fibre: str
    melting_C: tuple[float, float]
    chars: bool
    slip_m: tuple[float, float]
    own: bool
    source: str


@dataclass(frozen=True)
class HitchFacts:
    """The hitch of one tether on this cable and rock.

    ``flag`` says what is wrong with cord on cable, "" where the rule is kept. Theory: ``capstan`` bounds how many times
    the pull a coil holds by the two ends of ``mu``, and ``mu_to_lock`` is the least friction that locks it at best.
    ``hang_test_N`` is the most that hanging on it shows. Heat is for slipping under ``pull_N``, the steady pull of the
    heaviest body on the steepest part; empty where friction alone holds a body.
    """

    title: str
    note: str
    is_stop: bool
    one_way: bool
    for_up: bool
    for_down: bool
    coils: int
    cord_m: float
    cord_fibre: str
    cable_m: float
    thinner_by_m: float
    flag: str
    cord_source: str
    mu: tuple[float, float]
    mu_source: str
    capstan: tuple[float, float]
    capstan_source: str
    mu_to_lock: float
    lock_source: str
    hang_test_N: float
    pull_N: float
    heat: tuple[SlipHeat, ...]
    fibres: tuple[FibreHeat, ...]
    heat_source: str
    advice: str
    source: str


def hitch_facts(tether: Tether, line: Line, rock: Rock, mass_kg: float) -> HitchFacts | None:
    """What is known of the hitch of a tether; None where it has none.

    Notes
    -----
    Sources: those of the hitches room; nothing here says that a hitch grips.
    """
    hitch, cord = tether.hitch, tether.cord
    if hitch is None or cord is None:
        return None
    mu = CORD_ON_CABLE[rock.name]
    weakest, strongest = (float(capstan_ratio(end, hitch.coils)) for end in mu)
    steepest_rad = float(np.max(line.section_angle_rad))
    pull_N = mass_kg * max(0.0, float(slide_acceleration_m_s2(steepest_rad, rock.mu_slide)))
    cable_m = line.cable_diameter_m
    return HitchFacts(
        title=hitch.title,
        note=hitch.note,
        is_stop=hitch.is_stop,
        one_way=hitch.one_way,
        for_up=hitch.for_up,
        for_down=hitch.for_down,
        coils=hitch.coils,
        cord_m=cord.diameter_m,
        cord_fibre=FIBRES[cord.fibre].title,
        cable_m=cable_m,
        thinner_by_m=CORD_THINNER_M,
        flag=cord_flag(cord.diameter_m, cable_m),
        cord_source=source("practice_cord_rule").words,
        mu=mu,
        mu_source=source(CORD_ON_CABLE_SOURCE[rock.name]).words,
        capstan=(weakest, strongest),
        capstan_source=source("capstan").words,
        mu_to_lock=float(least_friction_to_lock(hitch.coils, BEST_TENSION_SHARE)),
        lock_source=source("bayman_1977").words,
        hang_test_N=float(hang_test_N(mass_kg, steepest_rad)),
        pull_N=pull_N,
        heat=_heat(hitch, cord, cable_m, pull_N) if pull_N > 0.0 else (),
        fibres=tuple(_fibre(hitch, cord, cable_m, pull_N, fibre) for fibre in FIBRES.values()) if pull_N > 0.0 else (),
        heat_source=source("slip_heat").words,
        advice=ADVICE,
        source=source(hitch.source).words,
    )


def _heat(hitch: Hitch, cord: Cord, cable_m: float, pull_N: float) -> tuple[SlipHeat, ...]:
    low_C, high_C = slip_temperature_C(
        pull_N, np.asarray(HEAT_SLIPS_M), hitch.coils, cord.diameter_m, cable_m, FIBRES[cord.fibre]
    )
    return tuple(
        SlipHeat(slip_m, (float(low), float(high)))
        for slip_m, low, high in zip(HEAT_SLIPS_M, low_C, high_C, strict=True)
    )


def _fibre(hitch: Hitch, cord: Cord, cable_m: float, pull_N: float, fibre: Fibre) -> FibreHeat:
    soon_m, late_m = slip_to_melt_m(pull_N, hitch.coils, cord.diameter_m, cable_m, fibre)
    return FibreHeat(
        fibre=fibre.title,
        melting_C=fibre.melting_C,
        chars=fibre.chars,
        slip_m=(float(soon_m), float(late_m)),
        own=fibre.key == cord.fibre,
        source=source(fibre.source).words,
    )
