"""What chance gave to the simulated days, source by source, so that one source can be held still or moved alone."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handline.day.simulation import Draws, Floats, Itinerary, draw_days
from handline.walking.rest import with_rests


@dataclass(frozen=True)
class DrawnParts:
    """The draws of many days before they are put together.

    ``party_s`` (legs, days) is the walking at the pace of the day, fresh, without rests [s], 0 on the line;
    ``leg_noise`` (legs, days) how many times as long a leg took; ``passage`` (days,) what the party takes for one
    second of its passage time; ``wait_normal``, ``slowest`` and ``member`` as in Draws.
    """

    party_s: Floats
    leg_noise: Floats
    wait_normal: Floats
    passage: Floats
    slowest: NDArray[np.int16]
    member: NDArray[np.int64]

    @property
    def days(self) -> int:
        return int(self.member.size)

    def first(self, days: int) -> DrawnParts:
        """The first of these days only."""
        return DrawnParts(
            self.party_s[:, :days],
            self.leg_noise[:, :days],
            self.wait_normal[:, :days],
            self.passage[:days],
            self.slowest[:, :days],
            self.member[:days],
        )


def draw_parts(itinerary: Itinerary, days: int, seed: int) -> DrawnParts:
    """The same days as ``draw_days`` draws with this seed, taken apart.

    Each part has its own stream there, so days drawn without leg noise and without tiring have the very same pace.
    """
    fresh = replace(itinerary, tiring_per_hour=0.0, rest_s_per_hour=0.0)
    noisy = draw_days(fresh, days, seed)
    party_s = draw_days(replace(fresh, leg_sigma=0.0), days, seed).movement_s
    on_line = on_line_legs(itinerary)
    passage = noisy.movement_s[on_line][0] if on_line.any() else np.ones(days)
    party_s[on_line] = 0.0
    walked = party_s > 0.0
    leg_noise = np.ones_like(party_s)
    leg_noise[walked] = noisy.movement_s[walked] / party_s[walked]
    return DrawnParts(party_s, leg_noise, noisy.wait_normal, passage, noisy.slowest, noisy.member)


def put_together(itinerary: Itinerary, parts: DrawnParts) -> Draws:
    """The draws of these parts: tiring and rests follow from the walking, as in ``draw_days``."""
    movement_s = with_rests(itinerary.tired_s(parts.party_s * parts.leg_noise), itinerary.rest_s_per_hour)
    movement_s[on_line_legs(itinerary)] = parts.passage
    return Draws(movement_s, parts.wait_normal, parts.slowest, parts.member)


def at_pace(parts: DrawnParts, log_times: Floats) -> DrawnParts:
    """The same days, each walked exp(log_times) times as long; ``log_times`` has shape (days,) or ()."""
    return replace(parts, party_s=parts.party_s * np.exp(log_times))


def log_pace(parts: DrawnParts, first: int = 0) -> Floats:
    """How much slower than the middle each day's pace is, from passing ``first`` on, shape (days,).

    The logarithm of the fresh walking time of all legs left, less its mean over the days; 0 where nobody walks any
    more. Leg noise, waits and the line have no part in it.
    """
    walked_s = parts.party_s[first:].sum(axis=0)
    if not walked_s.any():
        return np.zeros(parts.days)
    logs: Floats = np.log(walked_s)
    return logs - logs.mean()


def on_line_legs(itinerary: Itinerary) -> NDArray[np.bool_]:
    """Which legs are on the line, shape (legs,)."""
    return np.array([line_leg is not None for line_leg in itinerary.line_legs])
