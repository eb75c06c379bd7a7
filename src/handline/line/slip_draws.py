"""Many slips on one line, each drawn with its own place, body, friction, slack, reach and stiffness.

Every draw has its own numbers in [0, 1) for each of these, and keeps them whatever tether, state or rock it is asked
for: what differs between two results is what was changed, and not the luck of the draw.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from handline.line.audit import CASE_GRIPS, CASE_NOTHING, acting, stops_in_m
from handline.line.friction import Rock
from handline.line.geometry import Line
from handline.line.tether import Tether
from handline.line.tethers import HITCH_BITE_M, HITCH_SLACK_M

Floats = NDArray[np.float64]

# Of the reach as typed: how far people really reach with it. Ours. [our_slip_draws]
REACH_SHARE = (0.85, 1.0)
# Of the stiffness as known, which is the stiff end. Ours. [our_slip_draws]
STIFFNESS_SHARE = (0.7, 1.0)


@dataclass(frozen=True, eq=False)
class Draws:
    """One number in [0, 1) for each draw and each thing that varies; arrays of one shape (draws,)."""

    place: Floats
    mass: Floats
    friction: Floats
    slack: Floats
    reach: Floats
    stiffness: Floats
    braking: Floats

    def fixed(self, name: str, at: float) -> Draws:
        """The same draws with one thing the same in all of them."""
        return replace(self, **{name: np.full(self.place.shape, at)})


VARIED: Mapping[str, str] = MappingProxyType(
    {
        "place": "where on the line the slip starts",
        "mass": "who slips, with the pack",
        "friction": "how well the rock brakes a sliding body",
        "slack": "how far the connector or hitch is behind or ahead",
        "reach": "how far the tether is stretched out",
        "stiffness": "how stiff the tether is",
        "braking": "how hard an absorber brakes",
    }
)
"""What varies, in words."""


def draw(count: int, seed: int) -> Draws:
    """Draws, evenly spread over each thing that varies and shuffled against the others.

    Each thing takes one value from every 1/count of its range, so that shares settle faster than with free draws; each
    has its own stream of the seed.
    """
    streams = np.random.SeedSequence(seed).spawn(len(fields(Draws)))
    columns = []
    for stream in streams:
        rng = np.random.default_rng(stream)
        columns.append((rng.permutation(count) + rng.random(count)) / count)
    return Draws(*columns)


@dataclass(frozen=True, eq=False)
class Slips:
    """Slips in SI, one entry a draw. ``taut_m`` is where the harness is when the tether comes taut, -inf for never."""

    start_m: Floats
    taut_m: Floats
    mass_kg: Floats
    mu_slide: Floats
    reach_m: Floats
    stiffness_N: Floats


def slips_of(line: Line, tether: Tether, case: str, rock: Rock, mass_kg: tuple[float, float], draws: Draws) -> Slips:
    """The slips of one tether in one case.

    Parameters
    ----------
    line, tether, case, rock
        As in ``audit.audit``; ``case`` is one of ``cases_of``.
    mass_kg : (float, float)
        The lightest and the heaviest of the party, each with a pack [kg].
    draws : Draws

    Returns
    -------
    Slips

    Notes
    -----
    A harness is anywhere on the line; a running connector up to a reach ahead of it or behind, never off the line nor
    past a stop at its head, and runs down to the next stop below the connector. A gripping hitch has between its slack
    and twice the reach to travel (level with the harness, or climbed above), and the bite.
    Sources: our_slip_draws, practice_hitch, friction_memory, friction_ours.
    """
    tied = acting(tether, case)
    start_m = line.length_m * (1.0 - draws.place)  # never 0: whoever stands at the foot does not slide
    reach_m = tied.reach_m * _between(REACH_SHARE, draws.reach)
    return Slips(
        start_m=start_m,
        taut_m=_taut_m(line, case, start_m, reach_m, draws.slack),
        mass_kg=_between(mass_kg, draws.mass),
        mu_slide=_between(rock.mu_slide_range, draws.friction),
        reach_m=reach_m,
        stiffness_N=tied.stiffness_N * _between(STIFFNESS_SHARE, draws.stiffness),
    )


def _taut_m(line: Line, case: str, start_m: Floats, reach_m: Floats, slack: Floats) -> Floats:
    never = np.full_like(start_m, -np.inf)
    if case == CASE_NOTHING:
        return never
    if case == CASE_GRIPS:
        return start_m - HITCH_BITE_M - HITCH_SLACK_M - slack * np.maximum(0.0, 2.0 * reach_m - HITCH_SLACK_M)
    stops_m = stops_in_m(line, case)
    connector_m = np.clip(start_m + (2.0 * slack - 1.0) * reach_m, 0.0, line.length_m)
    below = np.searchsorted(stops_m, connector_m, side="right") - 1
    if stops_m.size == 0:
        return never
    return np.where(below >= 0, stops_m[np.maximum(below, 0)] - reach_m, -np.inf)


def _between(ends: tuple[float, float], share: Floats) -> Floats:
    low, high = ends
    return low + (high - low) * share
