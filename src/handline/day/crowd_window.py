"""When to be at the line: what others cost the party by the half hour in which it joins the queue.

Read from the waits the day is simulated with; nothing is simulated anew.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal, cast

import numpy as np

from handline.day.crowd_coming import HourToCome
from handline.day.crowd_report import Pair
from handline.day.crowd_waits import FROM_CROWD
from handline.day.line_joining import Joins, joins_line
from handline.day.line_wait import Floats, LineWait, WaitByClock
from handline.day.load_hours import middle_day
from handline.day.plan_crowd import CrowdPlan, CrowdWay, JoinCost, WaitsFrom
from handline.day.subjects import Setting
from handline.line.geometry import DOWN, UP
from handline.sources import source

HOUR_S = 3600.0
# Half the days and nine in ten.
PAIR = (0.5, 0.9)
# Costs that differ by less read the same: then the hour nearest to the party's own is the best.
_ALIKE_S = 60.0
# So often the leaving is corrected: each time what is left is a fraction of what it was, and seconds are enough.
_LEAVE_STEPS = 5


def plan_crowd(setting: Setting, latest_clock_s: Sequence[float]) -> CrowdPlan:
    """What others cost on each way, and the best hour to come.

    Parameters
    ----------
    setting : Setting
    latest_clock_s : (passings,)
        The latest arrivals from which the limits are met [s after local midnight]; the first is the latest start. NaN
        where no time meets them, infinite where every time does. No hour is the best that does not keep the limits.

    Notes
    -----
    Sources: our_party_waits, our_crowd_rules, practice_line_wait.
    """
    joins = list(joins_line(setting))
    waits_from = cast(WaitsFrom, setting.waits_from)
    people = _people(setting) if waits_from == FROM_CROWD else None
    return CrowdPlan(
        waits_from=waits_from,
        says=_says(waits_from, people),
        source=source({"crowd": "our_party_waits", "guessed": "practice_line_wait"}[waits_from]).words
        if waits_from != "typed"
        else "",
        people=None if people is None else people[0],
        ways=tuple(_way(setting, one) for one in joins),
        best=_best({one.way: one for one in joins}, setting, latest_clock_s),
    )


def _people(setting: Setting) -> tuple[int, str] | None:
    # The rooms of the crowd are only loaded where there is one.
    from handline.day.crowd_setting import people_of

    return people_of(setting.trip)


def _says(waits_from: WaitsFrom, people: tuple[int, str] | None) -> str:
    if people is not None:
        return f"From simulated days with {people[0]} people on the line ({people[1]}), your party among them."
    if waits_from == "guessed":
        return "Guessed: nothing in the trip file says how many people come. The guess is the same at every hour."
    return "As typed in the trip file: the same at every hour."


def _way(setting: Setting, joins: Joins) -> CrowdWay:
    half_s, long_s = cost_quantiles_s(joins.leg.wait, joins.clock_s)
    return CrowdWay(
        way=cast(Literal["up", "down"], joins.way),
        place=setting.route.points[joins.passing].name,
        join_clock_s=joins.clock_s,
        half_s=half_s,
        long_s=long_s,
        hours=tuple(_hours(joins.leg.wait)),
    )


def cost_quantiles_s(wait: LineWait, join_clock_s: float) -> Pair:
    """What half the days and nine in ten lose at most, before the line and on it together [s]."""
    if isinstance(wait, WaitByClock):
        at = int(np.searchsorted(wait.edges_clock_s, join_clock_s, side="right")) - 1
        return pair_of(_costs_s(wait)[min(max(at, 0), wait.wait_s.shape[0] - 1)])
    half_s, long_s = wait.quantiles_s(join_clock_s, PAIR)
    return half_s, long_s


def _costs_s(wait: WaitByClock) -> Floats:
    return wait.wait_s + wait.held_s


def pair_of(values: Floats) -> Pair:
    """What half of them stay under, and nine in ten."""
    half, long = np.quantile(values, PAIR, method="higher").tolist()
    return half, long


def _hours(wait: LineWait) -> Iterator[JoinCost]:
    # One bin is that of every hour.
    if isinstance(wait, WaitByClock) and wait.wait_s.shape[0] > 1:
        edges_s = wait.edges_clock_s.tolist()
        for from_s, to_s, costs_s in zip(edges_s[:-1], edges_s[1:], _costs_s(wait), strict=True):
            yield JoinCost(from_s, to_s, *pair_of(costs_s))


# --- the best hour ---------------------------------------------------------------------------------------------------


def _best(joins: Mapping[str, Joins], setting: Setting, latest_clock_s: Sequence[float]) -> HourToCome | None:
    """The hour of the clock with the least mean cost of both ways; of hours alike the one nearest to the party's own.

    The party comes back to the line as long after as on its middle day.
    """
    up, down = joins.get(UP), joins.get(DOWN)
    if up is None or not isinstance(up.leg.wait, WaitByClock):
        return None
    own_s = _mean_s(up, down, up.clock_s)
    hours = [
        (from_s, max(_mean_s(up, down, from_s + 0.25 * HOUR_S), _mean_s(up, down, from_s + 0.75 * HOUR_S)))
        for from_s in _open_hours(setting, up, up.leg.wait, latest_clock_s)
    ]
    if not hours:
        return None
    least_s = min(cost_s for _, cost_s in hours)
    alike = [one for one in hours if one[1] < least_s + _ALIKE_S]
    from_s, cost_s = min(alike, key=lambda one: abs(one[0] + 0.5 * HOUR_S - up.clock_s))
    up_s, down_s = _worse(up, from_s), None if down is None else _worse(down, from_s + _between_s(up, down))
    own = _sooner_s(up.clock_s, from_s) == 0.0
    start_s = setting.trip.morning_clock_s
    leave_s = (start_s, start_s) if own else (_leave_s(setting, up, from_s), _leave_s(setting, up, from_s + HOUR_S))
    return HourToCome(
        from_clock_s=from_s,
        to_clock_s=from_s + HOUR_S,
        up_s=up_s,
        down_s=down_s,
        saves_s=own_s - cost_s,
        earlier_s=_sooner_s(up.clock_s, from_s),
        leave_clock_s=leave_s,
        dark_s=_dark_s(setting, leave_s[0], _joins_if(setting, up, leave_s[0])),
        dark_on=tuple(_dark_on(setting, up, down, from_s, up_s[1], 0.0 if down_s is None else down_s[1])),
    )


def _sooner_s(join_s: float, from_s: float) -> float:
    """How much sooner to come; 0 within the hour, below 0 where later."""
    if join_s < from_s:
        return join_s - from_s
    return max(0.0, join_s - (from_s + HOUR_S))


def _between_s(up: Joins, down: Joins) -> float:
    return down.clock_s - up.clock_s


def _mean_s(up: Joins, down: Joins | None, join_s: float) -> float:
    """The mean cost of both ways of who joins at the foot at this time [s]: means add up, quantiles do not."""
    mean_s = sum(up.leg.wait.mean_s(join_s))
    return mean_s if down is None else mean_s + sum(down.leg.wait.mean_s(join_s + _between_s(up, down)))


def _worse(joins: Joins, from_s: float) -> Pair:
    """The greater cost of the two half hours of an hour."""
    early, late = (cost_quantiles_s(joins.leg.wait, from_s + share * HOUR_S) for share in (0.25, 0.75))
    return max(early[0], late[0]), max(early[1], late[1])


# --- in the light and in time ----------------------------------------------------------------------------------------


def _open_hours(setting: Setting, up: Joins, wait: WaitByClock, latest_clock_s: Sequence[float]) -> Iterator[float]:
    """The hours in the light that keep the limits: where each begins [s]."""
    first_s, last_s = _open_s(setting, up, latest_clock_s)
    from_start_s = _last_from_start_s(setting, up, latest_clock_s)
    for from_s in wait.edges_clock_s[:-2].tolist():
        # Who joins in the hour of the plan leaves as planned; to join at any time of another, leave for its end.
        own = _sooner_s(up.clock_s, from_s) == 0.0
        in_time = (up.clock_s if own else from_s + HOUR_S) <= from_start_s
        if in_time and first_s <= from_s and from_s + HOUR_S <= last_s:
            yield from_s


def _open_s(setting: Setting, up: Joins, latest_clock_s: Sequence[float]) -> Pair:
    """From first light until last light, or until the latest time at the foot and its stop if that is sooner [s].

    Where the foot has no latest time, the start alone says which hours keep the limits.
    """
    light = setting.light
    first_s, last_s = light.civil_dawn_clock_s, light.civil_dusk_clock_s
    latest_s = latest_clock_s[up.passing] + float(setting.itinerary.stop_s[up.passing])
    # Where it does not get light or dark on this day, any hour is as good.
    return (
        first_s if math.isfinite(first_s) else -math.inf,
        min(last_s if math.isfinite(last_s) else math.inf, math.inf if math.isnan(latest_s) else latest_s),
    )


def _last_from_start_s(setting: Setting, up: Joins, latest_clock_s: Sequence[float]) -> float:
    """When a party joins that leaves at the latest start [s]: whoever joins later misses its limits from the start on.

    Below every time where no start meets them. After a night out the latest start says nothing of the morning: then it
    is the latest time at the foot alone that counts, and without one no hour does.
    """
    leave_by_s, nothing_there = latest_clock_s[0], math.isnan(latest_clock_s[up.passing])
    if setting.itinerary.night is not None:
        return -math.inf if nothing_there else math.inf
    # Where this start leaves no time at the foot, only one before it can.
    if math.isnan(leave_by_s) or (nothing_there and leave_by_s >= setting.trip.morning_clock_s):
        return -math.inf
    return _joins_if(setting, up, leave_by_s) if math.isfinite(leave_by_s) else leave_by_s


def _joins_if(setting: Setting, up: Joins, leave_s: float) -> float:
    """When the party joins the queue at the foot on its middle day if it leaves then, from its camp or not [s]."""
    itinerary, start_s = setting.itinerary, leave_s
    if itinerary.night is not None:
        itinerary = replace(itinerary, night=replace(itinerary.night, start_clock_s=leave_s))
        start_s = setting.trip.depart_clock_s
    arrive_s = middle_day(itinerary, start_s).arrive_clock_s[up.passing]
    return float(itinerary.ready_clock_s(up.passing, arrive_s))


def _leave_s(setting: Setting, up: Joins, join_s: float) -> float:
    """When to leave so as to join the queue at a time [s]."""
    leave_s = setting.trip.morning_clock_s + join_s - up.clock_s
    for _ in range(_LEAVE_STEPS):
        # The way takes longer in the dark, so leaving as much sooner as one wants to be there is not enough.
        leave_s += join_s - _joins_if(setting, up, leave_s)
    return leave_s


def _dark_s(setting: Setting, from_s: float, to_s: float) -> float:
    """How much of a while is dark [s]."""
    spans_s = setting.itinerary.dark_spans_clock_s.tolist()
    return float(sum(max(0.0, min(to_s, end_s) - max(from_s, start_s)) for start_s, end_s in spans_s))


def _dark_on(
    setting: Setting, up: Joins, down: Joins | None, from_s: float, up_s: float, down_s: float
) -> Iterator[Literal["up", "down"]]:
    """The ways on which the party ties on in the dark if it joins late in the hour and waits as on a long day."""
    if _dark_s(setting, from_s, from_s + HOUR_S + up_s) > 0.0:
        yield "up"
    if down is not None:
        back_s = from_s + _between_s(up, down)
        if _dark_s(setting, back_s, back_s + HOUR_S + up_s + down_s) > 0.0:
            yield "down"
