"""The party's own limits on a day, and how surely days keep them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handline.day.simulation import Days, Draws, Floats, Itinerary, walk
from handline.quantity import say_clock
from handline.weather.storms import StormHazard


@dataclass(frozen=True)
class DayLimits:
    """What the party wants to keep; None or False where it set no such limit. Clocks are [s] after local midnight."""

    chance: float
    off_line_before_storm: bool
    off_line_by_clock_s: float | None
    dark_clock_s: float | None
    home_by_clock_s: float | None
    camp_clock_s: float | None = None

    @property
    def any(self) -> bool:
        """Whether the party set any limit."""
        on_line = self.off_line_before_storm or self.off_line_by_clock_s is not None
        return on_line or self.camp_clock_s is not None or self.on_the_way_home

    @property
    def on_the_way_home(self) -> bool:
        """Whether a limit is left once the party is off the line."""
        return self.dark_clock_s is not None or self.home_by_clock_s is not None


def limit_sentences(limits: DayLimits) -> Mapping[str, str]:
    """A sentence for each limit by its key, set or not."""
    return {
        "camp_before_dark": "At the camp before the end of twilight",
        "off_line_before_storm": "Off the line before a storm begins",
        "off_line_by": f"Off the line by {say_clock(limits.off_line_by_clock_s or 0.0)}",
        "home_before_dark": "Home before the end of twilight",
        "home_by": f"Home by {say_clock(limits.home_by_clock_s or 0.0)}",
    }


def kept_share(
    limits: DayLimits, itinerary: Itinerary, days: Days, storm: StormHazard, passing: int = 0
) -> Mapping[str, Floats]:
    """How surely each day keeps each limit, by key, in the order of the day.

    A clock limit is kept or not, 1 or 0. The storm is not drawn: a day that passes at t and leaves the line at u is off
    it before a storm with chance exp(-(H(u) - H(t))), none having begun by t. That is exact, and smooth in the clock.
    After a night out t is when the party leaves the camp: storms that find it on the way there or asleep do not count.

    Parameters
    ----------
    days : Days
        Walked on from ``passing``, any shape.
    passing : int
        Index of the first passing of ``days``. Limits on the line do not count after the party has left it.

    Returns
    -------
    mapping of ndarray, the shape of one arrival
        Shares, 0 to 1; "all" is last and is their product.
    """
    arrive_s = days.arrive_clock_s
    by_key: dict[str, Floats] = {}
    if limits.camp_clock_s is not None and itinerary.night is not None and passing <= itinerary.night.passing:
        by_key["camp_before_dark"] = (arrive_s[itinerary.night.passing - passing] <= limits.camp_clock_s).astype(float)
    if passing <= itinerary.off_line:
        off_line_s = arrive_s[itinerary.off_line - passing]
        if limits.off_line_before_storm:
            by_key["off_line_before_storm"] = storm.none_between_share(
                exposed_from_s(itinerary, days, passing), off_line_s
            )
        if limits.off_line_by_clock_s is not None:
            by_key["off_line_by"] = (off_line_s <= limits.off_line_by_clock_s).astype(float)
    for key, by_clock_s in (("home_before_dark", limits.dark_clock_s), ("home_by", limits.home_by_clock_s)):
        if by_clock_s is not None:
            by_key[key] = (arrive_s[-1] <= by_clock_s).astype(float)
    everything = np.ones(arrive_s[0].shape)
    for share in by_key.values():
        everything = everything * share
    return by_key | {"all": everything}


def exposed_from_s(itinerary: Itinerary, days: Days, passing: int = 0) -> Floats:
    """From when storms count for days walked on from ``passing`` [s]: from there, or from leaving the camp."""
    night = itinerary.night
    if night is None or passing > night.passing:
        return days.arrive_clock_s[0]
    return itinerary.ready_clock_s(night.passing, days.arrive_clock_s[night.passing - passing])


def chance_from(
    limits: DayLimits, itinerary: Itinerary, draws: Draws, storm: StormHazard, passing: int, clock_s: Floats
) -> Floats:
    """Chance of keeping every limit for a party that arrives at a passing at each clock time, no storm begun by then.

    ``clock_s`` has shape (k,) [s]; the chances, 0 to 1, too.
    """
    days = walk(itinerary, draws, clock_s[:, None], first=passing)
    chance: Floats = kept_share(limits, itinerary, days, storm, passing)["all"].mean(axis=1)
    return chance
