"""How the chances change with the start: one set of days, walked from every start of a grid."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handline.day.limits import DayLimits, kept_share
from handline.day.simulation import Draws, Floats, Itinerary, walk
from handline.weather.storms import StormHazard

STEP_S = 600.0
# As far before the planned start as after it: a day in all, with the planned start on the grid.
REACH_S = 12 * 3600.0
DELAY_S = 1800.0
# As many days as the latest passing times look at: about 0.7 points of error at 90 %.
SWEEP_DAYS = 2000
# So many starts are walked at a time: no slower than all at once, and the memory stays flat.
_TOGETHER = 16


@dataclass(frozen=True)
class StartSweep:
    """Chances over the start.

    ``chance`` has each limit by key, "all" last, each (starts,), none of the storms having begun by the start;
    ``error`` is one standard error of "all". ``window_clock_s`` are the first and last start of the run of starts that
    meets the wanted chance and holds the planned start, or else lies next before it, or else next after it; None where
    no start does. ``goes_on`` says whether the run reaches the first or last start that was looked at. ``best_clock_s``
    has the highest chance of all, the latest of equals. ``delay_points`` is what leaving ``delay_s`` later than planned
    takes from the chance of all, as a share, with ``delay_error``.
    """

    start_clock_s: Floats
    chance: Mapping[str, Floats]
    error: Floats
    wanted: float
    planned_clock_s: float
    planned_chance: float
    window_clock_s: tuple[float, float] | None
    goes_on: tuple[bool, bool]
    best_clock_s: float
    best_chance: float
    delay_s: float
    delay_points: float
    delay_error: float


def sweep_starts(
    limits: DayLimits,
    itinerary: Itinerary,
    draws: Draws,
    storm: StormHazard,
    planned_start_clock_s: float,
    first: int = 0,
) -> StartSweep:
    """The chances for starts every 10 minutes from 12 hours before the planned one to 12 hours after it.

    All starts share the same days, so that two of them differ by the start alone.

    Parameters
    ----------
    planned_start_clock_s : float
        [s after local midnight]
    first : int
        The passing that is left then: the camp, after a night out.

    Notes
    -----
    A start late in the day is judged as one that no storm has kept from leaving. Limits on the clock stay where they
    are: they are the planned day's. Sleep is not in it.
    """
    few = draws.first(SWEEP_DAYS)
    steps = round(REACH_S / STEP_S)
    start_clock_s: Floats = planned_start_clock_s + STEP_S * np.arange(-steps, steps + 1, dtype=float)
    chance, error = _chances(limits, itinerary, few, storm, start_clock_s, first)
    everything = chance["all"]
    planned, delayed = (
        _kept_all(limits, itinerary, few, storm, planned_start_clock_s + late, first) for late in (0.0, DELAY_S)
    )
    lost = planned - delayed
    met = everything >= limits.chance
    run = run_of(met, steps)
    best = int(np.flatnonzero(everything == everything.max())[-1])
    return StartSweep(
        start_clock_s=start_clock_s,
        chance=chance,
        error=error,
        wanted=limits.chance,
        planned_clock_s=planned_start_clock_s,
        planned_chance=float(planned.mean()),
        window_clock_s=None if run is None else (float(start_clock_s[run[0]]), float(start_clock_s[run[1]])),
        goes_on=(False, False) if run is None else (run[0] == 0, run[1] == met.size - 1),
        best_clock_s=float(start_clock_s[best]),
        best_chance=float(everything[best]),
        delay_s=DELAY_S,
        delay_points=float(lost.mean()),
        delay_error=float(lost.std() / np.sqrt(lost.size)),
    )


def _chances(
    limits: DayLimits, itinerary: Itinerary, draws: Draws, storm: StormHazard, start_clock_s: Floats, first: int
) -> tuple[dict[str, Floats], Floats]:
    """The chance of every limit at every start, and the standard error of all of them."""
    by_key: dict[str, list[Floats]] = {}
    error = []
    for some in np.array_split(start_clock_s, -(-start_clock_s.size // _TOGETHER)):
        days = walk(itinerary, draws, some[:, None], first)
        kept = kept_share(limits, itinerary, days, storm, first)
        for key, share in kept.items():
            by_key.setdefault(key, []).append(share.mean(axis=1))
        error.append(kept["all"].std(axis=1) / np.sqrt(draws.days))
    return {key: np.concatenate(parts) for key, parts in by_key.items()}, np.concatenate(error)


def _kept_all(
    limits: DayLimits, itinerary: Itinerary, draws: Draws, storm: StormHazard, start_clock_s: float, first: int
) -> Floats:
    return kept_share(limits, itinerary, walk(itinerary, draws, np.array([start_clock_s]), first), storm, first)["all"]


def run_of(met: np.ndarray, planned: int) -> tuple[int, int] | None:
    """The first and last of the run of True that holds ``planned``, else lies next before, else next after it."""
    if not met.any():
        return None
    where = np.flatnonzero(met)
    before = where[where <= planned]
    inside = int(before[-1]) if before.size else int(where[0])
    missed = np.flatnonzero(~met)
    left, right = missed[missed < inside], missed[missed > inside]
    return (int(left[-1]) + 1 if left.size else 0, int(right[0]) - 1 if right.size else met.size - 1)
