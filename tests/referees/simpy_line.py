"""The rules of a crowd on the line in plain SimPy: who is where stands in lists, every wake-up is its own event.

Slow and simple: referee in the tests, baseline in the benchmarks. One day in a call.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Sequence
from dataclasses import dataclass, field

import simpy

UP, DOWN = 0, 1


@dataclass
class Climber:
    number: int
    arrive_s: float
    top_s: float
    service_s: Sequence[Sequence[float]]
    join: list[float] = field(default_factory=lambda: [0.0, 0.0])
    enter: tuple[dict[int, float], dict[int, float]] = field(default_factory=lambda: ({}, {}))
    leave: tuple[dict[int, float], dict[int, float]] = field(default_factory=lambda: ({}, {}))
    passing_s: list[float] = field(default_factory=lambda: [0.0, 0.0])
    met: list[int] = field(default_factory=lambda: [0, 0])
    above: tuple[list[int], list[int]] = field(default_factory=lambda: ([], []))
    ready_s: float = 0.0
    finished: bool = False


class SimpyLine:
    """A line with nobody on it. ``waits`` is the way that yields, None for passing."""

    def __init__(self, bays: int, places: Sequence[int], pass_s: float, waits: int | None,
                 down_opens_s: float = float("-inf")) -> None:  # fmt: skip
        self.down_opens_s = down_opens_s
        self.env = simpy.Environment()
        self.bays, self.places, self.pass_s, self.waits = bays, places, pass_s, waits
        self.in_bay: dict[tuple[int, int], Climber | None] = {(w, k): None for w in (UP, DOWN) for k in range(bays)}
        self.at_node: dict[tuple[int, int], deque[Climber]] = {
            (w, n): deque() for w in (UP, DOWN) for n in range(bays + 1)
        }

    def run(self, climbers: Sequence[Climber]) -> None:
        for climber in climbers:
            self.env.process(self._whole_day(climber))
        self.env.run()

    def _at(self, time_s: float, rank: float) -> simpy.Event:
        """An event at a time; of those at the same time the lowest rank comes first."""
        event = simpy.Event(self.env)
        event._ok, event._value = True, None
        self.env.schedule(event, priority=rank, delay=time_s - self.env.now)
        return event

    def _whole_day(self, climber: Climber) -> Generator[simpy.Event, None, None]:
        yield self._at(climber.arrive_s, 10 + 2 * self.bays + 1)
        self._join(climber, UP, 0)

    def _stay(self, climber: Climber) -> Generator[simpy.Event, None, None]:
        climber.join[DOWN] = self.env.now + climber.top_s
        opens_s = max(climber.join[DOWN], self.down_opens_s)
        yield self._at(opens_s, 10 + 2 * self.bays + climber.number * 1e-6)
        self._join(climber, DOWN, self.bays)

    def _join(self, climber: Climber, way: int, node: int) -> None:
        if way == UP:
            climber.join[way] = self.env.now
        self.at_node[way, node].append(climber)
        self._settle(way, 0 if way == UP else self.bays - 1)

    def _work(self, climber: Climber, way: int, bay: int) -> Generator[simpy.Event, None, None]:
        while self.env.now < climber.ready_s:
            yield self._at(climber.ready_s, 10 + 2 * bay + (way == UP))
        climber.finished = True
        self._go_on(climber, way, bay)

    def _go_on(self, climber: Climber, way: int, bay: int) -> None:
        ahead, node = (bay + 1, bay + 1) if way == UP else (bay - 1, bay)
        queue = self.at_node[way, node]
        if not 0 <= ahead < self.bays:
            self._out(climber, way, bay)
            if way == UP:
                self.env.process(self._stay(climber))
        elif self._open(way, ahead) and not queue:
            self._out(climber, way, bay)
            self._into(climber, way, ahead)
        elif len(queue) < self.places[node]:
            self._out(climber, way, bay)
            queue.append(climber)
        else:
            return
        self._settle(way, bay)

    def _settle(self, way: int, bay: int) -> None:
        free = self._draw_in(way, bay)
        if free is not None and self.waits == 1 - way:
            self._draw_in(1 - way, free)

    def _draw_in(self, way: int, bay: int) -> int | None:
        """Fill a bay from the node before it, that node from the bay behind, and so on; the bay that stays empty."""
        if not self._open(way, bay):
            return bay if self.in_bay[way, bay] is None else None
        node, behind = (bay, bay - 1) if way == UP else (bay + 1, bay + 1)
        queue = self.at_node[way, node]
        blocked = self.in_bay.get((way, behind))
        if blocked is not None and not blocked.finished:
            blocked = None
        if queue:
            self._into(queue.popleft(), way, bay)
            if blocked is None:
                return None
            self._out(blocked, way, behind)
            queue.append(blocked)
            return self._draw_in(way, behind)
        if blocked is None:
            return bay
        self._out(blocked, way, behind)
        self._into(blocked, way, bay)
        return self._draw_in(way, behind)

    def _open(self, way: int, bay: int) -> bool:
        if self.in_bay[way, bay] is not None:
            return False
        return not (way == self.waits and self.in_bay[1 - way, bay] is not None)

    def _out(self, climber: Climber, way: int, bay: int) -> None:
        assert self.in_bay[way, bay] is climber
        self.in_bay[way, bay] = None
        climber.leave[way][bay] = self.env.now

    def _into(self, climber: Climber, way: int, bay: int) -> None:
        assert self.in_bay[way, bay] is None
        self.in_bay[way, bay] = climber
        climber.enter[way][bay] = self.env.now
        climber.finished = False
        climber.ready_s = self.env.now + climber.service_s[way][bay]
        climber.above[way].append(self._people_above(bay))
        other = self.in_bay[1 - way, bay]
        if other is not None:
            was_blocked = other.finished
            other.ready_s = (self.env.now if was_blocked else other.ready_s) + self.pass_s
            other.finished = False
            climber.ready_s += self.pass_s
            for one, its_way in ((climber, way), (other, 1 - way)):
                one.met[its_way] += 1
                one.passing_s[its_way] += self.pass_s
            if was_blocked:
                self._start(other, 1 - way, bay)
        self._start(climber, way, bay)

    def _start(self, climber: Climber, way: int, bay: int) -> None:
        """Nobody of no length of service goes on within the event that let them in: their finish is one of its own."""
        self.env.process(self._waited(climber, way, bay))

    def _waited(self, climber: Climber, way: int, bay: int) -> Generator[simpy.Event, None, None]:
        yield self._at(climber.ready_s, 10 + 2 * bay + (way == UP))
        yield from self._work(climber, way, bay)

    def _people_above(self, bay: int) -> int:
        bays = sum(person is not None for (_, k), person in self.in_bay.items() if k > bay)
        return bays + sum(len(queue) for (_, n), queue in self.at_node.items() if bay < n < self.bays)


def simpy_day(
    arrive_s: Sequence[float],
    service_s: Sequence[Sequence[Sequence[float]]],
    top_s: Sequence[float],
    places: Sequence[int],
    pass_s: float,
    waits: int | None,
    down_opens_s: float = float("-inf"),
) -> list[Climber]:
    """Everybody of one day, in the order of ``arrive_s``, which ascends."""
    line = SimpyLine(len(service_s[0][0]), places, pass_s, waits, down_opens_s)
    climbers = [
        Climber(i, at, top, service)
        for i, (at, top, service) in enumerate(zip(arrive_s, top_s, service_s, strict=True))
    ]
    line.run(climbers)
    return climbers
