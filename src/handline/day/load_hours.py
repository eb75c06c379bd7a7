"""The party's middle day on the clock, without drawing any days: what water, food and packs are reckoned with."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from handline.day.simulation import Floats, Itinerary
from handline.line.passage import PASSAGE_SIGMA
from handline.walking.darkness import arrive_clock_s
from handline.walking.rest import with_rests


@dataclass(frozen=True, eq=False)
class MiddleDay:
    """A middling day [s], one value a leg but for ``arrive_clock_s`` (passings,).

    ``begin_clock_s`` is when the leg begins, its stop and wait first; it is the arrival at its start, but the next
    morning after a night out. ``light_s`` is the walking as it would be in the light, without rests, 0 on the line;
    ``moving_s`` the time on the move, the dark in it, rests not. ``day`` counts the days of walking from 0.
    """

    arrive_clock_s: Floats
    begin_clock_s: Floats
    light_s: Floats
    moving_s: Floats
    day: Floats

    @property
    def duration_s(self) -> Floats:
        """From the beginning of each leg to its end, stop, wait and rests included."""
        lasts: Floats = self.arrive_clock_s[1:] - self.begin_clock_s
        return lasts

    @property
    def still_s(self) -> Floats:
        """Standing and sitting on each leg."""
        return np.maximum(self.duration_s - self.moving_s, 0.0)

    @property
    def middle_clock_s(self) -> Floats:
        """The middle of each leg on the clock."""
        middle: Floats = 0.5 * (self.begin_clock_s + self.arrive_clock_s[1:])
        return middle

    def part_clock_s(self, parts: int) -> Floats:
        """The middles of so many even parts of each leg on the clock, (legs, parts)."""
        share = (np.arange(parts) + 0.5) / parts
        clock_s: Floats = self.begin_clock_s[:, None] + share * self.duration_s[:, None]
        return clock_s

    @property
    def night_s(self) -> float:
        """How long the night out is; 0 without one."""
        return float(np.sum(self.begin_clock_s - self.arrive_clock_s[:-1]))

    @property
    def each_day_s(self) -> tuple[float, ...]:
        """How long each day is, from its first step to its last."""
        return tuple(float(self.duration_s[self.day == one].sum()) for one in np.unique(self.day))


def middle_day(itinerary: Itinerary, start_clock_s: float) -> MiddleDay:
    """Walk through the middle of what the simulated days draw from.

    The middle of the pace models; of several walkers the slowest of as many as there are, on a middling day (median of
    the largest of their draws); the passage at its median, waits at their means, as long waits make long days; tiring,
    rests, dark and stops as they are.

    Parameters
    ----------
    itinerary : Itinerary
    start_clock_s : float
        When the party sets out.

    Notes
    -----
    Sources: our_middle_day, and those of every part.
    """
    light_s = itinerary.tired_s(_slowest_s(itinerary))
    camp = None if itinerary.night is None else itinerary.night.passing
    clock_s = start_clock_s
    arrive, begin, moving = [clock_s], [], []
    for j, line_leg in enumerate(itinerary.line_legs):
        leave_s = float(itinerary.ready_clock_s(j, np.array(clock_s)))
        begin.append(leave_s if j == camp else clock_s)
        work_s, held_s = float(with_rests(light_s[j], itinerary.rest_s_per_hour)), 0.0
        if line_leg is not None:
            wait_s, held_s = line_leg.wait.mean_s(leave_s)
            leave_s += wait_s
            work_s = _passage_s(itinerary, line_leg.passage_by_rock_s, leave_s)
        clock_s = float(arrive_clock_s(leave_s, work_s, itinerary.dark_spans_clock_s, itinerary.dark_factor))
        walked_share = 1.0 if line_leg is not None or work_s == 0.0 else light_s[j] / work_s
        moving.append((clock_s - leave_s) * walked_share)
        clock_s += held_s
        arrive.append(clock_s)
    day = np.zeros(itinerary.legs)
    if camp is not None:
        day[camp:] = 1.0
    return MiddleDay(np.array(arrive), np.array(begin), light_s, np.array(moving), day)


def _slowest_s(itinerary: Itinerary) -> Floats:
    """The walking of each leg at the pace of whoever is slowest there on a middling day, (legs,)."""
    middle_s = np.tensordot(itinerary.model_weight, itinerary.walking_s, axes=1)
    rows = []
    for group in itinerary.alike():
        worst = NormalDist().inv_cdf(0.5 ** (1.0 / len(group)))
        rows.append(middle_s[group[0]] * np.exp(itinerary.walker_sigma[group[0]] * worst))
    slowest: Floats = np.max(rows, axis=0)
    return slowest


def _passage_s(itinerary: Itinerary, by_rock_s: tuple[float, ...], leave_clock_s: float) -> float:
    """The party's passage in the middle of the courses that the rock may take, by its slowest climber."""
    rock = itinerary.rock
    state = rock.at(np.full(rock.members, leave_clock_s), np.arange(rock.members))
    slowest = NormalDist().inv_cdf(0.5 ** (1.0 / itinerary.size))
    return float(np.median(np.asarray(by_rock_s)[state]) * np.exp(PASSAGE_SIGMA * slowest))
