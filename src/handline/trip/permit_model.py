"""[[permits]]: which there are, when each is needed, how it is got, what it costs, and the chance of getting it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from handline.trip.amount import Clock, Number, Share
from handline.trip.day_model import PeriodWords
from handline.trip.route_model import Name
from handline.trip.section import Section, key
from handline.trip.words import Currency, OneOf, Text

PermitState = Literal["raised", "lowered"]
WayToGet = Literal["draw", "first come", "walk-up"]
DRAW, FIRST_COME, WALK_UP = "draw", "first come", "walk-up"
Fits = Literal["passed over", "ends", "one place each"]
FeePer = Literal["person", "party", "application"]
Weekday = Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]

MomentWords = Annotated[str, Text(longest=120)]
Document = Annotated[str, Text(longest=120)]
People = Annotated[int, Number(1, 60, whole=True)]
Places = Annotated[int, Number(1, 100_000, whole=True)]
MOST_APPLICATIONS = 5000
"""More for one date take long to draw; ask for the share that gets one instead."""
MOST_PLACES_DRAWN = 5000


class PermitNeeded(Section):
    """When a permit is needed, and by whom: all of it must hold. What is left out always holds."""

    periods: Annotated[tuple[PeriodWords, ...], Field(strict=False)] = Field(
        default=(), description='In which parts of the year, in words such as "1 May to last day of October".'
    )
    state: Annotated[PermitState, OneOf("state of the line")] | None = Field(
        default=None, description="Only while the cables are raised, or only while they are lowered."
    )
    night_out: bool | None = Field(
        default=None, description="true: only for a night out; false: only without one; left out: both."
    )
    size_from: People = Field(default=1, description="By parties of so many people or more.")
    size_to: People | None = Field(default=None, description="By parties of so many people or fewer.")


class Applicants(Section):
    """Other applications of one size that ask for such a day."""

    applications: Annotated[int, Number(1, MOST_APPLICATIONS, whole=True)] = Field(description="How many of them.")
    people: People = Field(description="For how many people each is.")


class PermitRate(Section):
    """How many of those who asked got one in other years, on some days. All that is given must fit the date."""

    weekdays: Annotated[tuple[Annotated[Weekday, OneOf("day of the week")], ...], Field(strict=False)] = Field(
        default=(), description='On which days of the week, such as ["Saturday", "Sunday"]; left out, on any.'
    )
    periods: Annotated[tuple[PeriodWords, ...], Field(strict=False)] = Field(
        default=(), description="In which parts of the year, in words; left out, all year."
    )
    granted: Annotated[int, Number(0, 10_000_000, whole=True)] | None = Field(
        default=None, description="How many applications were granted."
    )
    asked: Annotated[int, Number(1, 10_000_000, whole=True)] | None = Field(
        default=None, description="How many were made."
    )
    chance: Annotated[float, Share()] | None = Field(
        default=None, description="The share that was granted, where only that is told."
    )


class PermitWay(Section):
    """One way to get the permit; several are tried in their order.

    Days are words such as "1 March", "1 October of the year before", "168 days before" or "the day before".
    """

    way: Annotated[WayToGet, OneOf("way to get a permit")] = Field(
        description="Drawn among those who applied in time, given to whoever asks first, or given out in person."
    )
    opens: MomentWords | None = Field(default=None, description="Draw, first come: the first day to ask.")
    opens_clock_s: Annotated[float, Clock()] | None = key("opens_at", "The time of that day.", default=None)
    closes: MomentWords | None = Field(default=None, description="Draw: the last day to apply.")
    closes_clock_s: Annotated[float, Clock()] | None = key("closes_at", "The time of that day.", default=None)
    result: MomentWords | None = Field(default=None, description="Draw: the day it is told who was drawn.")
    given_out_clock_s: Annotated[float, Clock()] | None = key(
        "given_out", "Walk-up: from what time of day.", default=None
    )
    days_before: Annotated[int, Number(0, 60, whole=True)] = Field(
        default=0, description="Walk-up: how many days before the date."
    )
    where: Name | None = Field(default=None, description="Walk-up: where.")
    places: Annotated[int, Number(1, MOST_PLACES_DRAWN, whole=True)] | None = Field(
        default=None, description="How many people get one this way for a day; left out, places_per_day."
    )
    chance: Annotated[float, Share()] | None = Field(
        default=None, description="The chance of getting one this way, where somebody knows it; else see rates."
    )
    rates: Annotated[tuple[PermitRate, ...], Field(strict=False)] = Field(
        default=(),
        description="Of other years, the first that fits the date: a list such as "
        '{ weekdays = ["Saturday"], granted = 40, asked = 300 }.',
    )
    applicants: Annotated[tuple[Applicants, ...], Field(strict=False)] = Field(
        default=(),
        description="Draw: who else asks for such a day, a list such as { applications = 240, people = 2 }; the draw "
        "is then worked out.",
    )
    fits: Annotated[Fits, OneOf("rule of a draw")] = Field(
        default="passed over",
        description="Draw: who asks for more people than places are left is passed over, or the drawing ends there, or "
        "each application takes one place, whatever its people.",
    )
    date_choices: Annotated[int, Number(1, 60, whole=True)] | None = Field(
        default=None, description="Draw: how many dates, best first, an application may name."
    )
    applications_per_party: Annotated[int, Number(1, 60, whole=True)] = Field(
        default=1, description="Draw: how many applications one party may hand in, each for all of it."
    )
    people_ahead: Annotated[int, Number(0, MOST_APPLICATIONS, whole=True)] | None = Field(
        default=None, description="Walk-up: how many people you expect in line before you; with places."
    )
    parties_of: People | None = Field(
        default=None, description="Walk-up: how many of those come together; left out, as in [crowd]."
    )


class PermitFee(Section):
    """What a permit costs."""

    amount: Annotated[float, Number(0, 100_000)] = Field(description="How much.")
    currency: Annotated[str, Currency()] = Field(description="Its three letters.")
    per: Annotated[FeePer, OneOf("way to charge")] = Field(
        default="person", description="For each person, the whole party, or each application."
    )


class Permit(Section):
    """A permit that some days need."""

    name: Name = Field(description="What it is called.")
    places_per_day: Places | None = Field(default=None, description="How many people get one for a day.")
    checked_at: Name | None = Field(default=None, description="The waypoint where it is checked.")
    held: bool = Field(default=False, description="The party has it, or was told that it gets it.")
    needed: PermitNeeded = Field(
        default_factory=PermitNeeded, description="When it is needed, and by whom; left out, always."
    )
    largest_party: People | None = Field(default=None, description="How many people one permit may name.")
    ways: Annotated[tuple[PermitWay, ...], Field(strict=False)] = Field(
        default=(), description="How to get it, each a [[permits.ways]]; the first is tried first."
    )
    fees: Annotated[tuple[PermitFee, ...], Field(strict=False)] = Field(
        default=(), description='What it costs, a list of { amount = 12, currency = "USD", per = "person" }.'
    )
    documents: Annotated[tuple[Document, ...], Field(strict=False)] = Field(
        default=(), description="What to have ready when you ask for it and where it is checked."
    )
    pay_by: MomentWords | None = Field(
        default=None, description='The last day to pay, in words; or "14 days after the result".'
    )
    pick_up: MomentWords | None = Field(
        default=None, description='The last day to pick it up, in words such as "the day before".'
    )
    pick_up_at: Name | None = Field(default=None, description="Where it is picked up.")
    needs: Annotated[tuple[Name, ...], Field(strict=False)] = Field(
        default=(), description="Names of other permits that it is only given with."
    )
    excludes: Annotated[tuple[Name, ...], Field(strict=False)] = Field(
        default=(), description="Names of other permits that nobody may hold beside it."
    )

    @property
    def for_everybody(self) -> bool:
        """Whether people on the line need it whatever their party and their night: then its places bound them all."""
        needed = self.needed
        return needed.night_out is None and needed.size_from == 1 and needed.size_to is None
