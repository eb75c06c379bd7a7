"""From the contacts of a trip and its simulated days: when the party is overdue."""

from __future__ import annotations

import math

import numpy as np

from handline.day.plan import Finding
from handline.day.plan_contacts import ContactsPlan
from handline.day.simulation import Days
from handline.quantity import say_clock, show_duration
from handline.trip.model import Trip

QUARTER_S = 900.0
DAY_S = 86400.0
_LATE = 0.90


def plan_contacts(trip: Trip, days: Days, latest_home_s: float, home_by_s: float | None) -> ContactsPlan:
    """Who waits and whom to call as typed, and the time from which the party is overdue.

    Where no time is typed it is the first quarter of an hour at or after the time by which nine in ten simulated days
    are home, and the typed margin more.

    Parameters
    ----------
    latest_home_s : float
        The latest time home [s after local midnight]; not finite where there is none.
    home_by_s : float, optional
        The party's own limit for being home, on the same clock.
    """
    typed = trip.contacts
    overdue_s, says = _overdue(trip, float(np.quantile(days.arrive_clock_s[-1], _LATE)))
    later = [clock_s for clock_s in (latest_home_s, home_by_s or 0.0) if math.isfinite(clock_s) and clock_s > overdue_s]
    if later:
        start = say_clock(trip.morning_clock_s)
        says += f" That is for a start at {start}: who leaves later tells whoever waits a later time."
    return ContactsPlan(
        leader=typed.leader or "",
        waiting=typed.waiting or "",
        call=typed.call,
        car=typed.car or "",
        names=tuple(member.name for member in trip.party.members),
        overdue_clock_s=overdue_s,
        overdue_says=says,
        home_by_clock_s=home_by_s,
        later_home_clock_s=later[0] if later else None,
    )


def _overdue(trip: Trip, late_s: float) -> tuple[float, str]:
    """From when on [s], and what that stands on."""
    typed = trip.contacts
    if typed.overdue_clock_s is not None:
        start_s = trip.morning_clock_s
        overdue_s = typed.overdue_clock_s + (0.0 if typed.overdue_clock_s > start_s else DAY_S)
        early = " Before that: one day in ten is home later." if overdue_s < late_s else ""
        return overdue_s, f"As typed; nine days in ten are home by {say_clock(late_s)}.{early}"
    return (
        QUARTER_S * math.ceil((late_s + typed.overdue_after_s) / QUARTER_S),
        f"Nine days in ten are home by {say_clock(late_s)}; {show_duration(typed.overdue_after_s)} are added, up to "
        "the next quarter hour.",
    )


def contacts_findings(contacts: ContactsPlan, start_clock_s: float) -> tuple[Finding, ...]:
    """That a party may keep its limits and still be called overdue."""
    if contacts.later_home_clock_s is None:
        return ()
    typed = contacts.later_home_clock_s == contacts.home_by_clock_s
    overdue, home = say_clock(contacts.overdue_clock_s), say_clock(contacts.later_home_clock_s)
    return (
        Finding(
            "heed",
            "overdue_before_latest",
            f"You are overdue from {overdue}, and your {'limit for being' if typed else 'latest time'} home is {home}: "
            "help may be called while all is well. If you leave later than "
            f"{say_clock(start_clock_s)}, tell whoever waits a later time.",
            "Or type a later time as contacts.overdue.",
        ),
    )
