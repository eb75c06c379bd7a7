"""Hitches on a cable: which are stops and which only brakes, whether a cord fits, and what theory and heat say.

No published figure says what any hitch holds on bare steel cable. So nothing here decides that one grips: the audit
shows each twice, if it grips and if it slips, and what is theory below says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.fibres import Fibre
from handline.line.gravity import G_M_S2


@dataclass(frozen=True)
class Hitch:
    """One hitch as it is usually tied on a cable.

    ``coils`` is how many turns of single cord lie round the cable: a loop is doubled, so each wrap counts two.
    ``is_stop`` where the trade trusts it to stop a person by itself; else it is a brake for a hand that holds it.
    ``one_way`` where it grips in one direction only. ``for_up`` and ``for_down`` say on which way it is used. All of it
    is common practice.
    """

    key: str
    title: str
    coils: int
    is_stop: bool
    one_way: bool
    for_up: bool
    for_down: bool
    note: str
    source: str


def _hitches(*hitches: Hitch) -> Mapping[str, Hitch]:
    return MappingProxyType({hitch.key: hitch for hitch in hitches})


HITCHES = _hitches(
    Hitch(
        "prusik", "Prusik, three wraps", 6, True, False, True, True,
        "Grips both ways. It jams after a load: count on seconds with cold hands to free it.", "practice_hitch_kinds",
    ),
    Hitch(
        "klemheist", "Klemheist, four wraps", 8, True, True, True, False,
        "Grips one way: tied upside down it holds nothing. It does not move under load, so it goes up and not down.",
        "practice_hitch_kinds",
    ),
    Hitch(
        "autoblock", "Autoblock, four wraps", 8, False, False, False, True,
        "A brake that a hand lets slide on the way down. Let go, it may run on: it is no stop.", "practice_hitch_kinds",
    ),
    Hitch(
        "valdotain", "Valdotain tresse, four wraps and three braids", 7, True, True, True, True,
        "Can be freed under load, and so slides if the hand that holds it is pulled onto it.", "practice_hitch_kinds",
    ),
)  # fmt: skip

# Bite: how far a gripping hitch travels before it bites; slack: what hangs between it and a harness level with it.
# [practice_hitch]
HITCH_SLACK_M = 0.3
HITCH_BITE_M = 0.1

# Cord is to be at least this much thinner than what it is tied round. [practice_cord_rule]
CORD_THINNER_M = 0.003
# Diameters typed in other units may differ in the last digits.
_SAME_M = 1e-9

CORD_TOO_THICK = "cord no thinner than the cable"
CORD_THICK = "cord less than 3 mm thinner than the cable"

# Friction of polyamide cord on steel cable by the state of the rock beside it: dry is a proxy at second hand
# [pa_on_steel]; water and ice are from memory, low end first [hitch_wet].
CORD_ON_CABLE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"dry": (0.25, 0.45), "damp": (0.15, 0.35), "wet": (0.15, 0.35), "iced": (0.03, 0.10)}
)
CORD_ON_CABLE_SOURCE: Mapping[str, str] = MappingProxyType(
    {"dry": "pa_on_steel", "damp": "hitch_wet", "wet": "hitch_wet", "iced": "hitch_wet"}
)

# How heat that a slipping hitch makes is spread. Low: half goes into the cord, through its whole section. High: all
# of it into the quarter of the section that lies on the steel. Ours, and real spots may be hotter. [slip_heat]
HEAT_INTO_CORD = (0.5, 1.0)
SECTION_HEATED = (1.0, 0.25)
# Share of a cord's section that is fibre and not air. From memory. [fibre_heat]
CORD_FILL = 0.7
AIR_C = 20.0


def cord_fits(cord_diameter_m: ArrayLike, cable_diameter_m: ArrayLike) -> NDArray[np.bool_]:
    """Whether a cord is thin enough to bite on a cable: at least 3 mm thinner, by common practice.

    Parameters are diameters [m], broadcast together. A thinner cord grips better and is weaker.
    Sources: practice_cord_rule.
    """
    margin_m = np.asarray(cable_diameter_m, float) - np.asarray(cord_diameter_m, float)
    return np.asarray(margin_m >= CORD_THINNER_M - _SAME_M)


def cord_flag(cord_diameter_m: float, cable_diameter_m: float) -> str:
    """What is wrong with one cord on one cable: ``CORD_TOO_THICK``, ``CORD_THICK``, or "" where it fits. [m]"""
    if cord_diameter_m >= cable_diameter_m - _SAME_M:
        return CORD_TOO_THICK
    return "" if bool(cord_fits(cord_diameter_m, cable_diameter_m)) else CORD_THICK


def capstan_ratio(mu: ArrayLike, turns: ArrayLike) -> NDArray[np.float64]:
    """Theory: how many times a pull on one end a turn round a cable holds, T2/T1 = exp(2 pi n mu).

    Parameters
    ----------
    mu, turns : array_like
        Friction coefficient [-] and turns round the cable [-], broadcast together.

    Returns
    -------
    ndarray
        The ratio of the two pulls [-].

    Validity
    --------
    A bendy cord on a round cable at rest, by theory alone: an upper bound for a coil, and no measure of what a hitch
    holds.

    Sources
    -------
    capstan.
    """
    return np.exp(2.0 * np.pi * np.asarray(turns, float) * np.asarray(mu, float))


def least_friction_to_lock(coils: ArrayLike, tension_share: ArrayLike) -> NDArray[np.float64]:
    """Theory: the friction a hitch needs to lock, whatever hangs on it: mu = 1 / (2 pi n k).

    With a load T on the hitch and a share k of it as tension in each coil, n coils press on the cable with 2 pi n k T,
    and friction holds the load where mu 2 pi n k T >= T. The load falls out: a hitch locks at any load or not at all.

    Parameters
    ----------
    coils, tension_share : array_like
        Coils round the cable [-] and k [-], broadcast together. k is not known: half where two strands share the load
        and lose nothing, far less where the first coils take it up.

    Returns
    -------
    ndarray
        Least friction coefficient [-]. Below it the hitch slides at any load.

    Validity
    --------
    Theory. It leaves out jammed coils, a bent cable, water, wear and grease; it is no reason to skip the test with
    body weight.

    Notes
    -----
    The inequality of this form is ours, after the published one, of which only the abstract was seen.

    Sources
    -------
    bayman_1977.
    """
    return 1.0 / (2.0 * np.pi * np.asarray(coils, float) * np.asarray(tension_share, float))


def hang_test_N(mass_kg: ArrayLike, angle_rad: ArrayLike) -> NDArray[np.float64]:
    """The most that hanging on a hitch shows it to hold on a slope: T = m g sin(angle). [kg], [rad] to [N]

    Feet that stand on the rock make it less. A slip that is stopped pulls several times as hard.
    """
    return np.asarray(mass_kg, float) * G_M_S2 * np.sin(np.asarray(angle_rad, float))


def slip_temperature_C(
    force_N: ArrayLike,
    slip_m: ArrayLike,
    coils: ArrayLike,
    cord_diameter_m: ArrayLike,
    cable_diameter_m: ArrayLike,
    fibre: Fibre,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How warm the cord of a slipping hitch gets, low and high end.

    t = 20 + q F s / (m c), m = z f rho (pi d^2 / 4) n pi (D + d): the heat F s goes into the cord that touches the
    cable and none of it leaves. q is the share that goes into the cord, z the share of its section that is heated.

    Parameters
    ----------
    force_N, slip_m : array_like
        Pull on the hitch while it slips [N] and how far it slips [m].
    coils, cord_diameter_m, cable_diameter_m : array_like
        Coils round the cable [-] and both diameters [m]. All broadcast together.
    fibre : Fibre
        What the cord is made of.

    Returns
    -------
    (ndarray, ndarray)
        Low and high temperature [C]. Past ``fibre.melting_C`` the cord is melting or charring: there the figure only
        says "past it".

    Validity
    --------
    A warning, not a design figure: the two ends differ by eight times, and a single strand may be hotter than either.

    Sources
    -------
    slip_heat, fibre_heat.
    """
    low, high = (
        AIR_C + np.asarray(force_N, float) * np.asarray(slip_m, float) / heat_to_warm_J_K
        for heat_to_warm_J_K in _heat_capacities_J_K(coils, cord_diameter_m, cable_diameter_m, fibre)
    )
    return low, high


def slip_to_melt_m(
    force_N: ArrayLike,
    coils: ArrayLike,
    cord_diameter_m: ArrayLike,
    cable_diameter_m: ArrayLike,
    fibre: Fibre,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far a hitch slips before its cord begins to melt or char: ``slip_temperature_C`` turned round. [m]

    The short end is by the high temperature, the long end by the low one; both to the low end of the melting range.
    Parameters, validity and sources as there.
    """
    low, high = (
        (fibre.melting_C[0] - AIR_C) * heat_to_warm_J_K / np.asarray(force_N, float)
        for heat_to_warm_J_K in _heat_capacities_J_K(coils, cord_diameter_m, cable_diameter_m, fibre)
    )
    return high, low


def _heat_capacities_J_K(
    coils: ArrayLike, cord_diameter_m: ArrayLike, cable_diameter_m: ArrayLike, fibre: Fibre
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Heat made by the slip for each kelvin of the cord, at the low and the high end of its temperature [J/K]."""
    cord_m, cable_m = np.asarray(cord_diameter_m, float), np.asarray(cable_diameter_m, float)
    on_cable_m = np.asarray(coils, float) * np.pi * (cable_m + cord_m)
    whole_J_K = CORD_FILL * fibre.density_kg_m3 * (np.pi * cord_m**2 / 4.0) * on_cable_m * fibre.specific_heat_J_kgK
    low, high = (
        section * whole_J_K / into_cord for into_cord, section in zip(HEAT_INTO_CORD, SECTION_HEATED, strict=True)
    )
    return low, high
