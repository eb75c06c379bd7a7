"""The chance of all limits of one way from every start of a day, and the start a way is set beside others with."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from handline.day.limits import kept_share
from handline.day.simulation import Draws, Floats, walk
from handline.day.start_sweep import REACH_S, STEP_S, SWEEP_DAYS, run_of
from handline.day.subjects import Setting

# So many starts are walked at a time: no slower than all at once, and the memory stays flat.
_TOGETHER = 16
_STEPS = round(REACH_S / STEP_S)


@dataclass(frozen=True, eq=False)
class WayStarts:
    """Chances over the start, on the grid of ``start_sweep``: ``clock_s`` and ``chance``, each (starts,)."""

    clock_s: Floats
    chance: Floats

    def window(self, wanted: float) -> tuple[tuple[float, float], tuple[bool, bool]] | None:
        """The first and last start of the run that meets a chance and holds the planned start, or lies nearest to it.

        With it, whether the run reaches the first or last start that was looked at. None where no start does.
        """
        run = run_of(self.chance >= wanted, _STEPS)
        if run is None:
            return None
        first, last = run
        return (float(self.clock_s[first]), float(self.clock_s[last])), (first == 0, last == self.clock_s.size - 1)

    @property
    def planned_clock_s(self) -> float:
        return float(self.clock_s[_STEPS])

    @property
    def best_clock_s(self) -> float:
        """The start with the highest chance, the latest of equals."""
        return float(self.clock_s[np.flatnonzero(self.chance == self.chance.max())[-1]])

    def start_for(self, wanted: float) -> float:
        """The planned start where it meets a chance; else the latest that does; else the best [s]."""
        if self.chance[_STEPS] >= wanted:
            return self.planned_clock_s
        found = self.window(wanted)
        return self.best_clock_s if found is None else found[0][1]

    def at(self, clock_s: float) -> float:
        """The chance at one of the starts."""
        return float(self.chance[int(np.argmin(np.abs(self.clock_s - clock_s)))])


def way_starts(setting: Setting, draws: Draws) -> WayStarts:
    """The chances for starts every 10 minutes from 12 hours before the planned one to 12 hours after it.

    After a night out the start is the one from the camp; the party comes there as planned, and no start before that
    counts as earlier. All starts share the same days.

    Notes
    -----
    Limits on the clock stay where they are, those of the planned day; a start late in the day is judged as one that no
    storm has kept from leaving. Sleep is not in it.
    """
    few, limits, itinerary = draws.first(SWEEP_DAYS), setting.limits, setting.itinerary
    clock_s: Floats = setting.trip.morning_clock_s + STEP_S * np.arange(-_STEPS, _STEPS + 1, dtype=float)
    first, comes_s, before = 0, np.full(few.days, -np.inf), np.ones(few.days)
    if itinerary.night is not None:
        first = itinerary.night.passing
        comes_s = walk(itinerary, few, np.array([setting.trip.depart_clock_s])).arrive_clock_s[first]
        if limits.camp_clock_s is not None:
            before = (comes_s <= limits.camp_clock_s).astype(float)
        limits, itinerary = replace(limits, camp_clock_s=None), itinerary.leaving_camp()
    chance = [
        (before * kept_share(limits, itinerary, days, setting.storm, first)["all"]).mean(axis=1)
        for some in np.array_split(clock_s, -(-clock_s.size // _TOGETHER))
        for days in [walk(itinerary, few, np.maximum(some[:, None], comes_s), first)]
    ]
    return WayStarts(clock_s, np.concatenate(chance))
