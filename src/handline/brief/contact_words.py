"""Who waits, whom to call and from when on: for the card, and for the copy that stays at home."""

from __future__ import annotations

from dataclasses import dataclass

from handline.brief.dated_words import day_and_clock
from handline.day.plan import Plan

NOT_TYPED = "not typed: write it here"


@dataclass(frozen=True)
class ContactsShown:
    """Contacts in words; empty where nothing is typed, and there the page leaves room to write.

    ``overdue_day`` and ``overdue_clock`` are from when on, ``overdue_says`` what that stands on.
    """

    leader: str
    waiting: str
    call: tuple[str, ...]
    car: str
    names: tuple[str, ...]
    overdue_day: str
    overdue_clock: str
    overdue_says: str
    not_typed: str = NOT_TYPED


def contacts_shown(plan: Plan) -> ContactsShown:
    """The contacts of a plan."""
    contacts = plan.contacts
    day, clock = day_and_clock(plan.date, contacts.overdue_clock_s)
    return ContactsShown(
        leader=contacts.leader,
        waiting=contacts.waiting,
        call=contacts.call,
        car=contacts.car,
        names=contacts.names,
        overdue_day=day,
        overdue_clock=clock,
        overdue_says=contacts.overdue_says,
    )
