"""What the hands must pull for the feet to stay where they are."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.friction import ROCKS
from handline.line.geometry import Line, bay_edges_m

G_M_S2 = 9.80665

# One hand on an upright cylinder breaks away at this pull; a cable up a slope is gripped much like one. [young_2009]
ONE_HAND_BREAKAWAY_N = 435.0
# What a hand keeps up for an hour, as a share of its most, held without a break. [bjorksten_1977]
ENDURANCE_SHARE = 0.079


@dataclass(frozen=True)
class BayPull:
    """What one bay asks of the hands at its steepest, for each rock state in the order of ``ROCKS``."""

    start_m: float
    end_m: float
    angle_rad: float
    pull_N: tuple[float, ...]
    pull_body_weights: tuple[float, ...]


def pull_to_stand_N(mass_kg: ArrayLike, angle_rad: ArrayLike, mu: ArrayLike) -> NDArray[np.float64]:
    """Pull along the slope that keeps a standing climber from sliding.

    T = m g max(0, sin(angle) - mu cos(angle)).

    Parameters
    ----------
    mass_kg, angle_rad, mu : array_like
        Mass with pack [kg], slope [rad], friction coefficient of the sole [-]; broadcast together.

    Returns
    -------
    ndarray
        The pull [N]; 0 where the feet hold by themselves.

    Validity
    --------
    Slopes from 0 to 90 deg. Static: a slip or a step asks more for a moment.

    Sources
    -------
    Coulomb friction; mu from friction_memory.
    """
    mass, angle, mu = np.asarray(mass_kg, float), np.asarray(angle_rad, float), np.asarray(mu, float)
    return mass * G_M_S2 * np.maximum(0.0, np.sin(angle) - mu * np.cos(angle))


def bay_pulls(line: Line, mass_kg: float) -> tuple[BayPull, ...]:
    """The pull in every bay, foot first, each at the steepest slope inside it, which is where hands fail first."""
    edges_m = bay_edges_m(line)
    section_ends_m = np.cumsum(line.section_length_m)
    section_starts_m = np.concatenate([[0.0], section_ends_m[:-1]])
    angles_rad = np.asarray(line.section_angle_rad)
    mu = np.array([rock.mu_foot for rock in ROCKS.values()])
    rows = []
    for start_m, end_m in itertools.pairwise(edges_m):
        touched = (section_starts_m < end_m - 1e-9) & (section_ends_m > start_m + 1e-9)
        steepest_rad = float(angles_rad[touched].max())
        pull_N = pull_to_stand_N(mass_kg, steepest_rad, mu)
        rows.append(
            BayPull(
                start_m=float(start_m),
                end_m=float(end_m),
                angle_rad=steepest_rad,
                pull_N=tuple(float(value) for value in pull_N),
                pull_body_weights=tuple(float(value) for value in pull_N / (mass_kg * G_M_S2)),
            )
        )
    return tuple(rows)
