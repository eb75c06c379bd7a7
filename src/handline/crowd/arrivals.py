"""Who comes to the foot of the line when: parties that start about one time and walk, or arrive as somebody counted.

Everything of a day is drawn from the streams of that day, party by party. So more people a day leave those who came
before as they were, and the party that asks stands first in the list and keeps its own draws.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Protocol, Self

import numpy as np
from numpy.typing import ArrayLike

from handline.crowd.draws import generator
from handline.crowd.rules import Arrivals, Floats

# The streams of a day, apart from those of the climbers' own times. A new one goes to the end.
_COMES, _TIME, _START, _WALK = range(100, 104)


@dataclass(frozen=True, eq=False)
class PartyDraws:
    """What chance gives each party of a day, all (parties,): a number in [0, 1), and two standard normals.

    ``slowest`` is the highest of one normal a member: the party walks with its slowest.
    """

    uniform: Floats
    start: Floats
    slowest: Floats


class Comes(Protocol):
    """When parties are at the foot."""

    def clock_s(self, draws: PartyDraws) -> Floats:
        """One clock a party [s after local midnight]."""

    def spread_out(self, times: float) -> Self:
        """The same, spread over so many times as long."""


@dataclass(frozen=True, eq=False)
class StartsAndWalk:
    """Parties that start about one clock time and walk to the foot.

    clock = start + sigma_start z + walk exp(sigma_walk z_slowest)

    Parameters
    ----------
    start_clock_s, start_sigma_s : float
        The usual start [s after local midnight], and how far around it two in three start [s].
    walk_s, weight : ndarray, shape (models,)
        Walking time to the foot by each of some models, stops and rests included [s], and the weights; each party draws
        one of them.
    walk_sigma : float
        Spread of the logarithm of a walker's time.

    Raises
    ------
    ValueError
        Arrays that do not fit, a time or a spread below 0 or not finite, or weights that do not make a whole.

    Sources: our_crowd_arrivals.
    """

    start_clock_s: float
    start_sigma_s: float
    walk_s: Floats
    weight: Floats
    walk_sigma: float

    def __post_init__(self) -> None:
        walk, weight = np.asarray(self.walk_s, float), np.asarray(self.weight, float)
        if walk.ndim != 1 or walk.size == 0 or walk.shape != weight.shape:
            raise ValueError("each model has a walking time and a weight")
        if not bool(np.all((walk >= 0.0) & np.isfinite(walk))):
            raise ValueError("a walking time is 0 s or more")
        if not bool(np.all(weight > 0.0)) or not abs(float(weight.sum()) - 1.0) <= 1e-9:
            raise ValueError("weights of the models are above 0 and sum to 1")
        if not np.isfinite(self.start_clock_s):
            raise ValueError("the usual start is a clock time")
        if not all(np.isfinite(value) and value >= 0.0 for value in (self.start_sigma_s, self.walk_sigma)):
            raise ValueError("a spread is 0 or more")
        object.__setattr__(self, "walk_s", walk)
        object.__setattr__(self, "weight", weight)

    def clock_s(self, draws: PartyDraws) -> Floats:
        """One clock a party [s after local midnight]."""
        edges = np.cumsum(self.weight)
        # The last edge may be a hair below 1, and a draw between the two.
        model = np.minimum(np.searchsorted(edges, draws.uniform, side="right"), edges.size - 1)
        walk_s = self.walk_s[model] * np.exp(self.walk_sigma * draws.slowest)
        clock: Floats = self.start_clock_s + self.start_sigma_s * draws.start + walk_s
        return clock

    def spread_out(self, times: float) -> StartsAndWalk:
        """The same people with starts spread over so many times as long."""
        return replace(self, start_sigma_s=self.start_sigma_s * _checked(times))


@dataclass(frozen=True, eq=False)
class ByHour:
    """Parties as somebody counted them at the foot: how many people in which span, evenly within it.

    Each party draws a span by its people. So the numbers hold on average, and a day is one or the other side of them.

    Parameters
    ----------
    from_clock_s, to_clock_s, people : ndarray, shape (spans,)
        When each span begins and ends [s after local midnight], and how many come in it; spans may overlap.

    Raises
    ------
    ValueError
        No spans, one that does not end after it begins, a number of people below 0, or nobody at all.

    Sources: our_crowd_arrivals.
    """

    from_clock_s: Floats
    to_clock_s: Floats
    people: Floats

    def __post_init__(self) -> None:
        start, end, people = (np.asarray(getattr(self, field.name), float) for field in fields(self))
        if start.ndim != 1 or start.size == 0 or not start.shape == end.shape == people.shape:
            raise ValueError("each span has a beginning, an end and a number of people")
        if not bool(np.all(np.isfinite(start) & np.isfinite(end) & (end > start))):
            raise ValueError("a span of arrivals ends after it begins")
        if not bool(np.all((people >= 0.0) & np.isfinite(people))) or not float(people.sum()) > 0.0:
            raise ValueError("people in a span are 0 or more, and above 0 in one of them")
        for name, value in (("from_clock_s", start), ("to_clock_s", end), ("people", people)):
            object.__setattr__(self, name, value)

    @property
    def all_people(self) -> float:
        """How many come in all spans together."""
        return float(self.people.sum())

    def clock_s(self, draws: PartyDraws) -> Floats:
        """One clock a party [s after local midnight]."""
        edges = np.concatenate(([0.0], np.cumsum(self.people))) / self.all_people
        last = int(np.flatnonzero(self.people > 0.0)[-1])
        span = np.minimum(np.searchsorted(edges[1:], draws.uniform, side="right"), last)
        share = (draws.uniform - edges[span]) / (edges[span + 1] - edges[span])
        clock: Floats = self.from_clock_s[span] + share * (self.to_clock_s - self.from_clock_s)[span]
        return clock

    def spread_out(self, times: float) -> ByHour:
        """The same people, all spans stretched about the middle of the whole."""
        middle = float((self.from_clock_s.min() + self.to_clock_s.max()) / 2.0)
        start, end = (middle + _checked(times) * (edge - middle) for edge in (self.from_clock_s, self.to_clock_s))
        return replace(self, from_clock_s=start, to_clock_s=end)


@dataclass(frozen=True, eq=False)
class OurParty:
    """The party that asks: how many, and when they are ready at the foot, (days,) [s after local midnight].

    Day n takes the n-th clock, and begins again after the last.

    Raises
    ------
    ValueError
        Nobody, no clock, or one that is not finite.
    """

    size: int
    clock_s: ArrayLike

    def __post_init__(self) -> None:
        clock = np.atleast_1d(np.asarray(self.clock_s, float))
        if self.size < 1 or clock.ndim != 1 or clock.size == 0 or not bool(np.all(np.isfinite(clock))):
            raise ValueError("a party has at least one person, and a clock time at which it comes")
        object.__setattr__(self, "clock_s", clock)


@dataclass(frozen=True, eq=False)
class CrowdArrivals:
    """Who comes on which days: an ``ArrivalSource``. The same seed and days are always the same people.

    Parameters
    ----------
    people : int
        How many may come on a day, besides the party that asks.
    comes : Comes
        When.
    seed : int
    come_share : float
        Chance that a party comes, each for itself.
    party_of : int
        How many come together, at one moment.
    ours : OurParty, optional
        Comes on top, every day, and stands first in the list of each.

    Raises
    ------
    ValueError
        People or a seed below 0, a share outside 0 to 1, or a party of nobody.

    Notes
    -----
    People who come together make longer queues than people who come one by one.

    Sources: our_crowd_arrivals.
    """

    people: int
    comes: Comes
    seed: int
    come_share: float = 1.0
    party_of: int = 1
    ours: OurParty | None = None

    def __post_init__(self) -> None:
        if self.people < 0 or self.people != int(self.people) or self.seed < 0:
            raise ValueError("people a day and a seed are whole numbers, 0 or more")
        if not 0.0 <= self.come_share <= 1.0:
            raise ValueError(f"the share who come lies within 0 to 1, not at {self.come_share}")
        if self.party_of < 1 or self.party_of != int(self.party_of):
            raise ValueError("a party has at least one person")

    def __call__(self, first_day: int, days: int) -> Arrivals:
        """The arrivals of ``days`` days from day ``first_day`` on."""
        if first_day < 0 or days < 1:
            raise ValueError("there is at least one day, and the first has a number of 0 or more")
        parts = [self._others_clock_s(day) for day in range(first_day, first_day + days)]
        ours = 0 if self.ours is None else self.ours.size
        if self.ours is not None:
            clock = np.asarray(self.ours.clock_s, float)
            parts = [
                np.concatenate((np.full(ours, clock[(first_day + i) % clock.size]), others))
                for i, others in enumerate(parts)
            ]
        sizes = [part.size for part in parts]
        first = np.concatenate(([0], np.cumsum(sizes)))
        whose = np.concatenate([np.arange(size) < ours for size in sizes])
        return Arrivals(np.concatenate(parts), first, ours=whose)

    def _others_clock_s(self, day: int) -> Floats:
        parties = -(-self.people // self.party_of)
        if parties == 0:
            return np.zeros(0)
        size = np.full(parties, self.party_of)
        size[-1] = self.people - (parties - 1) * self.party_of
        comes = generator(self.seed, day, _COMES).random(parties) < self.come_share
        draws = PartyDraws(
            uniform=generator(self.seed, day, _TIME).random(parties),
            start=generator(self.seed, day, _START).standard_normal(parties),
            slowest=self._slowest(day, parties),
        )
        return np.repeat(self.comes.clock_s(draws)[comes], size[comes])

    def _slowest(self, day: int, parties: int) -> Floats:
        """Row by row, so that more parties leave the first ones as they are."""
        members = generator(self.seed, day, _WALK).standard_normal((parties, self.party_of))
        slowest: Floats = members.max(axis=1)
        return slowest


def _checked(times: float) -> float:
    if not (np.isfinite(times) and times > 0.0):
        raise ValueError("arrivals are spread over a number of times as long that is above 0")
    return times
