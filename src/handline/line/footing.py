"""What the hands must pull for the feet to stay where they are, and whether hands can."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.friction import ROCKS
from handline.line.geometry import Line, bays
from handline.line.gravity import G_M_S2 as G_M_S2
from handline.line.grip import Glove, HandLoad, hand_load


@dataclass(frozen=True)
class BayPull:
    """What one bay asks of the hands at its steepest, for each rock state in the order of ``ROCKS``.

    ``hands_up`` and ``hands_down`` set the pull against what hands can do in the gloves worn that way.
    """

    start_m: float
    end_m: float
    angle_rad: float
    pull_N: tuple[float, ...]
    pull_body_weights: tuple[float, ...]
    hands_up: tuple[HandLoad, ...]
    hands_down: tuple[HandLoad, ...]


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


def bay_pulls(line: Line, mass_kg: float, glove_up: Glove, glove_down: Glove) -> tuple[BayPull, ...]:
    """The pull in every bay, foot first, each at the steepest slope inside it, and what it means for hands.

    Parameters
    ----------
    line : Line
    mass_kg : float
        Body with pack [kg].
    glove_up, glove_down : Glove
        What is on the hands going up and coming down. The pull of standing still is the same both ways.

    Notes
    -----
    Sources: those of ``pull_to_stand_N`` and ``hand_load``.
    """
    mu = np.array([rock.mu_foot for rock in ROCKS.values()])
    rows = []
    for bay in bays(line):
        pull_N = tuple(float(value) for value in pull_to_stand_N(mass_kg, bay.steepest_rad, mu))
        up, down = (
            tuple(hand_load(pull, glove, rock) for pull, rock in zip(pull_N, ROCKS.values(), strict=True))
            for glove in (glove_up, glove_down)
        )
        rows.append(
            BayPull(
                start_m=bay.start_m,
                end_m=bay.end_m,
                angle_rad=bay.steepest_rad,
                pull_N=pull_N,
                pull_body_weights=tuple(pull / (mass_kg * G_M_S2) for pull in pull_N),
                hands_up=up,
                hands_down=down,
            )
        )
    return tuple(rows)
