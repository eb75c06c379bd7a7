"""The passing times of the card, and which places it leaves out first where there is no room for all."""

from __future__ import annotations

from dataclasses import dataclass

from handline.brief.words import latest_words
from handline.day.plan import PROBABILITIES, Passing, Plan
from handline.quantity import show_clock

_HALF = PROBABILITIES.index(0.50)
_NOTES = {"water": "water", "permit_check": "permit check", "bail_out": "way out"}
# What a party cannot do without, then what it looks for; everything else is left out before them.
TIMES_EM = (2.0, 1.7, 1.45, 1.2)
_ALWAYS = ("line_foot", "line_head", "summit")
_LOOKED_FOR = ("trailhead", "camp", "water", "permit_check", "bail_out")


@dataclass(frozen=True)
class PlaceRow:
    """One passing: ``latest`` is a clock time with ``day`` beside it on another day; ``says`` why there is none."""

    name: str
    note: str
    half: str
    latest: str
    day: str
    says: str


@dataclass(frozen=True)
class PlaceColumn:
    """The passings of one way."""

    title: str
    rows: tuple[PlaceRow, ...]


@dataclass(frozen=True)
class Places:
    """The passings in two columns. ``size`` is that of the latest times in ems; ``left_out`` is in words, or empty."""

    columns: tuple[PlaceColumn, ...]
    size: float
    left_out: str


def place_choices(plan: Plan, most: int) -> tuple[Places, ...]:
    """The passings of places up to a rank, the latest times in big type and then in smaller."""
    shown = kept_passings(plan, most)
    return tuple(Places(_columns(plan, shown), size, left_out_words(plan, shown)) for size in TIMES_EM)


def kept_passings(plan: Plan, most: int) -> tuple[Passing, ...]:
    """The passings of places up to a rank, start and end always: 2 every place, 0 what no party can do without."""
    last = len(plan.timetable) - 1
    return tuple(row for i, row in enumerate(plan.timetable) if i in (0, last) or _rank(plan, row) <= most)


def _rank(plan: Plan, passing: Passing) -> int:
    """0 where a party cannot do without it, 1 where it looks for it, 2 elsewhere."""
    decision, turning = plan.decision, plan.turned.turning_back
    decided = {decision.turn_back_at, decision.top_at, decision.night_at}
    decided |= {rule.place for rule in turning.rules} if turning is not None else set()
    if passing.kind in _ALWAYS or passing.name in decided:
        return 0
    return 1 if passing.kind in _LOOKED_FOR else 2


def _columns(plan: Plan, shown: tuple[Passing, ...]) -> tuple[PlaceColumn, ...]:
    """Up and down side by side; a way that never comes down in two halves."""
    rows = {way: tuple(_row(plan, passing) for passing in shown if passing.way == way) for way in ("up", "down")}
    if rows["up"] and rows["down"]:
        return PlaceColumn("On the way up", rows["up"]), PlaceColumn("On the way down", rows["down"])
    every = rows["up"] or rows["down"]
    half = (len(every) + 1) // 2
    return PlaceColumn("On the way", every[:half]), PlaceColumn("and on", every[half:])


def _row(plan: Plan, passing: Passing) -> PlaceRow:
    clock, _, day = latest_words(passing).partition(" ") if passing.latest_clock_s is not None else ("", "", "")
    return PlaceRow(
        name=passing.name,
        note=_note(plan, passing),
        half=show_clock(passing.arrive_clock_s[_HALF]),
        latest=clock,
        day=day,
        says="" if clock else latest_words(passing),
    )


def _note(plan: Plan, passing: Passing) -> str:
    notes = [_NOTES[passing.kind]] if passing.kind in _NOTES else []
    if passing is plan.timetable[0]:
        notes.append("the start")
    if passing.sleeps_until_clock_s is not None:
        notes.append(f"sleep, leave {show_clock(passing.sleeps_until_clock_s)}")
    if passing.leave_by_clock_s is not None:
        notes.append(f"by {show_clock(passing.leave_by_clock_s)} at the latest")
    return ", ".join(notes)


def left_out_words(plan: Plan, shown: tuple[Passing, ...]) -> str:
    """How many passings there is no room for; empty where all are shown."""
    count = len(plan.timetable) - len(shown)
    if not count:
        return ""
    return f"No room here for {count} more passing{'s' if count > 1 else ''}: their times are in the brief."
