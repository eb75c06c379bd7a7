"""What the days of a crowd were for the party that asks: its first at the queue, its last off the line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.crowd.rules import Floats, Ints
from handline.crowd.simulate import CrowdDays, Passes


@dataclass(frozen=True, eq=False)
class PartyPass:
    """One way of a party, one value a day, all (days,) [s after local midnight].

    ``join_clock_s`` is when its first member joins the queue, ``enter_clock_s`` when its first steps onto the line,
    ``off_clock_s`` when its last steps off.
    """

    join_clock_s: Floats
    enter_clock_s: Floats
    off_clock_s: Floats

    @property
    def wait_s(self) -> Floats:
        """Before the line, of the first [s]."""
        return self.enter_clock_s - self.join_clock_s

    @property
    def on_line_s(self) -> Floats:
        """From the first on it to the last off it [s]."""
        return self.off_clock_s - self.enter_clock_s


@dataclass(frozen=True, eq=False)
class PartyDays:
    """The days on which the party comes, by their number, and both passes."""

    day: Ints
    up: PartyPass
    down: PartyPass


def party_days(days: CrowdDays) -> PartyDays:
    """Read the party that asks, ``Arrivals.ours``, out of days of a crowd.

    Members come down as each is ready; the party's way down begins when the first of them joins the queue.

    Parameters
    ----------
    days : CrowdDays

    Returns
    -------
    PartyDays
        Only the days on which the party comes: none of them is possible.
    """
    ours = np.flatnonzero(days.ours)
    number, starts = np.unique(days.day[ours], return_index=True)
    if not ours.size:
        nothing = np.empty(0)
        empty = PartyPass(nothing, nothing, nothing)
        return PartyDays(number, empty, empty)

    def of(passes: Passes) -> PartyPass:
        return PartyPass(
            np.minimum.reduceat(passes.join_clock_s[ours], starts),
            np.minimum.reduceat(passes.enter_clock_s[ours], starts),
            np.maximum.reduceat(passes.leave_clock_s[ours], starts),
        )

    return PartyDays(number, of(days.up), of(days.down))
