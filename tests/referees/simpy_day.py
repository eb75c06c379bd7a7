"""A whole day as people live it, in plain SimPy: the party walks, dusk and dawn come, a storm may begin.

Draws of its own from the standard library, one day in a call, nothing vectorised, storms as events. Of the program it
reads only what a day asks of the party, the limits, the rules and the rate of storms. Slow and simple: referee in the
tests, baseline in the benchmarks.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_right
from collections.abc import Generator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import simpy

if TYPE_CHECKING:
    from handline.day.limits import DayLimits
    from handline.day.line_wait import LineWait
    from handline.day.simulation import Itinerary
    from handline.day.turn_back import TurnRule
    from handline.weather.storms import StormHazard

# 1.2816 standard deviations: nine in ten lie under it. The spread of climbing between people is that of the method.
NINE_IN_TEN = 1.2815515655446004
CLIMBING_SIGMA = 0.20

Events = Generator[simpy.Event, None, None]


@dataclass
class LivedDay:
    """One day: when the party came to each passing (left out where it never did), and what became of its limits."""

    came_s: dict[int, float] = field(default_factory=dict)
    kept: dict[str, bool] = field(default_factory=dict)
    turned_by: int | None = None

    @property
    def home_s(self) -> float:
        return self.came_s[max(self.came_s)]

    @property
    def all_kept(self) -> bool:
        return all(self.kept.values())


class Daylight:
    """Dusk and dawn: whoever is under way waits for ``turns``, and is slower while ``dark``."""

    def __init__(self, env: simpy.Environment, spans: Sequence[Sequence[float]]) -> None:
        self.env, self.turns = env, env.event()
        self.dark = any(start <= env.now < end for start, end in spans)
        env.process(self._go(sorted(float(edge) for span in spans for edge in span if edge > env.now)))

    def _go(self, edges: list[float]) -> Events:
        for edge in edges:
            yield self.env.timeout(edge - self.env.now)
            self.dark = not self.dark
            over, self.turns = self.turns, self.env.event()
            over.succeed()


class Storms:
    """The first storm, a Poisson process whose rate goes with the clock, by thinning: ``began_s`` once it has begun."""

    def __init__(self, env: simpy.Environment, dice: random.Random, clock_s: list[float], hazard: list[float]) -> None:
        self.env, self.dice, self.clock_s, self.began_s = env, dice, clock_s, math.inf
        steps = list(zip(clock_s[:-1], clock_s[1:], hazard[:-1], hazard[1:], strict=True))
        self.rates = [(after - before) / (end - start) for start, end, before, after in steps]
        self.most = max(self.rates)

    def watch(self) -> Events:
        """From now on: none has begun yet."""
        while self.most > 0.0 and self.env.now < self.clock_s[-1]:
            yield self.env.timeout(self.dice.expovariate(self.most))
            if self.dice.random() * self.most < self._rate():
                self.began_s = self.env.now
                return

    def _rate(self) -> float:
        at = bisect_right(self.clock_s, self.env.now) - 1
        return self.rates[at] if 0 <= at < len(self.rates) else 0.0


class Party:
    """The party on its way, and what chance gives it on the way."""

    def __init__(
        self, env: simpy.Environment, dice: random.Random, way: Itinerary, storms: Storms, rules: Sequence[TurnRule]
    ) -> None:
        self.env, self.dice, self.way, self.storms, self.rules = env, dice, way, storms, rules
        self.light = Daylight(env, way.dark_spans_clock_s.tolist())
        self.legs = len(way.line_legs)
        self.day, self.climbed = LivedDay(), False
        self.walks_s = self._walks_s()
        self.climbs = max(math.exp(dice.gauss(0.0, CLIMBING_SIGMA)) for _ in range(way.size))
        self.course = way.rock.state[dice.randrange(len(way.rock.state))].tolist()

    def go(self) -> Events:
        night, leg = self.way.night, 0
        if night is None:
            self.env.process(self.storms.watch())
        self.day.came_s[0] = self.env.now
        while leg < self.legs:
            if night is not None and leg == night.passing:
                yield self.env.timeout(max(0.0, night.start_clock_s - self.env.now))
                self.env.process(self.storms.watch())
            elif leg > 0:
                yield self.env.timeout(float(self.way.stop_s[leg]))
            yield from self._climb(leg) if self.way.line_legs[leg] is not None else self._move(self.walks_s[leg])
            leg += 1
            self.day.came_s[leg] = self.env.now
            if self.day.turned_by is None and self._turns(leg):
                leg = self.legs - leg
                self.day.came_s[leg] = self.env.now

    def _turns(self, passing: int) -> bool:
        """Whether a rule turns the party round here, where the way goes on: noted for the day."""
        for number, rule in enumerate(self.rules):
            if rule.passing == passing and 2 * passing < self.legs and self.env.now > rule.after_clock_s:
                self.day.turned_by = number
                return True
        return False

    def _move(self, left_s: float) -> Events:
        """Work of so long by light, until it is done; each dusk and dawn changes the rate."""
        while True:
            rate, began_s = 1.0 / self.way.dark_factor if self.light.dark else 1.0, self.env.now
            done = self.env.timeout(left_s / rate)
            yield done | self.light.turns
            if done.processed:
                return
            left_s -= (self.env.now - began_s) * rate

    def _climb(self, leg: int) -> Events:
        line_leg = self.way.line_legs[leg]
        assert line_leg is not None
        self.climbed = True
        wait_s, held_s = self._queue(line_leg.wait)
        yield self.env.timeout(wait_s)
        hour = int((self.env.now - self.way.rock.start_clock_s) // 3600.0)
        rock = self.course[min(max(hour, 0), len(self.course) - 1)]
        yield from self._move(line_leg.passage_by_rock_s[rock] * self.climbs)
        yield self.env.timeout(held_s)

    def _queue(self, wait: LineWait) -> tuple[float, float]:
        """The wait before the line and what is added on it: of a typed wait, or of a day seen in this half hour."""
        if hasattr(wait, "median_s"):
            if wait.median_s == 0.0:
                return 0.0, 0.0
            sigma = math.log(wait.long_s / wait.median_s) / NINE_IN_TEN
            return self.dice.lognormvariate(math.log(wait.median_s), sigma), 0.0
        half_hour = bisect_right(wait.edges_clock_s.tolist(), self.env.now) - 1
        seen = min(max(half_hour, 0), len(wait.wait_s) - 1), self.dice.randrange(wait.wait_s.shape[1])
        return float(wait.wait_s[seen]), float(wait.held_s[seen])

    def _walks_s(self) -> list[float]:
        """What each leg takes by light, with rests: 0 on the line. Each day of walking begins rested."""
        way = self.way
        (model,) = self.dice.choices(range(len(way.model_weight)), weights=way.model_weight.tolist())
        own_day = [math.exp(self.dice.gauss(0.0, float(sigma))) for sigma in way.walker_sigma]
        by_walker = way.walking_s[model].tolist()
        walks_s, walked_s, noise = [], 0.0, None
        for leg, line_leg in enumerate(way.line_legs):
            if way.night is not None and leg == way.night.passing:
                walked_s, noise = 0.0, None
            if line_leg is not None:
                walks_s.append(0.0)
                continue
            fresh = self.dice.gauss(0.0, 1.0)
            noise = fresh if noise is None else way.leg_memory * noise + math.sqrt(1.0 - way.leg_memory**2) * fresh
            slowest_s = max(times[leg] * day for times, day in zip(by_walker, own_day, strict=True))
            before_s, walked_s = walked_s, walked_s + slowest_s * math.exp(way.leg_sigma * noise)
            tired_s = self._with_tiring(walked_s) - self._with_tiring(before_s)
            walks_s.append(tired_s * (1.0 + way.rest_s_per_hour / 3600.0))
        return walks_s

    def _with_tiring(self, walked_s: float) -> float:
        """Every hour past the fresh ones is slower by its share than the one before: the mean rate over them."""
        past_s = max(0.0, walked_s - self.way.tiring_after_s)
        return walked_s + past_s * 0.5 * self.way.tiring_per_hour * past_s / 3600.0


def lived_days(
    way: Itinerary,
    limits: DayLimits,
    storm: StormHazard,
    start_clock_s: float,
    days: int,
    seed: int,
    rules: Sequence[TurnRule] = (),
) -> list[LivedDay]:
    """Days from the start to home, one after the other."""
    dice, clock_s, hazard = random.Random(seed), storm.clock_s.tolist(), storm.hazard.tolist()
    lived = []
    for _ in range(days):
        env = simpy.Environment(initial_time=start_clock_s)
        storms = Storms(env, dice, clock_s, hazard)
        party = Party(env, dice, way, storms, rules)
        env.run(until=env.process(party.go()))
        _judge(party, limits)
        lived.append(party.day)
    return lived


def _judge(party: Party, limits: DayLimits) -> None:
    """By events: what had happened when. Who turned before the line was never on it."""
    day, night = party.day, party.way.night
    off_line_s = day.came_s[party.way.off_line] if party.climbed else -math.inf
    if night is not None and limits.camp_clock_s is not None:
        there = max(passing for passing in day.came_s if passing <= night.passing)
        day.kept["camp_before_dark"] = day.came_s[there] <= limits.camp_clock_s
    if limits.off_line_before_storm:
        day.kept["off_line_before_storm"] = off_line_s <= party.storms.began_s
    if limits.off_line_by_clock_s is not None:
        day.kept["off_line_by"] = off_line_s <= limits.off_line_by_clock_s
    for key, by_s in (("home_before_dark", limits.dark_clock_s), ("home_by", limits.home_by_clock_s)):
        if by_s is not None:
            day.kept[key] = day.home_s <= by_s
