"""Latest passing times: for each passing, the latest clock time from which the limits are still met often enough."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise

import numpy as np

from handline.day.limits import DayLimits, chance_from
from handline.day.simulation import Days, Draws, Floats, Itinerary
from handline.weather.storms import StormHazard

# How far around the planned time the clock is searched, and in which steps.
_BEFORE_S, _AFTER_S = 24 * 3600.0, 30 * 3600.0
_HOUR_S, *_FINER_S = 3600.0, 600.0, 60.0
# Most latest times lie within so many hours of the planned one: more are walked only where these do not tell.
_HOURS_AT_ONCE = 6
# Enough days for a chance within about 0.7 points (one standard error at 90 %). The start is searched with all of them,
# so that it agrees with the chances shown.
LATEST_DAYS = 2000


# The slope of the chance at a latest time is read over this far to both sides.
_SLOPE_S = 600.0


_Chance = Callable[[Floats], Floats]


@dataclass(frozen=True)
class Latest:
    """Latest arrivals at every passing, (legs + 1,) [s after local midnight], and one standard error of each [s].

    The error is of the simulation alone; NaN where there is no latest time, and where the chance is so level there that
    it tells nothing. ``leave_camp_clock_s`` is when to leave the camp of a night out at the latest, NaN without one.
    """

    clock_s: Floats
    error_s: Floats
    leave_camp_clock_s: float = float("nan")
    leave_camp_error_s: float = float("nan")


def latest_passings(
    limits: DayLimits,
    itinerary: Itinerary,
    draws: Draws,
    storm: StormHazard,
    planned: Days,
    told: Callable[[float], None] = lambda share: None,
) -> Latest:
    """Latest arrival at every passing.

    The search begins at the earliest planned time. Where the limits are met then, the clock is followed on until
    the chance first falls under the wanted one; what comes after is not looked at, so that a lucky late hour (storms
    are over, but so is the day) is never offered. Where they are not, it is followed back to the last time they were.
    Until the party is off the line, no place is given a later time than a party gets there that passed the place before
    at its latest and then was slow.

    Parameters
    ----------
    planned : Days
        The days of the plan, from its start.

    Returns
    -------
    Latest
        To the minute before; for the first passing the latest departure. NaN where no time meets the limits, infinite
        where the chance never falls under the wanted one.

    Notes
    -----
    The error is that of the chance over its slope at the latest time; of a time that follows from the one before, it is
    that one's.
    """
    few = draws.first(LATEST_DAYS)
    slow_s = _slow_legs_s(planned)
    latest, error = np.full(itinerary.legs + 1, np.nan), np.full(itinerary.legs + 1, np.nan)
    for passing in range(itinerary.legs + 1):
        rough = partial(chance_from, limits, itinerary, few, storm, passing)
        close = rough if passing > 0 else partial(chance_from, limits, itinerary, draws, storm, passing)
        own_s = _last_minute(rough, close, float(planned.arrive_clock_s[passing].min()), limits.chance)
        error[passing] = _error_s(close, own_s, draws.days if passing == 0 else few.days)
        if 0 < passing < itinerary.off_line and np.isfinite(latest[passing - 1]) and not np.isnan(own_s):
            slow_there_s = float(np.floor((latest[passing - 1] + slow_s[passing - 1]) / 60.0)) * 60.0
            if slow_there_s < own_s:
                own_s, error[passing] = slow_there_s, error[passing - 1]
        latest[passing] = own_s
        told((passing + 1) / (itinerary.legs + 1))
    if itinerary.night is None:
        return Latest(latest, error)
    camp, leaving = itinerary.night, itinerary.leaving_camp()
    chance = partial(chance_from, replace(limits, camp_clock_s=None), leaving, draws, storm, camp.passing)
    leave_s = _last_minute(chance, chance, camp.start_clock_s, limits.chance)
    return Latest(latest, error, leave_s, _error_s(chance, leave_s, draws.days))


def _error_s(chance: _Chance, latest_s: float, days: int) -> float:
    if not np.isfinite(latest_s):
        return float("nan")
    before, here, after = (float(value) for value in chance(latest_s + _SLOPE_S * np.array([-1.0, 0.0, 1.0])))
    slope = (before - after) / (2.0 * _SLOPE_S)
    # Of a share of days; storms are not drawn, so it is no smaller than theirs.
    error = float(np.sqrt(max(here * (1.0 - here), 0.0) / days))
    return error / slope if slope > 0.0 else float("nan")


def _slow_legs_s(planned: Days) -> list[float]:
    """From arrival to arrival, stop and wait included, as long as nine days in ten take [s]."""
    return [float(np.quantile(after - before, 0.9)) for before, after in pairwise(planned.arrive_clock_s)]


def _last_minute(rough: _Chance, close: _Chance, planned_s: float, wanted: float) -> float:
    """Hour by hour with the rough chance, confirmed and then followed down to the minute with the close one."""
    bracket = _hour_of_the_fall(rough, planned_s, wanted)
    if rough is not close and not _confirmed(bracket, close, wanted):
        bracket = _hour_of_the_fall(close, planned_s, wanted)
    for step_s in _FINER_S:
        if not np.isfinite(bracket).all():
            break
        clock_s = np.arange(bracket[0], bracket[1] + 1.0, step_s)
        # Met at the first and missed at the last: that is known.
        missed = 1 + int(np.argmax(np.append(close(clock_s[1:-1]) < wanted, True)))
        bracket = float(clock_s[missed - 1]), float(clock_s[missed])
    return bracket[0]


def _confirmed(bracket: tuple[float, float], close: _Chance, wanted: float) -> bool:
    if not np.isfinite(bracket).all():
        return False
    before, after = close(np.array(bracket))
    return bool(before >= wanted > after)


def _hour_of_the_fall(chance: _Chance, planned_s: float, wanted: float) -> tuple[float, float]:
    """The hour in which the chance falls under the wanted one, looked for from the planned time on, or else back."""
    here_s, begin_s = (np.floor(clock_s / _HOUR_S) * _HOUR_S for clock_s in (planned_s, planned_s - _BEFORE_S))
    if chance(np.array([here_s]))[0] >= wanted:
        on_s = np.arange(here_s, planned_s + _AFTER_S + 1.0, _HOUR_S)
        missed = _first(on_s, lambda clock_s: chance(clock_s) < wanted)
        return (float("inf"), float("inf")) if missed is None else (float(on_s[missed - 1]), float(on_s[missed]))
    back_s = np.arange(here_s, begin_s - 1.0, -_HOUR_S)
    met = _first(back_s, lambda clock_s: chance(clock_s) >= wanted)
    return (float("nan"), float("nan")) if met is None else (float(back_s[met]), float(back_s[met - 1]))


def _first(clock_s: Floats, holds: Callable[[Floats], np.ndarray]) -> int | None:
    """Index of the first clock time at which it holds; None where it nowhere does."""
    for begin in range(0, clock_s.size, _HOURS_AT_ONCE):
        found = np.flatnonzero(holds(clock_s[begin : begin + _HOURS_AT_ONCE]))
        if found.size > 0:
            return begin + int(found[0])
    return None
