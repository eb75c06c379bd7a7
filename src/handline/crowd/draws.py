"""What chance gives to every climber of a day, drawn before anybody steps onto the line.

Each day and each thing that varies has its own stream of the seed. So a day is the same whichever days it is computed
with, on one core or many, and a climber keeps their draws whoever else comes after them in the list of a day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.crowd.rules import DOWN, UP, Arrivals, Climbers, CrowdLine, Flags, Floats

# The streams of a day. A new one goes to the end: the draws of the others stay.
_RATE, _CHANGEOVER, _REST, _REST_LONG, _FREEZE, _FREEZE_LONG, _TOP, THINNING = range(8)


def generator(seed: int, day: int, thing: int) -> np.random.Generator:
    """The stream of one thing on one day."""
    return np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(day, thing)))


@dataclass(frozen=True, eq=False)
class Drawn:
    """What everybody needs when nobody is in their way.

    ``service_s`` (people, 2, bays) [s], the second axis the way and the third the bay from the foot; ``top_s``
    (people,) the stay at the head [s].

    Raises
    ------
    ValueError
        Shapes that do not fit each other, or a time below 0 or not finite.
    """

    service_s: Floats
    top_s: Floats

    def __post_init__(self) -> None:
        service, top = np.ascontiguousarray(self.service_s, float), np.ascontiguousarray(self.top_s, float)
        if service.ndim != 3 or service.shape[:2] != (top.size, 2) or top.ndim != 1:
            raise ValueError("a climber has a time for each way and bay, and a stay at the head")
        # The least and the most say it of all, without a table of what is fine.
        for times in (service, top):
            if times.size and not (times.min() >= 0.0 and times.max() < np.inf):
                raise ValueError("times in a bay and at the head are 0 s or more")
        object.__setattr__(self, "service_s", service)
        object.__setattr__(self, "top_s", top)


def draw_climbers(line: CrowdLine, climbers: Climbers, arrivals: Arrivals, *, seed: int, first_day: int = 0) -> Drawn:
    """Draw everybody's own times, bay by bay.

    service = length / rate * factor + changeover at its end + rest + freeze-up

    factor = exp(sigma z), one for each climber and both ways, or the known one of the arrivals; a changeover is its
    median times exp(sigma z), drawn anew at every inner node; a rest comes by chance in a bay that ends, on the way
    gone, at a node with places; a freeze-up comes by chance to a climber, in one bay and way, all equally likely. Rest,
    freeze-up and stay at the head are log-normal: median times exp(sigma z).

    Parameters
    ----------
    line, climbers, arrivals
        Where, from which spreads, and for whom.
    seed, first_day : int
        Which draws, and the number of the first of these days.

    Returns
    -------
    Drawn
        In the order of the arrivals.

    Raises
    ------
    ValueError
        A seed or a number of a day below 0.

    Notes
    -----
    Who rests holds their bay meanwhile: nobody overtakes on a cable. That is the careful side.

    Sources: our_crowd_rules.
    """
    if seed < 0 or first_day < 0:
        raise ValueError("a seed and the number of a day are 0 or more")
    service, top = np.empty((arrivals.people, 2, line.bays)), np.empty(arrivals.people)
    moving_s = np.stack([line.bay_length_m / climbers.up_m_s, line.bay_length_m / climbers.down_m_s])
    changes, rests = _where_changeovers(line), _where_rests(line)
    for day in range(arrivals.days):
        rows = slice(int(arrivals.day_first[day]), int(arrivals.day_first[day + 1]))
        people = rows.stop - rows.start
        stream = _Streams(seed, first_day + day)
        assert arrivals.time_factor is not None
        known = arrivals.time_factor[rows]
        factor = np.where(np.isnan(known), stream.spread(_RATE, climbers.rate_sigma, people, 1)[:, 0], known)
        own = service[rows]
        np.multiply(factor[:, None, None], moving_s, out=own)
        if climbers.changeover_s > 0.0 and changes.any():
            spread = stream.spread(_CHANGEOVER, climbers.changeover_sigma, people, int(changes.sum()))
            own[:, changes] += climbers.changeover_s * spread
        if climbers.rest_chance > 0.0 and rests.any():
            count = int(rests.sum())
            taken = stream.uniform(_REST, people, count) < climbers.rest_chance
            long = climbers.rest_s * stream.spread(_REST_LONG, climbers.rest_sigma, people, count)
            own[:, rests] += np.where(taken, long, 0.0)
        if climbers.freeze_chance > 0.0:
            _freeze(climbers, stream, own)
        top[rows] = climbers.top_s * stream.spread(_TOP, climbers.top_sigma, people, 1)[:, 0]
    return Drawn(service, top)


@dataclass(frozen=True)
class _Streams:
    """The streams of one day. All tables are filled row by row, so that more rows leave the first ones as they are."""

    seed: int
    day: int

    def uniform(self, thing: int, people: int, columns: int) -> Floats:
        return generator(self.seed, self.day, thing).random((people, columns))

    def spread(self, thing: int, sigma: float, people: int, columns: int) -> Floats:
        """Log-normal factors of median 1."""
        if sigma == 0.0:
            return np.ones((people, columns))
        normal = generator(self.seed, self.day, thing).standard_normal((people, columns))
        return np.exp(sigma * normal)


def _freeze(climbers: Climbers, stream: _Streams, service_s: Floats) -> None:
    """Add the freeze-ups of a day."""
    people, ways, bays = service_s.shape
    chance = stream.uniform(_FREEZE, people, 2)
    long_s = climbers.freeze_s * stream.spread(_FREEZE_LONG, climbers.freeze_sigma, people, 1)[:, 0]
    who = np.flatnonzero(chance[:, 0] < climbers.freeze_chance)
    # The largest number below 1 times a count can round up to the count itself.
    where = np.minimum((chance[who, 1] * ways * bays).astype(np.int64), ways * bays - 1)
    service_s[who, where // bays, where % bays] += long_s[who]


def _where_changeovers(line: CrowdLine) -> Flags:
    """In which bays of which way a changeover ends it, (2, bays): all but the last one."""
    changes = np.ones((2, line.bays), bool)
    changes[UP, -1] = changes[DOWN, 0] = False
    return changes


def _where_rests(line: CrowdLine) -> Flags:
    """Which bays of which way end at a stance, (2, bays)."""
    stance = line.inner_places > 0
    rests = np.empty((2, line.bays), bool)
    rests[UP], rests[DOWN] = stance[1:], stance[:-1]
    return rests
