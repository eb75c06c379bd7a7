"""Invented permits of the sample plan: one held and to be picked up, one drawn, one that the day does not need."""

from __future__ import annotations

from handline.day.plan import Permit, PermitChance, PermitDeadline


def sample_permits() -> tuple[Permit, ...]:
    """As make_plan would say them from the trip file alone, no day given."""
    return (
        Permit(
            name="Tamsin line permit",
            places_per_day=160,
            checked_at="Lower Step",
            held=True,
            needed=True,
            why="Needed while the cables stand.",
            largest_party=8,
            ways=("By draw: apply from 11 January 2027 to 31 January 2027.",),
            fee="7.50 USD per person: 45.00 USD for your party of 6.",
            documents=("the list of names",),
            chance=None,
            deadlines=(_deadline("pick up", "2027-07-16", None),),
            next=("Pick it up by 16 July 2027.",),
            gone=False,
            against=(),
        ),
        Permit(
            name="Valley permit",
            places_per_day=None,
            checked_at="",
            held=False,
            needed=True,
            why="Needed on any day.",
            largest_party=None,
            ways=("By draw: apply from 1 April 2027 to 30 April 2027 at 16:00; the result is told on 10 May 2027.",),
            fee="12.00 USD per application: 12.00 USD for your party of 6, with one application.",
            documents=("a card with a photo",),
            chance=PermitChance(0.425, 0.008, None, None, "By draw: 330 other applications for 160 places"),
            deadlines=(
                _deadline("opens", "2027-04-01", 8 * 3600.0),
                _deadline("closes", "2027-04-30", 16 * 3600.0),
                _deadline("result", "2027-05-10", None),
            ),
            next=("Apply from 1 April 2027 at 08:00 to 30 April 2027 at 16:00.",),
            gone=False,
            against=(),
        ),
        Permit(
            name="Aldermere camp permit",
            places_per_day=36,
            checked_at="Aldermere Camp",
            held=False,
            needed=False,
            why="Only for a night out.",
            largest_party=None,
            ways=(),
            fee="",
            documents=(),
            chance=None,
            deadlines=(),
            next=(),
            gone=False,
            against=(),
        ),
    )


def _deadline(what: str, day: str, clock_s: float | None) -> PermitDeadline:
    where = "the warden's hut" if what == "pick up" else ""
    return PermitDeadline(what, day, clock_s, where, f"The words of {what}", None, None, False)
