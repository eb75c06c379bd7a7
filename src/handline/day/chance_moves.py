"""What moves the chance, one thing at a time, and what the spread of the day's length is made of."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from handline.day.drawn_parts import DrawnParts, at_pace, draw_parts, log_pace, on_line_legs, put_together
from handline.day.limits import DayLimits, kept_share
from handline.day.simulation import Floats, Itinerary, RockClock, walk
from handline.line.friction import ROCKS
from handline.weather.storms import StormHazard

# Each thing is moved to the ends between which eight days in ten lie, or by a plain amount. Common practice, no source.
LOW, HIGH = 0.10, 0.90
START_MOVE_S = 1800.0
STOP_TIMES, STORM_TIMES = 1.5, 2.0

# The second set of days, which the share of each source is held against, is a stream of its own.
_OTHER_DAYS = 7919


@dataclass(frozen=True)
class Day:
    """All that a chance is computed from; a move changes one thing of it."""

    limits: DayLimits
    itinerary: Itinerary
    parts: DrawnParts
    storm: StormHazard
    start_clock_s: float

    def kept(self) -> Floats:
        """How surely each day keeps every limit, shape (days,)."""
        draws = put_together(self.itinerary, self.parts)
        days = walk(self.itinerary, draws, np.array([self.start_clock_s]))
        return kept_share(self.limits, self.itinerary, days, self.storm)["all"]


@dataclass(frozen=True)
class Moved:
    """The chance of all limits with one thing moved. ``change`` is against the plan, as a share, with its error."""

    says: str
    chance: float
    change: float
    error: float


@dataclass(frozen=True)
class Move:
    """One thing, and the chance with it moved either way: first what should help, then what should hurt."""

    key: str
    better: Moved
    worse: Moved

    @property
    def span(self) -> float:
        """From the lowest to the highest of the chances as planned, with it better and with it worse, as a share."""
        changes = (0.0, self.better.change, self.worse.change)
        return max(changes) - min(changes)


def chance_moves(
    limits: DayLimits, itinerary: Itinerary, parts: DrawnParts, storm: StormHazard, start_clock_s: float
) -> tuple[Move, ...]:
    """What one thing at a time does to the chance of all limits, the greatest span first.

    Everything else is drawn as in the plan, with the same draws: pace at its 10th and 90th percentile on all days, the
    waits before the line at theirs, the start half an hour earlier and later, stops half as long and half as long
    again, storms half and twice as often (in their hazard), the rock dry and wet all day.

    Parameters
    ----------
    parts : DrawnParts
        The days of the plan, taken apart.
    """
    day = Day(limits, itinerary, parts, storm, start_clock_s)
    plain = day.kept()
    moves = [
        Move(key, *(_moved(plain, move(day), says) for says, move in either.items())) for key, either in _MOVES.items()
    ]
    return tuple(sorted(moves, key=lambda move: -move.span))


def _moved(plain: Floats, day: Day, says: str) -> Moved:
    kept = day.kept()
    change = kept - plain
    return Moved(says, float(kept.mean()), float(change.mean()), float(change.std() / np.sqrt(change.size)))


def _pace_at(share: float) -> Callable[[Day], Day]:
    def moved(day: Day) -> Day:
        pace = log_pace(day.parts)
        return replace(day, parts=at_pace(day.parts, np.quantile(pace, share) - pace))

    return moved


def _start_by(later_s: float) -> Callable[[Day], Day]:
    """Of a night out the start in the morning; who sets out for the camp is not hurried by it."""

    def moved(day: Day) -> Day:
        night = day.itinerary.night
        if night is None:
            return replace(day, start_clock_s=day.start_clock_s + later_s)
        later = replace(night, start_clock_s=night.start_clock_s + later_s)
        return replace(day, itinerary=replace(day.itinerary, night=later))

    return moved


def _waits_at(share: float) -> Callable[[Day], Day]:
    def moved(day: Day) -> Day:
        normal = np.full_like(day.parts.wait_normal, NormalDist().inv_cdf(share))
        return replace(day, parts=replace(day.parts, wait_normal=normal))

    return moved


def _stops_times(times: float) -> Callable[[Day], Day]:
    return lambda day: replace(day, itinerary=replace(day.itinerary, stop_s=day.itinerary.stop_s * times))


def _storms_times(times: float) -> Callable[[Day], Day]:
    return lambda day: replace(day, storm=StormHazard(day.storm.clock_s, day.storm.hazard * times))


def _rock_all_day(rock: str) -> Callable[[Day], Day]:
    def moved(day: Day) -> Day:
        still = RockClock(0.0, np.array([[list(ROCKS).index(rock)]], np.int8))
        parts = replace(day.parts, member=np.zeros_like(day.parts.member))
        return replace(day, itinerary=replace(day.itinerary, rock=still), parts=parts)

    return moved


# For each thing what should help, then what should hurt.
_MOVES: Mapping[str, Mapping[str, Callable[[Day], Day]]] = {
    "pace": {
        "as fast as on one day in ten": _pace_at(LOW),
        "as slow as on one day in ten": _pace_at(HIGH),
    },
    "start": {
        "start 30 min earlier": _start_by(-START_MOVE_S),
        "start 30 min later": _start_by(START_MOVE_S),
    },
    "wait": {
        "waits as short as one in ten": _waits_at(LOW),
        "waits as long as one in ten": _waits_at(HIGH),
    },
    "storm": {
        "storms half as often": _storms_times(1.0 / STORM_TIMES),
        "storms twice as often": _storms_times(STORM_TIMES),
    },
    "rock": {
        "rock dry all day": _rock_all_day("dry"),
        "rock wet all day": _rock_all_day("wet"),
    },
    "stops": {
        "stops half as long": _stops_times(2.0 - STOP_TIMES),
        "stops half as long again": _stops_times(STOP_TIMES),
    },
}


@dataclass(frozen=True)
class SpreadShare:
    """How much of the variance of the day's length one source makes, 0 to 1, with its standard error.

    ``seen`` is False where the estimate did not come out above 0: then the share is 0 within its error.
    """

    key: str
    share: float
    error: float
    seen: bool = True


@dataclass(frozen=True)
class LengthSpread:
    """The spread of the day's length: ``sigma_s``, and the shares of its variance, the greatest first.

    What the sources do only with each other is "together", the last; all add up to 1. Where nothing varies there are
    none.
    """

    sigma_s: float
    shares: tuple[SpreadShare, ...]


def length_spread(itinerary: Itinerary, days: int, seed: int, start_clock_s: float) -> LengthSpread:
    """The share of each source in the variance of the day's length.

    A source is held as on a first set of days while everything else is drawn anew: what the two lengths still have in
    common is its own. With Y over a first set of days A and a second B, and B with source i taken from A as B_i,

    ::

        V_i = mean( (Y_A - mean Y) (Y_Bi - Y_B) ),   share_i = V_i / Var(Y)

    which is Var(E[Y | source i]) in the law of total variance; each set is used as A and as B, and the two averaged.
    The dark draws nothing of its own: its share is how much of the variance is gone where it is light all day, and the
    sources are then held still on the days without dark.

    Returns
    -------
    LengthSpread

    Notes
    -----
    Where the dark narrows the spread it has no share, and the sources are held still on the days as they are. Should
    the errors of the shares carry their sum above 1, all are made smaller in proportion and nothing is left together.

    Sources
    -------
    saltelli_2010.
    """
    sets = draw_parts(itinerary, days, seed), draw_parts(itinerary, days, seed + _OTHER_DAYS)
    lengths = [_length_s(itinerary, parts, start_clock_s) for parts in sets]
    variance = float(np.mean([length_s.var() for length_s in lengths]))
    if variance <= 0.0:
        return LengthSpread(0.0, ())
    shares = list(_by_source(itinerary, sets, start_clock_s, variance))
    if itinerary.dark_factor != 1.0 and itinerary.dark_spans_clock_s.size:
        light = replace(itinerary, dark_factor=1.0)
        gone = _gone_by_light(lengths, [_length_s(light, parts, start_clock_s) for parts in sets], variance)
        if gone.share > 0.0:
            shares = [*_by_source(light, sets, start_clock_s, variance), gone]
        else:
            shares.append(replace(gone, share=0.0, seen=False))
    return LengthSpread(float(np.sqrt(variance)), _adding_up(shares))


def _length_s(itinerary: Itinerary, parts: DrawnParts, start_clock_s: float) -> Floats:
    days = walk(itinerary, put_together(itinerary, parts), np.array([start_clock_s]))
    return days.arrive_clock_s[-1] - start_clock_s


# Each takes the second set, and from the first what belongs to one source.
_SOURCES: Mapping[str, tuple[str, ...]] = {
    "pace": ("party_s",),
    "legs": ("leg_noise",),
    "waits": ("wait_normal",),
    "passage": ("passage",),
    "rock": ("member",),
}


def _by_source(
    itinerary: Itinerary, sets: tuple[DrawnParts, DrawnParts], start_clock_s: float, variance: float
) -> Iterator[SpreadShare]:
    first, second = sets
    lengths = [_length_s(itinerary, parts, start_clock_s) for parts in sets]
    middle = float(np.concatenate(lengths).mean())
    for key, names in _SOURCES.items():
        if key == "rock" and not _rock_matters(itinerary):
            continue
        held = [
            _length_s(itinerary, replace(into, **{name: getattr(of, name) for name in names}), start_clock_s)
            for of, into in ((first, second), (second, first))
        ]
        common = 0.5 * ((lengths[0] - middle) * (held[0] - lengths[1]) + (lengths[1] - middle) * (held[1] - lengths[0]))
        error = float(common.std() / np.sqrt(common.size)) / variance
        share = float(common.mean()) / variance
        yield SpreadShare(key, max(share, 0.0), error, seen=share > 0.0)


def _rock_matters(itinerary: Itinerary) -> bool:
    return itinerary.rock.members > 1 and bool(on_line_legs(itinerary).any())


def _gone_by_light(lengths: list[Floats], light: list[Floats], variance: float) -> SpreadShare:
    """What of the variance is gone without the dark."""
    squares = [
        (all_s - all_s.mean()) ** 2 - (light_s - light_s.mean()) ** 2
        for all_s, light_s in zip(lengths, light, strict=True)
    ]
    gone = np.concatenate(squares) / variance
    return SpreadShare("dark", float(gone.mean()), float(gone.std() / np.sqrt(gone.size)))


def _adding_up(shares: list[SpreadShare]) -> tuple[SpreadShare, ...]:
    total = sum(one.share for one in shares)
    if total > 1.0:
        shares = [replace(one, share=one.share / total) for one in shares]
    error = float(np.sqrt(sum(one.error**2 for one in shares)))
    together = SpreadShare("together", max(0.0, 1.0 - total), error, seen=total < 1.0)
    return (*sorted(shares, key=lambda one: -one.share), together)
