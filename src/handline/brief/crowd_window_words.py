"""When to be at the line, in words: what others cost on each way, half hour by half hour, and the best hour to come."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from handline.day.crowd_coming import HourToCome
from handline.day.plan_crowd import BestHour, CrowdPlan, CrowdWay, JoinCost
from handline.quantity import say_clock, show_clock, show_duration

# So far on both sides of the party's own hour the table goes; less than so much saved is not worth another start.
# [practice_line_wait]
REACH_S = 7200.0
WORTH_S = 600.0
_NOTHING_S = 30.0
# Less than this in the dark is dusk, not a walk by lamp.
_DARK_COUNTS_FROM_S = 60.0
_NONE = "No hour to join at the foot is recommended: whenever you start, no whole hour in the light keeps your limits."


@dataclass(frozen=True)
class CostRow:
    """One half hour; ``half_bar`` and ``long_bar`` are lengths of its bars in per cent of the longest of the table."""

    clock: str
    half: str
    long: str
    half_bar: float
    long_bar: float
    own: bool


@dataclass(frozen=True)
class WayShown:
    """One way over the line; ``rows`` are empty where every hour is alike."""

    title: str
    says: str
    rows: tuple[CostRow, ...]


@dataclass(frozen=True)
class CrowdShown:
    """The part of the brief about others on the line."""

    says: str
    source: str
    ways: tuple[WayShown, ...]
    best: str


def crowd_shown(crowd: CrowdPlan) -> CrowdShown:
    """The crowd of a plan, in words."""
    rows = {way.way: _near(way) for way in crowd.ways}
    longest_s = max((cost.long_s for costs in rows.values() for cost in costs), default=0.0)
    return CrowdShown(
        says=crowd.says,
        source=crowd.source,
        ways=tuple(_way(way, rows[way.way], longest_s) for way in crowd.ways),
        best=_best(crowd),
    )


def _near(way: CrowdWay) -> list[JoinCost]:
    """The half hours round the party's own."""
    return [
        cost
        for cost in way.hours
        if way.join_clock_s - REACH_S < cost.to_clock_s and cost.from_clock_s < way.join_clock_s + REACH_S
    ]


def _way(way: CrowdWay, costs: Sequence[JoinCost], longest_s: float) -> WayShown:
    return WayShown(
        title=f"Going {way.way}, at {way.place}",
        says=f"You join the queue about {say_clock(way.join_clock_s)}. {_costs(way.half_s, way.long_s)}",
        rows=tuple(_rows(way, costs, longest_s)),
    )


def _costs(half_s: float, long_s: float) -> str:
    if long_s < _NOTHING_S:
        return "On nine days in ten others cost you nothing."
    half = "nothing" if half_s < _NOTHING_S else f"{show_duration(half_s)} at most"
    return f"Others cost you {half} on half the days, and over {show_duration(long_s)} on one day in ten."


def _rows(way: CrowdWay, costs: Sequence[JoinCost], longest_s: float) -> Iterator[CostRow]:
    for cost in costs:
        yield CostRow(
            clock=f"{show_clock(cost.from_clock_s)} to {show_clock(cost.to_clock_s)}",
            half=_short(cost.half_s),
            long=_short(cost.long_s),
            half_bar=100.0 * cost.half_s / longest_s if longest_s else 0.0,
            long_bar=100.0 * cost.long_s / longest_s if longest_s else 0.0,
            own=cost.from_clock_s <= way.join_clock_s < cost.to_clock_s,
        )


def _short(cost_s: float) -> str:
    return "nothing" if cost_s < _NOTHING_S else show_duration(cost_s)


# --- the best hour ---------------------------------------------------------------------------------------------------


def _best(crowd: CrowdPlan) -> str:
    best = crowd.best
    if best is None:
        alike = not any(way.hours for way in crowd.ways)
        return "" if alike else _NONE
    hour = f"between {show_clock(best.from_clock_s)} and {show_clock(best.to_clock_s)}"
    if best.earlier_s == 0.0:
        return (
            f"Your own hour, {hour}, is the best: no other in the light and in time costs less on both ways together."
        )
    if best.saves_s < WORTH_S:
        saved = "under a minute" if best.saves_s < 60.0 else show_duration(best.saves_s)
        return f"Another hour saves little: the best, {hour}, saves {saved} on average, both ways together."
    lead = f"The best hour to join at the foot, in the light and in time, is {hour}"
    if _in_the_dark(best):
        # What costs the least waiting is not the best of a day that has to begin at night.
        lead = f"In the light and in time at the foot, others cost you least {hour}"
    return (
        f"{lead}: {_then(best)}. On average that saves {show_duration(best.saves_s)}, both ways together, for being "
        f"there {_sooner(best)}.{_asks(best)}"
    )


def _in_the_dark(best: BestHour) -> bool:
    return isinstance(best, HourToCome) and best.dark_s >= _DARK_COUNTS_FROM_S


def _asks(best: BestHour) -> str:
    """What that hour asks of the start, and what of it is in the dark."""
    if not isinstance(best, HourToCome):
        return ""
    early, late = (say_clock(clock_s) for clock_s in best.leave_clock_s)
    says = f" That means leaving between about {early} and {late}"
    if _in_the_dark(best):
        says += f", with up to {show_duration(best.dark_s)} of the way to the foot in the dark"
    if best.dark_on:
        says += f"; after a long wait you tie on in the dark, going {' and '.join(best.dark_on)}"
    return f"{says}: weigh that against what it saves." if _in_the_dark(best) or best.dark_on else f"{says}."


def _then(best: BestHour) -> str:
    up = f"on one day in ten others then cost over {show_duration(best.up_s[1])} going up"
    if best.up_s[1] < _NOTHING_S:
        up = "on nine days in ten others then cost nothing going up"
    if best.down_s is None:
        return up
    if best.down_s[1] < _NOTHING_S:
        return f"{up}, and nothing coming down"
    over = "" if best.up_s[1] >= _NOTHING_S else "on one day in ten "
    return f"{up}, and {over}over {show_duration(best.down_s[1])} coming down"


def _sooner(best: BestHour) -> str:
    if best.earlier_s > 0.0:
        return f"{show_duration(best.earlier_s)} sooner than planned"
    return f"{show_duration(-best.earlier_s)} later than planned"
