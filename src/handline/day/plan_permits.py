"""The permits of the Plan: which the date needs and why, how each is got and by when, what it costs, and the chance."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PermitDeadline:
    """One date of a permit, still to be met.

    ``what`` is "opens", "closes", "result", "pay by", "pick up" or "walk-up". ``date`` is YYYY-MM-DD; ``clock_s`` [s
    after midnight of that date] is None where the whole day counts; ``where`` is a place to go to, else empty.
    ``days_left`` and ``past`` are None where no day was given to see it from; ``missed`` where it is past and what was
    to be done by then can no longer be.
    """

    what: str
    date: str
    clock_s: float | None
    where: str
    words: str
    days_left: int | None
    past: bool | None
    missed: bool


@dataclass(frozen=True)
class PermitChance:
    """The chance of getting a permit, or all of them.

    ``error`` is one standard error where it was simulated, else None. ``low`` and ``high`` are what nine in ten such
    counts of other years, or any way that permits may hang together, leave; None where there is no such span.
    """

    share: float
    error: float | None
    low: float | None
    high: float | None
    says: str


@dataclass(frozen=True)
class Permit:
    """A permit of the trip file, as the date, the state of the line and the party need it.

    ``why`` says why it is ``needed`` or not. ``ways``, ``fee`` and ``documents`` are words; ``deadlines`` are those
    still to be met, none where it is not needed, and to pick it up only where it is ``held``; ``next`` says what to do
    now and, failing that, then. ``chance`` is None where nothing is said about it, or it is held or not needed.
    ``gone`` where no way is left, as seen from the day given; ``against`` says what keeps this party from holding it.
    """

    name: str
    places_per_day: int | None
    checked_at: str
    held: bool
    needed: bool
    why: str
    largest_party: int | None
    ways: tuple[str, ...]
    fee: str
    documents: tuple[str, ...]
    chance: PermitChance | None
    deadlines: tuple[PermitDeadline, ...]
    next: tuple[str, ...]
    gone: bool
    against: tuple[str, ...]
