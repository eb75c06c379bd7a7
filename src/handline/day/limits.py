"""The party's own limits on a day, and whether days keep them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.day.simulation import Days, Draws, Floats, Itinerary, walk
from handline.weather.storms import StormHazard


@dataclass(frozen=True)
class DayLimits:
    """What the party wants to keep; None or False where it set no such limit. Clocks are [s] after local midnight."""

    chance: float
    off_line_before_storm: bool
    off_line_by_clock_s: float | None
    dark_clock_s: float | None
    home_by_clock_s: float | None


@dataclass(frozen=True)
class Kept:
    """Which days keep each limit the party set, by key, in the order of the day."""

    by_key: dict[str, NDArray[np.bool_]]

    @property
    def all(self) -> NDArray[np.bool_]:
        return np.logical_and.reduce(list(self.by_key.values()))


def kept(limits: DayLimits, itinerary: Itinerary, draws: Draws, days: Days, storm: StormHazard) -> Kept:
    """Which simulated days keep each limit, each day with its own storm."""
    by_key = clock_limits_kept(limits, days.arrive_clock_s[itinerary.off_line], days.arrive_clock_s[-1])
    if limits.off_line_before_storm:
        onset_s = storm.onset_clock_s(draws.storm_uniform, float(np.min(days.arrive_clock_s[0])))
        by_key = {"off_line_before_storm": days.arrive_clock_s[itinerary.off_line] <= onset_s, **by_key}
    return Kept(by_key or {"none": np.ones(draws.days, dtype=bool)})


def clock_limits_kept(limits: DayLimits, off_line_s: Floats | None, home_s: Floats) -> dict[str, NDArray[np.bool_]]:
    """The limits that are plain clock times; ``off_line_s`` is None once the party has left the line."""
    by_key: dict[str, NDArray[np.bool_]] = {}
    if limits.off_line_by_clock_s is not None and off_line_s is not None:
        by_key["off_line_by"] = off_line_s <= limits.off_line_by_clock_s
    if limits.dark_clock_s is not None:
        by_key["home_before_dark"] = home_s <= limits.dark_clock_s
    if limits.home_by_clock_s is not None:
        by_key["home_by"] = home_s <= limits.home_by_clock_s
    return by_key


def chance_from(
    limits: DayLimits, itinerary: Itinerary, draws: Draws, storm: StormHazard, passing: int, clock_s: Floats
) -> Floats:
    """Chance of keeping every limit for a party that arrives at a passing at each clock time, no storm begun by then.

    The storm is not drawn: given the day's time off the line its chance is exp(-(H(off) - H(now))), which is exact and
    smooth in the clock.

    Parameters
    ----------
    passing : int
        Index of the passing.
    clock_s : ndarray, shape (k,)
        Clock times of arrival [s].

    Returns
    -------
    ndarray, shape (k,)
        Chances, 0 to 1.
    """
    days = walk(itinerary, draws, clock_s[:, None], first=passing)
    yet_to_leave_line = passing <= itinerary.off_line
    off_line_s = days.arrive_clock_s[itinerary.off_line - passing] if yet_to_leave_line else None
    keeps = np.ones(days.arrive_clock_s.shape[1:])
    for limit in clock_limits_kept(limits, off_line_s, days.arrive_clock_s[-1]).values():
        keeps = keeps * limit
    if limits.off_line_before_storm and off_line_s is not None:
        keeps = keeps * np.exp(storm.cumulative(clock_s)[:, None] - storm.cumulative(off_line_s))
    chance: Floats = keeps.mean(axis=1)
    return chance
