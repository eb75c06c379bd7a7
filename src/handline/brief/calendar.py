"""The day and the dates of its permits as an iCalendar file (RFC 5545).

The same plan gives the same bytes, and an entry keeps its name (UID) when the plan changes: a calendar that reads the
file again moves the entry instead of doubling it. Times are written in UTC, dates without a time as whole days.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from handline.brief.permit_words import TO_DO
from handline.brief.words import SLOWER_THAN_PLANNED, latest_words
from handline.day.plan import PROBABILITIES, Permit, PermitDeadline, Plan
from handline.quantity import say_clock, show_clock, show_share
from handline.sky.zones import midnight_utc_s

if TYPE_CHECKING:
    from icalendar import Event

CALENDAR_NAME = "plan.ics"
# When to be reminded, all of it common practice: so many days ahead, and on the day itself. [practice_reminders]
DAYS_AHEAD = (7, 1)
WHOLE_DAY_REMINDED = timedelta(hours=9)
BEFORE_A_TIME = timedelta(hours=2)
EVENING_BEFORE = timedelta(hours=6)
"""How long before midnight the day on the mountain is called to mind."""
_NAMES = UUID("c1785032-4dc4-453c-afcd-9b244a2da182")
"""Where the names of our entries live."""
_DAY = timedelta(days=1)
_HALF, _HOME = PROBABILITIES.index(0.50), PROBABILITIES.index(0.90)


def calendar_of(plan: Plan) -> bytes:
    """The day from the start to when nine in ten are home, and every date of a permit that is not past.

    Returns
    -------
    bytes
        An iCalendar file in UTF-8, the same for the same plan.

    Sources: rfc_5545, practice_reminders.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", f"-//Handline//Handline {plan.provenance.version}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add_component(_the_day(plan))
    for event in _deadlines(plan):
        calendar.add_component(event)
    found: bytes = calendar.to_ical()
    return found


def _the_day(plan: Plan) -> Event:
    start_s, home_s = plan.timetable[0].arrive_clock_s[_HALF], plan.timetable[-1].arrive_clock_s[_HOME]
    midnight = datetime.fromtimestamp(midnight_utc_s(date.fromisoformat(plan.date), plan.zone), UTC)
    event = _event(plan, "the day", plan.name)
    event.add("dtstart", midnight + timedelta(seconds=round(start_s)))
    event.add("dtend", midnight + timedelta(minutes=math.ceil(home_s / 60.0)))
    event.add("location", plan.timetable[0].name)
    start = plan.timetable[0]
    # A calendar leads to these numbers rather than to the name: never to the slab.
    if start.latitude_deg is not None and start.longitude_deg is not None:
        event.add("geo", (round(start.latitude_deg, 6), round(start.longitude_deg, 6)))
    event.add("description", _description(plan))
    since_midnight = timedelta(seconds=round(start_s % _DAY.total_seconds()))
    _remind(event, -(since_midnight + EVENING_BEFORE), f"Tomorrow: {plan.name}")
    return event


def _description(plan: Plan) -> str:
    """What to have at hand on the day: the decision, latest passing times, permits, cautions."""
    decision = plan.decision
    by = "" if decision.leave_by_clock_s is None else f"; {say_clock(decision.leave_by_clock_s)} at the latest"
    leave = f"Leave {say_clock(decision.start_clock_s)} as planned{by}."
    if decision.set_out_clock_s is not None:
        leave = f"Set out {say_clock(decision.set_out_clock_s)} for the night at {decision.night_at}. {leave}"
    lines = [
        f"{decision.level.upper()}: {decision.headline} {decision.why}",
        "",
        leave,
        f"Clock times are {plan.timezone}. Half the days are there by the first time; the second is the latest from "
        f"which your limits still hold in {show_share(plan.wanted_chance)} of days, if no storm has begun:",
    ]
    lines += [
        f"{row.name} ({row.way}): {show_clock(row.arrive_clock_s[_HALF])}, {latest_words(row)}"
        for row in plan.timetable[1:]
    ]
    lines += [
        "",
        SLOWER_THAN_PLANNED,
        "",
        f"Overdue from {say_clock(plan.contacts.overdue_clock_s)}: {plan.contacts.overdue_says}",
    ]
    lines += ["", *(_carry(permit) for permit in plan.permits if permit.needed), "", *plan.cautions]
    return "\n".join(lines)


def _carry(permit: Permit) -> str:
    where = f", checked at {permit.checked_at}" if permit.checked_at else ""
    return f"Permit: {permit.name}, {'held' if permit.held else 'not yet held'}{where}."


def _deadlines(plan: Plan) -> Iterator[Event]:
    for permit in plan.permits:
        seen: Counter[str] = Counter()
        for one in permit.deadlines:
            seen[one.what] += 1
            if not one.past:
                yield _deadline(plan, permit, one, seen[one.what])


def _deadline(plan: Plan, permit: Permit, one: PermitDeadline, number: int) -> Event:
    summary = f"{permit.name}: {TO_DO[one.what]}"
    event = _event(plan, f"{permit.name}|{one.what}|{number}", summary)
    day = date.fromisoformat(one.date)
    if one.clock_s is None:
        event.add("dtstart", day)
        event.add("dtend", day + _DAY)
        ahead = {days: WHOLE_DAY_REMINDED - days * _DAY for days in (*DAYS_AHEAD, 0)}
    else:
        midnight = datetime.combine(day, time(0), ZoneInfo(plan.zone))
        # On the wall clock of that day, whatever was changed in the night.
        event.add("dtstart", (midnight + timedelta(seconds=round(one.clock_s))).astimezone(UTC))
        ahead = {days: -days * _DAY for days in DAYS_AHEAD} | {0: -BEFORE_A_TIME}
    event.add("transp", "TRANSPARENT")
    if one.where:
        event.add("location", one.where)
    told = [f"{one.words}.", f"For {plan.name} on {plan.date}."]
    if permit.fee and not permit.held:
        told.append(f"It costs {permit.fee}")
    event.add("description", "\n".join(told))
    for days, trigger in ahead.items():
        if one.days_left is None or days <= one.days_left:
            _remind(event, trigger, summary)
    return event


def _event(plan: Plan, what: str, summary: str) -> Event:
    """An entry with its lasting name. Its stamp is the day the plan was seen from, else the day itself."""
    from icalendar import Event

    event = Event()
    event.add("uid", str(uuid5(_NAMES, f"{plan.name}|{plan.date}|{what}")))
    stamp = date.fromisoformat(plan.provenance.today or plan.date)
    event.add("dtstamp", datetime.combine(stamp, time(0), UTC))
    event.add("summary", summary)
    return event


def _remind(event: Event, trigger: timedelta, words: str) -> None:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", trigger)
    alarm.add("description", words)
    event.add_component(alarm)
