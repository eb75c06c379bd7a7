"""What a crowd on the line is made of: the bays with their places, the people, who comes when, and who yields.

Rules, in the order in which the kernel and the referee of the tests hold to them:

1. Bays 0 to B - 1 count from the foot, nodes 0 to B are their ends. At the foot (node 0) and at the head (node B) any
   number may wait; at an inner node a few, by its ``places``, and those are for each way: going up and going down have
   their own. Each queue is first come, first served, and nobody overtakes.
2. A bay holds one climber of each way. Who has finished a bay goes on into the next if that one holds nobody of the
   same way and nobody waits before it; else waits at the node if a place is free; else stays in the bay and blocks it.
3. What a climber needs in a bay is drawn beforehand. Only the order of events is left to decide.
4. Who enters a bay in which somebody of the other way is meets them. Both need ``pass_s`` more: the one who enters, and
   the one who is there, who may not go on before then even if they had finished and only stood there blocked. Under a
   rule of yielding those of one way do not enter a bay, at the foot or the head or from another bay, while somebody
   of the other way is in it.
5. Everybody goes up once, stays at the head for their own time, joins the queue there and comes down. With one-way
   hours nobody steps down onto the line before it opens for them: who is ready earlier waits at the head, and at the
   opening who came to the foot first is first.
6. At the same moment finishing comes before joining a queue; of two who finish the lower bay comes first, and in one
   bay down before up; of two who join, the head before the foot, and then who came to the foot first. What an event
   sets going is settled at once: first on its own way, from the bay that became free backwards; then, where the other
   way yields and a bay became free for it, on that way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

UP, DOWN = 0, 1
WAYS = ("up", "down")
"""The ways by their index, as in arrays with one row a way."""

PASS = "pass"
UP_WAITS = "up waits"
DOWN_WAITS = "down waits"


@dataclass(frozen=True)
class Yield:
    """A rule for two who meet in a bay. ``waits`` is the way that does not enter while the other is there, or -1."""

    key: str
    words: str
    waits: int
    source: str


YIELDS: Mapping[str, Yield] = MappingProxyType(
    {
        PASS: Yield(PASS, "they pass each other in the bay", -1, "our_crowd_rules"),
        UP_WAITS: Yield(UP_WAITS, "who goes up waits until the bay is free", UP, "our_crowd_rules"),
        DOWN_WAITS: Yield(DOWN_WAITS, "who comes down waits until the bay is free", DOWN, "our_crowd_rules"),
    }
)
"""Who yields when two meet, by key."""


@dataclass(frozen=True, eq=False)
class CrowdLine:
    """A line as a crowd meets it.

    Parameters
    ----------
    bay_length_m : ndarray, shape (bays,)
        From the foot up [m].
    places : ndarray of int, shape (bays + 1,)
        How many can wait at each node, for each way; 0 for none. Those of foot and head do not count: there anybody
        can wait. Where there is a place there is a stance, and people may rest.
    pass_s : float
        What a meeting in a bay costs each of the two [s].
    yields : str
        Key of ``YIELDS``.
    down_opens_clock_s : float
        With one-way hours: when the line opens for coming down [s after local midnight]; -inf, always.

    Raises
    ------
    ValueError
        No bays, a length not above 0, places of another number or below 0, a delay below 0, or an unknown rule.
    """

    bay_length_m: Floats
    places: Ints
    pass_s: float
    yields: str = PASS
    down_opens_clock_s: float = -np.inf

    def __post_init__(self) -> None:
        lengths, places = np.asarray(self.bay_length_m, float), np.asarray(self.places)
        if lengths.ndim != 1 or lengths.size == 0:
            raise ValueError("a line for a crowd has at least one bay")
        if not bool(np.all((lengths > 0.0) & np.isfinite(lengths))):
            raise ValueError("the length of a bay is above 0 m")
        if places.shape != (lengths.size + 1,) or not bool(np.all((places >= 0) & (places == np.floor(places)))):
            raise ValueError("places are whole numbers, 0 or more, one for each end of a bay")
        if not (self.pass_s >= 0.0 and np.isfinite(self.pass_s)):
            raise ValueError("what a meeting costs is 0 s or more")
        if self.yields not in YIELDS:
            raise ValueError(f"the rule of yielding {self.yields!r} is not one of {tuple(YIELDS)}")
        if np.isnan(self.down_opens_clock_s) or self.down_opens_clock_s == np.inf:
            raise ValueError("a line opens for coming down at some time")
        object.__setattr__(self, "bay_length_m", np.ascontiguousarray(lengths))
        object.__setattr__(self, "places", np.ascontiguousarray(places, dtype=np.int64))

    @property
    def bays(self) -> int:
        return int(self.bay_length_m.size)

    @property
    def length_m(self) -> float:
        return float(self.bay_length_m.sum())

    @property
    def inner_places(self) -> Ints:
        """Places where a stance is, (bays + 1,): 0 at foot and head."""
        inner = self.places.copy()
        inner[[0, -1]] = 0
        return inner


@dataclass(frozen=True)
class Climbers:
    """The people as spreads: medians, and sigmas of log-normals, from which each climber is drawn.

    ``up_m_s`` and ``down_m_s`` are rates along the cable [m/s]; ``rate_sigma`` spreads the time between people, who are
    slow or quick both ways. A changeover comes at every inner node passed. A rest is taken with ``rest_chance`` in a
    bay whose end has a stance. With ``freeze_chance`` somebody stands still once on the whole way up and down, in one
    bay for ``freeze_s`` longer. ``top_s`` is the stay at the head.

    Raises
    ------
    ValueError
        A rate not above 0, a time or a sigma below 0, or a chance outside 0 to 1.
    """

    up_m_s: float
    down_m_s: float
    rate_sigma: float = 0.0
    changeover_s: float = 0.0
    changeover_sigma: float = 0.0
    rest_chance: float = 0.0
    rest_s: float = 0.0
    rest_sigma: float = 0.0
    freeze_chance: float = 0.0
    freeze_s: float = 0.0
    freeze_sigma: float = 0.0
    top_s: float = 0.0
    top_sigma: float = 0.0

    def __post_init__(self) -> None:
        for name in (field.name for field in fields(self)):
            value = float(getattr(self, name))
            if not np.isfinite(value) or value < 0.0:
                raise ValueError(f"{name} is a finite number, 0 or more, not {value}")
            if name.endswith("m_s") and value == 0.0:
                raise ValueError(f"{name} is above 0 m/s")
            if name.endswith("chance") and value > 1.0:
                raise ValueError(f"{name} lies within 0 to 1, not at {value}")


@dataclass(frozen=True, eq=False)
class Arrivals:
    """Who comes to the foot when, day after day.

    Parameters
    ----------
    clock_s : ndarray, shape (people,)
        When each of them is at the foot [s after local midnight], in any order within a day. Who stands where in this
        list is who they are: the same place on the same day gets the same draws, whoever else comes after them.
    day_first : ndarray of int, shape (days + 1,)
        Where each day begins in ``clock_s``; the last is the number of people.
    ours : ndarray of bool, shape (people,), optional
        Who belongs to the party that asks.
    time_factor : ndarray, shape (people,), optional
        Known factors on the time of moving, NaN where it is to be drawn.

    Raises
    ------
    ValueError
        No days, arrays that do not fit each other, a clock that is not finite, or a factor not above 0.
    """

    clock_s: Floats
    day_first: Ints
    ours: Flags | None = None
    time_factor: Floats | None = None

    def __post_init__(self) -> None:
        clock, first = np.ascontiguousarray(self.clock_s, float), np.ascontiguousarray(self.day_first, np.int64)
        if clock.ndim != 1 or not bool(np.all(np.isfinite(clock))):
            raise ValueError("an arrival has a clock time")
        if first.ndim != 1 or first.size < 2 or first[0] != 0 or first[-1] != clock.size or np.any(np.diff(first) < 0):
            raise ValueError("days begin at 0, one after the other, and end with the last of the people")
        ours = np.zeros(clock.size, bool) if self.ours is None else np.asarray(self.ours, bool)
        factor = np.full(clock.size, np.nan) if self.time_factor is None else np.asarray(self.time_factor, float)
        if ours.shape != clock.shape or factor.shape != clock.shape:
            raise ValueError("ours and time_factor have one value for each arrival")
        if not bool(np.all(np.isnan(factor) | ((factor > 0.0) & np.isfinite(factor)))):
            raise ValueError("a factor on the time of moving is above 0")
        for name, value in (("clock_s", clock), ("day_first", first), ("ours", ours), ("time_factor", factor)):
            object.__setattr__(self, name, value)

    @property
    def days(self) -> int:
        return int(self.day_first.size - 1)

    @property
    def people(self) -> int:
        return int(self.clock_s.size)

    def some(self, first: int, days: int) -> Arrivals:
        """Only ``days`` days from day ``first`` on."""
        assert self.ours is not None
        assert self.time_factor is not None
        rows = slice(int(self.day_first[first]), int(self.day_first[first + days]))
        starts = self.day_first[first : first + days + 1] - self.day_first[first]
        return Arrivals(self.clock_s[rows], starts, self.ours[rows], self.time_factor[rows])
