"""What fails first: of the days that break a limit, which one goes first by the clock, and on which leg."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handline.day.limits import DayLimits, exposed_from_s
from handline.day.simulation import Days, Floats, Itinerary
from handline.weather.storms import StormHazard


@dataclass(frozen=True)
class FailsFirst:
    """Chances that a limit is the first to fail.

    ``by_leg`` has for each limit, by key, the chance that it fails first while the party is on each leg (stop and wait
    before it included), shape (legs,); ``error`` is one standard error of each limit's sum. All of them add up to
    ``any_share``, the chance that any limit fails; ``kept_share`` is what is left.
    """

    by_leg: Mapping[str, Floats]
    error: Mapping[str, float]
    any_share: float

    @property
    def kept_share(self) -> float:
        return 1.0 - self.any_share

    @property
    def by_limit(self) -> Mapping[str, float]:
        """The chance that each limit is the first to fail, gravest first."""
        sums = {key: float(legs.sum()) for key, legs in self.by_leg.items()}
        return dict(sorted(sums.items(), key=lambda item: -item[1]))


def fails_first(limits: DayLimits, itinerary: Itinerary, days: Days, storm: StormHazard) -> FailsFirst:
    """Which limit fails first, and where the party is then.

    A limit on the clock fails when its time comes with the party not yet there. Storms are not drawn: on a day that
    starts at t, leaves the line at u and first misses a time at f, a storm comes first with 1 - exp(-(H(m) - H(t))) at
    m = min(u, f), and the missed time with exp(-(H(m) - H(t))). On each leg the storm's part is the difference at its
    two ends. That is exact.

    Parameters
    ----------
    days : Days
        Walked from the start, arrivals of shape (days,) or (1,).

    Notes
    -----
    A limit whose time is over before the start fails on the first leg. Of two limits that end at the same moment the
    one that comes first in the order of the day counts. Where the party is when a time runs out is not always where
    the time was lost.
    """
    arrive_s = np.stack(np.broadcast_arrays(*days.arrive_clock_s))
    missed_s = {
        key: np.where(arrive_s[passing] <= by_s, np.inf, by_s)
        for key, passing, by_s in _on_the_clock(limits, itinerary)
    }
    first_s = np.minimum.reduce([np.full(arrive_s[0].shape, np.inf), *missed_s.values()])
    by_day: dict[str, Floats] = {}
    none_yet = np.ones_like(first_s)
    if limits.off_line_before_storm:
        from_s = exposed_from_s(itinerary, days)
        until_s = np.maximum(np.minimum(arrive_s[itinerary.off_line], first_s), from_s)
        none_yet = storm.none_between_share(from_s, until_s)
        none_by = storm.none_between_share(from_s, np.clip(arrive_s, from_s, until_s))
        by_day["off_line_before_storm"] = -np.diff(none_by, axis=0)
    claimed = np.zeros(first_s.shape, dtype=bool)
    for key, clock_s in missed_s.items():
        goes_first = (clock_s == first_s) & (first_s < np.inf) & ~claimed
        claimed |= goes_first
        on_leg = (arrive_s[:-1] <= first_s) & (first_s < arrive_s[1:])
        on_leg[0] |= first_s < arrive_s[0]
        by_day[key] = on_leg * (goes_first * none_yet)
    count = first_s.size
    return FailsFirst(
        by_leg={key: share.mean(axis=1) for key, share in by_day.items()},
        error={key: float(share.sum(axis=0).std() / np.sqrt(count)) for key, share in by_day.items()},
        any_share=float(sum(share.sum(axis=0).mean() for share in by_day.values())),
    )


def _on_the_clock(limits: DayLimits, itinerary: Itinerary) -> list[tuple[str, int, float]]:
    """Every limit on the clock: its key, the passing it is about, and its time."""
    camp = itinerary.night.passing if itinerary.night is not None else 0
    rows = (
        ("camp_before_dark", camp, limits.camp_clock_s if itinerary.night is not None else None),
        ("off_line_by", itinerary.off_line, limits.off_line_by_clock_s),
        ("home_before_dark", itinerary.legs, limits.dark_clock_s),
        ("home_by", itinerary.legs, limits.home_by_clock_s),
    )
    return [(key, passing, by_s) for key, passing, by_s in rows if by_s is not None]
