"""Many days at once: the same party on the same way, each day with its own pace and waits.

Rules, in the order they are applied to one day:

1. One published pace model is drawn by its weight; it gives the walking time of every member on every leg. A member
   with a recorded pace has that instead.
2. Every member draws how the day goes; on each leg the party walks with whoever is slowest there. Every leg draws a
   little more or less.
3. After some hours the walking slows; rests are added to it in proportion; the dark stretches all movement.
4. On the line the party waits, then takes its passage time at the pace of its slowest climber: one to a bay, and nobody
   overtakes. The rock is as it is in the course of weather the day has drawn, in the hour the party ties on.
5. At every place it stops as long as the trip file says.

Storms are not drawn: given when a day leaves the line, the chance that none has begun by then is exact (see limits.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from handline.line.passage import PASSAGE_SIGMA
from handline.walking.darkness import arrive_clock_s
from handline.walking.rest import with_rests
from handline.walking.tiring import tired_s

Floats = NDArray[np.float64]

_Z_90 = NormalDist().inv_cdf(0.90)


@dataclass(frozen=True)
class Wait:
    """A wait as a log-normal by its median and its 90th percentile [s]; both 0 for no wait."""

    median_s: float
    long_s: float

    @property
    def sigma(self) -> float:
        return float(np.log(self.long_s / self.median_s)) / _Z_90 if self.median_s > 0 else 0.0

    def draw_s(self, normal: Floats) -> Floats:
        """Waits [s] for standard normal draws, same shape."""
        return self.median_s * np.exp(self.sigma * normal)


@dataclass(frozen=True)
class RockClock:
    """The rock hour by hour, in every course the weather may take.

    ``state`` (members, hours) is a place in the list of states; ``start_clock_s`` is when the first hour begins. Before
    it the rock is as in the first hour, after the last as in the last.
    """

    start_clock_s: float
    state: NDArray[np.int8]

    @property
    def members(self) -> int:
        return int(self.state.shape[0])

    def at(self, clock_s: Floats, member: NDArray[np.int64]) -> NDArray[np.int8]:
        """The state at clock times, broadcast with the course that each day takes."""
        hour = np.floor((clock_s - self.start_clock_s) / 3600.0).astype(np.int64)
        found: NDArray[np.int8] = self.state[member, np.clip(hour, 0, self.state.shape[1] - 1)]
        return found


ONE_ROCK = RockClock(0.0, np.zeros((1, 1), np.int8))
"""The rock where it stays as it is all day."""


@dataclass(frozen=True)
class LineLeg:
    """The line as a leg: the party's passage time with nobody else there, and the wait before it.

    ``passage_by_rock_s`` is in the order of the states of the itinerary's rock.
    """

    passage_by_rock_s: tuple[float, ...]
    wait: Wait


@dataclass(frozen=True)
class Itinerary:
    """What a day asks of the party, numbers only.

    ``walking_s`` has shape (models, walkers, legs), 0 on legs of the line; ``model_weight`` shape (models,);
    ``walker_sigma`` (walkers,) is the spread of the logarithm of a walker's day. ``size`` people climb the line.
    ``line_legs`` has a LineLeg where leg j is on the line, else None. ``stop_s`` has one value a passing, legs + 1.
    ``off_line`` is the index of the passing at which the party has left the line for good.
    """

    walking_s: Floats
    model_weight: Floats
    line_legs: tuple[LineLeg | None, ...]
    stop_s: Floats
    off_line: int
    size: int
    walker_sigma: Floats
    leg_sigma: float
    tiring_after_s: float
    tiring_per_hour: float
    rest_s_per_hour: float
    dark_spans_clock_s: Floats
    dark_factor: float
    rock: RockClock = ONE_ROCK

    @property
    def legs(self) -> int:
        return len(self.line_legs)

    def alike(self) -> tuple[tuple[int, ...], ...]:
        """The walkers in groups that no number tells apart, in the order of their first."""
        groups: dict[bytes, list[int]] = {}
        for i in range(self.walker_sigma.size):
            told = self.walking_s[:, i, :].tobytes() + self.walker_sigma[i].tobytes()
            groups.setdefault(told, []).append(i)
        return tuple(tuple(group) for group in groups.values())


@dataclass(frozen=True)
class Draws:
    """What chance gave to each day: movement and wait by leg, both (legs, days) [s].

    On the line ``movement_s`` is what the party takes for one second of its passage time. ``slowest`` of the same shape
    has which of ``Itinerary.alike`` the party waited for on a leg; ``member`` (days,) the course of weather.
    """

    movement_s: Floats
    wait_s: Floats
    slowest: NDArray[np.int16]
    member: NDArray[np.int64]

    @property
    def days(self) -> int:
        return int(self.movement_s.shape[1])

    def first(self, days: int) -> Draws:
        """The first of these days only."""
        return Draws(self.movement_s[:, :days], self.wait_s[:, :days], self.slowest[:, :days], self.member[:days])


def draw_days(itinerary: Itinerary, days: int, seed: int) -> Draws:
    """Draw everything chance decides, each part from its own stream of one seed.

    Parameters
    ----------
    itinerary : Itinerary
    days : int
        How many.
    seed : int
        The same seed gives the same draws, whatever else is computed.
    """
    model_rng, people_rng, leg_rng, wait_rng, passage_rng, weather_rng = (
        np.random.default_rng(stream) for stream in np.random.SeedSequence(seed).spawn(6)
    )
    legs = itinerary.legs
    model = model_rng.choice(itinerary.model_weight.size, size=days, p=itinerary.model_weight)
    people = people_rng.standard_normal((itinerary.walker_sigma.size, days))
    party_s, slowest = _slowest_s(itinerary, model, people)
    leg_noise = np.exp(itinerary.leg_sigma * leg_rng.standard_normal((legs, days)))
    walked_s = tired_s(party_s * leg_noise, itinerary.tiring_after_s, itinerary.tiring_per_hour)
    movement = with_rests(walked_s, itinerary.rest_s_per_hour)
    wait_normal = wait_rng.standard_normal((legs, days))
    wait = np.zeros((legs, days))
    slowest_climber = passage_rng.standard_normal((itinerary.size, days)).max(axis=0)
    passage_factor = np.exp(PASSAGE_SIGMA * slowest_climber)
    for j, line_leg in enumerate(itinerary.line_legs):
        if line_leg is not None:
            movement[j] = passage_factor
            wait[j] = line_leg.wait.draw_s(wait_normal[j])
    member = weather_rng.integers(itinerary.rock.members, size=days)
    return Draws(movement_s=movement, wait_s=wait, slowest=slowest, member=member)


def _slowest_s(itinerary: Itinerary, model: NDArray[np.int64], people: Floats) -> tuple[Floats, NDArray[np.int16]]:
    """The walking of each leg at the pace of whoever is slowest on it, and who that is, both (legs, days)."""
    party_s = np.zeros((itinerary.legs, model.size))
    slowest = np.zeros((itinerary.legs, model.size), dtype=np.int16)
    for number, group in enumerate(itinerary.alike()):
        # Of people whom no number tells apart the one with the worst day is slowest on every leg.
        day = np.exp(itinerary.walker_sigma[group[0]] * people[list(group)].max(axis=0))
        own_s = itinerary.walking_s[:, group[0], :].T[:, model] * day
        later = own_s > party_s
        party_s[later], slowest[later] = own_s[later], number
    return party_s, slowest


@dataclass(frozen=True)
class Days:
    """Clock times of many days [s after local midnight].

    ``arrive_clock_s`` has one array a passing and begins with the departure; ``leave_clock_s`` one a leg, when its
    movement begins, after stop and wait.
    """

    arrive_clock_s: tuple[Floats, ...]
    leave_clock_s: tuple[Floats, ...]


def walk(itinerary: Itinerary, draws: Draws, depart_clock_s: Floats, first: int = 0) -> Days:
    """Walk from passing ``first`` to the end.

    Parameters
    ----------
    itinerary, draws
        What is asked, and what chance gave.
    depart_clock_s : ndarray, broadcast with (days,) on its last axis
        When the party arrives at passing ``first`` [s]; its stop there is still to come.
    first : int
        Index of the passing.

    Returns
    -------
    Days
        From ``first`` on.
    """
    clock, _ = np.broadcast_arrays(depart_clock_s, np.zeros(draws.days))
    arrivals, leaves = [clock], []
    for j in range(first, itinerary.legs):
        leave = clock + (itinerary.stop_s[j] if j > 0 else 0.0) + draws.wait_s[j]
        movement_s = draws.movement_s[j] * passage_s(itinerary, draws, j, leave)
        clock = arrive_clock_s(leave, movement_s, itinerary.dark_spans_clock_s, itinerary.dark_factor)
        leaves.append(leave)
        arrivals.append(clock)
    return Days(arrive_clock_s=tuple(arrivals), leave_clock_s=tuple(leaves))


def passage_s(itinerary: Itinerary, draws: Draws, leg: int, leave_clock_s: Floats) -> Floats:
    """The party's passage time by the rock it finds when it ties on [s], shape of ``leave_clock_s``; 1 off the line."""
    line_leg = itinerary.line_legs[leg]
    if line_leg is None:
        return np.ones(())
    by_rock_s = np.asarray(line_leg.passage_by_rock_s)
    return by_rock_s[itinerary.rock.at(leave_clock_s, draws.member)]


def dark_movement_s(itinerary: Itinerary, days: Days) -> Floats:
    """How much of each day's movement lies in the dark [s], shape of one arrival."""
    spans = itinerary.dark_spans_clock_s
    legs = zip(days.leave_clock_s, days.arrive_clock_s[1:], strict=True)
    dark = np.zeros(days.arrive_clock_s[0].shape)
    for leave, arrive in legs:
        dark = dark + dark_between_s(leave, arrive, spans)
    return dark


def dark_between_s(start_clock_s: Floats, end_clock_s: Floats, dark_spans_clock_s: Floats) -> Floats:
    """How much of the time from start to end lies in the dark spans [s], same shape."""
    dark = np.zeros(np.shape(end_clock_s))
    for span_start, span_end in dark_spans_clock_s:
        dark += np.maximum(0.0, np.minimum(end_clock_s, span_end) - np.maximum(start_clock_s, span_start))
    return dark
