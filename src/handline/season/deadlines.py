"""Deadlines of the permits a day needs: what to do by when, and which are past."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from handline.season.permit_rules import (
    ByDraw,
    FirstCome,
    PermitRule,
    WalkUp,
    moment,
    result_day,
    season_year,
)

What = Literal["opens", "closes", "result", "pay by", "pick up", "walk-up"]
_ORDER: tuple[What, ...] = ("opens", "closes", "result", "pay by", "pick up", "walk-up")
"""Which comes first of those on one day."""
_LAST_S = 24 * 3600.0
MISSED: tuple[What, ...] = ("closes", "pay by", "pick up", "walk-up")
"""Past one of these something can no longer be done; past the others it can."""


@dataclass(frozen=True)
class Deadline:
    """One date of one permit. ``clock_s`` [s after local midnight] where a time of day is known."""

    day: date
    clock_s: float | None
    what: What
    permit: str
    words: str


@dataclass(frozen=True)
class Standing:
    """A deadline as seen from a day: ``days_left`` is below 0 once it is past."""

    deadline: Deadline
    days_left: int
    past: bool

    @property
    def missed(self) -> bool:
        """Past, and what was to be done by then can no longer be."""
        return self.past and self.deadline.what in MISSED

    @property
    def words(self) -> str:
        """ "in 12 days", "today", "3 days ago"."""
        days = abs(self.days_left)
        if not days:
            return "earlier today" if self.past else "today"
        count = f"{days} day" if days == 1 else f"{days} days"
        return f"{count} ago" if self.past else f"in {count}"


def deadlines(permits: Sequence[PermitRule], day: date) -> tuple[Deadline, ...]:
    """Every deadline of permits that a day needs, in order of time.

    Parameters
    ----------
    permits : sequence of PermitRule
        Those the day needs, as ``permit_rules.needed`` gives them.
    day : date
        The first day on the mountain.

    Raises
    ------
    MissingDayError
        A year has no such day.
    ValueError
        Days after the result of a draw, and there is none. ``permit_contradictions`` tells both in words.

    Sources: our_permit_rules.
    """
    found = (deadline for permit in permits for deadline in _of_one(permit, day))
    return tuple(sorted(found, key=_time_order))


def standings(found: Sequence[Deadline], today: date, now_clock_s: float | None = None) -> tuple[Standing, ...]:
    """Deadlines as seen from a day, in the order given.

    A deadline of today is past only where both its own time of day and the present one are known; without them it may
    still be met, and is to be looked at now.
    """
    return tuple(_standing(deadline, today, now_clock_s) for deadline in found)


def _of_one(permit: PermitRule, day: date) -> Iterator[Deadline]:
    year, name = season_year(permit, day), permit.name
    for way in permit.ways:
        match way:
            case ByDraw():
                yield from _of_draw(permit, way, day, year)
            case FirstCome(opens=opens, opens_clock_s=clock_s):
                words = f'"{name}" opens: ask at once, who comes first gets it{_papers(permit)}'
                yield Deadline(moment(opens, day, year), clock_s, "opens", name, words)
            case WalkUp(clock_s=clock_s, given_out=given_out, where=where):
                at = f" at {where}" if where else ""
                words = f'Stand in line for "{name}"{at}{_papers(permit)}'
                yield Deadline(moment(given_out, day, year), clock_s, "walk-up", name, words)
    result = result_day(permit, day)
    if permit.pay_by is not None:
        words = f'Pay for "{name}" by the end of this day, or it goes to others{_fees(permit)}'
        yield Deadline(moment(permit.pay_by, day, year, result), None, "pay by", name, words)
    if permit.pick_up is not None:
        at = f" at {permit.pick_up_at}" if permit.pick_up_at else ""
        words = f'Pick up "{name}"{at} by the end of this day{_papers(permit)}'
        yield Deadline(moment(permit.pick_up, day, year, result), None, "pick up", name, words)


def _of_draw(permit: PermitRule, way: ByDraw, day: date, year: int) -> Iterator[Deadline]:
    name = permit.name
    opens, closes, result = (moment(when, day, year) for when in (way.opens, way.closes, way.result))
    yield Deadline(
        opens, way.opens_clock_s, "opens", name, f'Applications for "{name}" open: apply any time until they close'
    )
    yield Deadline(closes, way.closes_clock_s, "closes", name, f'Last day to apply for "{name}"{_papers(permit)}')
    after = ", and pay in time" if permit.pay_by is not None else ""
    yield Deadline(result, None, "result", name, f'The draw for "{name}" is told: look it up{after}')


def _papers(permit: PermitRule) -> str:
    return f"; have ready: {', '.join(permit.documents)}" if permit.documents else ""


def _fees(permit: PermitRule) -> str:
    return "; " + " and ".join(fee.words for fee in permit.fees) if permit.fees else ""


def _standing(deadline: Deadline, today: date, now_clock_s: float | None) -> Standing:
    left = (deadline.day - today).days
    earlier = left == 0 and deadline.clock_s is not None and now_clock_s is not None and deadline.clock_s < now_clock_s
    return Standing(deadline, left, left < 0 or earlier)


def _time_order(deadline: Deadline) -> tuple[date, float, int, str]:
    # Without a time of day an opening counts from midnight and everything else until the next.
    usual = 0.0 if deadline.what == "opens" else _LAST_S
    clock_s = usual if deadline.clock_s is None else deadline.clock_s
    return deadline.day, clock_s, _ORDER.index(deadline.what), deadline.permit
