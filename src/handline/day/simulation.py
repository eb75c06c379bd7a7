"""Many days at once: the same party on the same way, each day with its own pace and waits.

Rules, in the order they are applied to one day:

1. One published pace model is drawn by its weight; it gives the walking time of every member on every leg. A member
   with a recorded pace has that instead.
2. Every member draws how the day goes; on each leg the party walks with whoever is slowest there. Every leg draws a
   little more or less, and partly what the leg before it drew: who is slow on one is likely slow on the next.
3. After some hours the walking slows; rests are added to it in proportion; the dark stretches all movement.
4. Before the line the party waits, by the hour in which it joins the queue where a crowd is known. Then it takes its
   passage time at the pace of its slowest climber: one to a bay, and nobody overtakes. The rock is as it is in the
   course of weather the day has drawn, in the hour the party ties on. Others on the line hold it up.
5. At every place it stops as long as the trip file says, or as its water needs.
6. Where it sleeps it stays until the morning's start; after the night it walks rested, and what the legs drew is
   forgotten.

Storms are not drawn: given when a day leaves the line, the chance that none has begun by then is exact (see limits.py).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from handline.day.line_wait import Floats, LineWait, Wait
from handline.line.passage import PASSAGE_SIGMA
from handline.walking.darkness import arrive_clock_s
from handline.walking.rest import with_rests
from handline.walking.tiring import tired_s

__all__ = ["Days", "Draws", "Floats", "Itinerary", "LineLeg", "Night", "RockClock", "Wait", "draw_days", "walk"]


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
    wait: LineWait


@dataclass(frozen=True)
class Night:
    """A night out: at which passing the party sleeps, and when it sets out from there [s after local midnight]."""

    passing: int
    start_clock_s: float


@dataclass(frozen=True)
class Itinerary:
    """What a day asks of the party, numbers only.

    ``walking_s`` has shape (models, walkers, legs), 0 on legs of the line; ``model_weight`` shape (models,);
    ``walker_sigma`` (walkers,) is the spread of the logarithm of a walker's day. ``size`` people climb the line.
    ``line_legs`` has a LineLeg where leg j is on the line, else None. ``stop_s`` has one value a passing, legs + 1.
    ``off_line`` is the index of the passing at which the party has left the line for good. ``leg_memory`` is the
    correlation of what two legs draw that follow each other, 0 to 1. ``night`` lies on the way up, before the line.
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
    leg_memory: float = 0.0
    night: Night | None = None

    @property
    def starts(self) -> tuple[int, ...]:
        """The passings at which a day of walking begins."""
        return (0,) if self.night is None else (0, self.night.passing)

    def tired_s(self, work_s: Floats) -> Floats:
        """The walking of each leg with tiring, (legs, ...) [s]; every day of walking begins fresh."""
        each_day = [
            tired_s(work_s[first:last], self.tiring_after_s, self.tiring_per_hour)
            for first, last in pairwise((*self.starts, self.legs))
        ]
        return each_day[0] if len(each_day) == 1 else np.concatenate(each_day)

    def ready_clock_s(self, passing: int, arrive_clock_s: Floats) -> Floats:
        """When a party that arrives at a passing has made its stop there, or slept [s], same shape."""
        if self.night is not None and passing == self.night.passing:
            return np.maximum(arrive_clock_s, self.night.start_clock_s)
        return arrive_clock_s + (self.stop_s[passing] if passing > 0 else 0.0)

    @property
    def legs(self) -> int:
        return len(self.line_legs)

    def leaving_camp(self) -> Itinerary:
        """The same way, where whoever arrives at the camp sets out from it at once: to look for when to leave it."""
        if self.night is None:
            raise ValueError("nobody sleeps out on this way")
        stop_s = self.stop_s.copy()
        stop_s[self.night.passing] = 0.0
        return replace(self, night=None, stop_s=stop_s)

    def alike(self) -> tuple[tuple[int, ...], ...]:
        """The walkers in groups that no number tells apart, in the order of their first."""
        groups: dict[bytes, list[int]] = {}
        for i in range(self.walker_sigma.size):
            told = self.walking_s[:, i, :].tobytes() + self.walker_sigma[i].tobytes()
            groups.setdefault(told, []).append(i)
        return tuple(tuple(group) for group in groups.values())


@dataclass(frozen=True)
class Draws:
    """What chance gave to each day, by leg, (legs, days).

    ``movement_s`` [s] is on the line what the party takes for one second of its passage time. ``wait_normal`` is a
    standard normal: how long the wait is among those of its hour. ``slowest`` has which of ``Itinerary.alike`` the
    party waited for on a leg; ``member`` (days,) the course of weather.
    """

    movement_s: Floats
    wait_normal: Floats
    slowest: NDArray[np.int16]
    member: NDArray[np.int64]

    @property
    def days(self) -> int:
        return int(self.movement_s.shape[1])

    def first(self, days: int) -> Draws:
        """The first of these days only."""
        return Draws(self.movement_s[:, :days], self.wait_normal[:, :days], self.slowest[:, :days], self.member[:days])

    def only(self, these: NDArray[np.bool_]) -> Draws:
        """Some of these days, by a mask (days,)."""
        return Draws(self.movement_s[:, these], self.wait_normal[:, these], self.slowest[:, these], self.member[these])


def day_streams(seed: int) -> tuple[np.random.Generator, ...]:
    """One stream for each thing that is drawn: the model, people, legs, waits, the passage and the weather."""
    return tuple(np.random.default_rng(stream) for stream in np.random.SeedSequence(seed).spawn(6))


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
    model_rng, people_rng, leg_rng, wait_rng, passage_rng, weather_rng = day_streams(seed)
    legs = itinerary.legs
    on_line = [j for j in range(legs) if itinerary.line_legs[j] is not None]
    walked = [j for j in range(legs) if itinerary.line_legs[j] is None]
    model = model_rng.choice(itinerary.model_weight.size, size=days, p=itinerary.model_weight)
    people = people_rng.standard_normal((itinerary.walker_sigma.size, days))
    work_s, slowest = _slowest_s(itinerary, model, people)
    fresh = _remembered(itinerary, walked, leg_rng.standard_normal((len(walked), days)))
    fresh *= itinerary.leg_sigma
    np.exp(fresh, out=fresh)
    for leg, factor in zip(walked, fresh, strict=True):
        work_s[leg] *= factor
    movement = with_rests(itinerary.tired_s(work_s), itinerary.rest_s_per_hour)
    movement[on_line] = np.exp(PASSAGE_SIGMA * passage_rng.standard_normal((itinerary.size, days)).max(axis=0))
    wait_normal = np.zeros((legs, days))
    wait_normal[on_line] = wait_rng.standard_normal((len(on_line), days))
    member = weather_rng.integers(itinerary.rock.members, size=days)
    return Draws(movement_s=movement, wait_normal=wait_normal, slowest=slowest, member=member)


def _remembered(itinerary: Itinerary, walked: list[int], fresh: Floats) -> Floats:
    """Standard normals of which each walked leg's has ``leg_memory`` of the one before it on the same day.

    Equation: e_j = r e_(j-1) + sqrt(1 - r^2) z_j, so that every e_j is standard normal.
    """
    memory = itinerary.leg_memory
    for row in range(1, len(walked)):
        slept = any(walked[row - 1] < start <= walked[row] for start in itinerary.starts)
        if not slept:
            fresh[row] *= np.sqrt(1.0 - memory**2)
            fresh[row] += memory * fresh[row - 1]
    return fresh


def _slowest_s(itinerary: Itinerary, model: NDArray[np.int64], people: Floats) -> tuple[Floats, NDArray[np.int16]]:
    """The walking of each leg at the pace of whoever is slowest on it, and who that is, both (legs, days)."""
    party_s = np.zeros((itinerary.legs, model.size))
    slowest = np.zeros((itinerary.legs, model.size), dtype=np.int16)
    for number, group in enumerate(itinerary.alike()):
        # Of people whom no number tells apart the one with the worst day is slowest on every leg.
        day = np.exp(itinerary.walker_sigma[group[0]] * people[list(group)].max(axis=0))
        own_s = np.take(itinerary.walking_s[:, group[0], :].T, model, axis=1)
        own_s *= day
        if number == 0:
            party_s = own_s
            continue
        later = own_s > party_s
        np.copyto(party_s, own_s, where=later)
        np.copyto(slowest, np.int16(number), where=later)
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
        leave, held_s, movement_s = itinerary.ready_clock_s(j, clock), np.zeros(()), draws.movement_s[j]
        line_leg = itinerary.line_legs[j]
        if line_leg is not None:
            wait_s, held_s = line_leg.wait.cost_s(leave, draws.wait_normal[j])
            leave = leave + wait_s
            movement_s = movement_s * passage_s(itinerary, draws, j, leave)
        clock = held_s + arrive_clock_s(leave, movement_s, itinerary.dark_spans_clock_s, itinerary.dark_factor)
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
