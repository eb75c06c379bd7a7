"""From the contacts of a trip and its simulated days: when the party is overdue."""

from __future__ import annotations

import math

import numpy as np

from handline.day.plan_contacts import ContactsPlan
from handline.day.simulation import Days
from handline.quantity import say_clock, show_duration
from handline.trip.model import Trip

QUARTER_S = 900.0
DAY_S = 86400.0
_LATE = 0.90


def plan_contacts(trip: Trip, days: Days) -> ContactsPlan:
    """Who waits and whom to call as typed, and the time from which the party is overdue.

    Where no time is typed it is the first quarter of an hour at or after the time by which nine in ten simulated days
    are home, and the typed margin more.
    """
    typed = trip.contacts
    late_s = float(np.quantile(days.arrive_clock_s[-1], _LATE))
    if typed.overdue_clock_s is not None:
        start_s = trip.morning_clock_s
        overdue_s = typed.overdue_clock_s + (0.0 if typed.overdue_clock_s > start_s else DAY_S)
        early = " Before that: one day in ten is home later." if overdue_s < late_s else ""
        says = f"As typed; nine days in ten are home by {say_clock(late_s)}.{early}"
    else:
        overdue_s = QUARTER_S * math.ceil((late_s + typed.overdue_after_s) / QUARTER_S)
        says = f"Nine days in ten are home by {say_clock(late_s)}; {show_duration(typed.overdue_after_s)} are added."
    return ContactsPlan(
        leader=typed.leader or "",
        waiting=typed.waiting or "",
        call=typed.call,
        car=typed.car or "",
        names=tuple(member.name for member in trip.party.members),
        overdue_clock_s=overdue_s,
        overdue_says=says,
    )
