"""The party's own rules of turning back: how often they turn it round, and what the limits are then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from handline.day.limits import DayLimits, kept_share
from handline.day.night_setting import Camp
from handline.day.simulation import Days, Draws, Floats, Itinerary, walk
from handline.day.turning import foot_of_line
from handline.errors import Problem
from handline.route.route import Route
from handline.trip.model import Trip
from handline.weather.storms import StormHazard

DAY_S = 86400.0


@dataclass(frozen=True)
class TurnRule:
    """Who arrives at a passing on the way up after a clock time [s] turns back there."""

    passing: int
    after_clock_s: float


@dataclass(frozen=True)
class WithRules:
    """The days with the rules kept.

    ``turned`` is the chance of turning at each rule, in their order; ``top`` that of going all the way; ``kept`` the
    chance of each limit by key, "all" last. ``kept_at_top`` is the chance of going all the way and keeping all limits.
    Each ``error`` is one standard error.
    """

    turned: tuple[float, ...]
    top: float
    kept: Mapping[str, float]
    error: float
    kept_at_top: float
    home_clock_s: Floats


def set_turn_rules(trip: Trip, route: Route, camp: Camp | None, problems: list[Problem]) -> tuple[TurnRule, ...]:
    """The rules of a trip in the order of the way. Adds to ``problems`` what no rule can be."""
    rules = []
    for i, typed in enumerate(trip.limits.turn_back):
        key = f"limits.turn_back[{i}].at"
        if not trip.route.out_and_back:
            problems.append(
                Problem(
                    "the way home is not the way up, so where to go on turning back is not known",
                    mend="leave turn_back away, or plan the way out and back",
                    key=key,
                )
            )
            continue
        # Where the way turns of itself there is nothing to turn back from.
        on_the_way = range(1, len(route.legs) // 2)
        up = [j for j in on_the_way if route.points[j].name == typed.at]
        if not up:
            problems.append(
                Problem(
                    "the party turns back only at a place on the way up, after the start and before the top",
                    read=typed.at,
                    allowed=", ".join(route.points[j].name for j in on_the_way),
                    key=key,
                )
            )
            continue
        before_night = camp is not None and up[0] <= camp.stays
        start_s = trip.depart_clock_s if before_night else trip.morning_clock_s
        rules.append(TurnRule(up[0], _first_after(start_s, typed.after_clock_s)))
    return tuple(sorted(rules, key=lambda rule: rule.passing))


def _first_after(start_s: float, time_of_day_s: float) -> float:
    """The first such time of day after a start [s after midnight of the date]."""
    clock_s = time_of_day_s + DAY_S * np.ceil((start_s - time_of_day_s) / DAY_S)
    return float(clock_s if clock_s > start_s else clock_s + DAY_S)


def with_rules(
    limits: DayLimits,
    itinerary: Itinerary,
    draws: Draws,
    days: Days,
    storm: StormHazard,
    rules: Sequence[TurnRule],
) -> WithRules:
    """The days of the plan, each turned round where a rule says so.

    A day that turns at passing i goes on from passing ``legs - i``, the same place on the way home, and rests there as
    planned. Who turns at the foot of the line or before it was never on it, and keeps the limits of the line.

    Parameters
    ----------
    days : Days
        Walked from the start by ``draws``, as if nobody turned; arrivals of shape (days,) or (1,).

    Notes
    -----
    The way down is walked as tired as after the whole way up: a little too slow. Where all turn anyhow, a rule turns
    nobody.
    """
    arrive_s = np.stack(np.broadcast_arrays(*days.arrive_clock_s))
    plain = {
        key: np.array(np.broadcast_to(share, arrive_s[0].shape))
        for key, share in kept_share(limits, itinerary, days, storm).items()
    }
    home_s, on = arrive_s[-1].copy(), np.ones(arrive_s[0].shape, bool)
    turned = []
    for rule in rules:
        turns = on & (arrive_s[rule.passing] > rule.after_clock_s) & (2 * rule.passing < itinerary.legs)
        on &= ~turns
        turned.append(float(turns.mean()))
        if not turns.any():
            continue
        back = itinerary.legs - rule.passing
        home = walk(itinerary, draws.only(turns), arrive_s[rule.passing][turns], first=back)
        home_s[turns] = home.arrive_clock_s[-1]
        for key, share in _kept_turned(limits, itinerary, arrive_s[:, turns], home, storm, rule.passing).items():
            plain[key][turns] = share
    everything = plain["all"]
    return WithRules(
        turned=tuple(turned),
        top=float(on.mean()),
        kept={key: float(share.mean()) for key, share in plain.items()},
        error=float(everything.std() / np.sqrt(everything.size)),
        kept_at_top=float((everything * on).mean()),
        home_clock_s=home_s,
    )


def _kept_turned(
    limits: DayLimits, itinerary: Itinerary, arrive_s: Floats, home: Days, storm: StormHazard, turned_at: int
) -> Mapping[str, Floats]:
    """How surely days that turned keep each limit, (turned days,)."""
    # The passings left out are at the moment of turning: so the storm counts from the start of the day on.
    left_out = [home.arrive_clock_s[0]] * (itinerary.legs - 2 * turned_at - 1)
    whole = Days((*arrive_s[: turned_at + 1], *left_out, *home.arrive_clock_s), ())
    shares = dict(kept_share(limits, itinerary, whole, storm))
    if turned_at <= foot_of_line(itinerary):
        off_line = ("off_line_before_storm", "off_line_by")
        shares |= {key: np.ones_like(share) for key, share in shares.items() if key in off_line}
    everything = np.ones_like(shares["all"])
    for key, share in shares.items():
        if key != "all":
            everything = everything * share
    return shares | {"all": everything}
