"""The sections about the day itself: [trip], [season], [crowd], [limits]."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from handline.quantity import Units
from handline.trip.amount import Amount, Clock, Number, Share
from handline.trip.route_model import Name
from handline.trip.section import Section, key, usual
from handline.trip.words import Day, OneOf, Text

Paper = Literal["letter", "a4"]
Yields = Literal["pass", "up waits", "down waits"]
PeriodWords = Annotated[str, Text(longest=200)]
Wait = Annotated[float, Amount("duration", "0 s", "12 h")]

USUAL_START_S = 5 * 3600.0
MOST_PEOPLE = 5000
"""More than this in a day is no line of one climber to a bay."""
# Of a crowd nobody has counted. [practice_crowd]
USUAL_OTHERS_START_S = 6 * 3600.0
USUAL_SHARE_WHO_COME = 0.9
USUAL_PARTIES_OF = 3
USUAL_FREEZE_CHANCE = 0.02
USUAL_STANCE_PLACES = 2


class About(Section):
    """What is planned, for which day."""

    name: Name = Field(default="trip", description="The trip's name; left out, the name of its folder or file.")
    date: Annotated[date, Day()] = Field(description="The day, such as 2027-07-17.")
    start_clock_s: Annotated[float, Clock()] = key(
        "start", "When the party leaves.", default=USUAL_START_S, json_schema_extra={"default": "05:00"}
    )
    units: Annotated[Units, OneOf("system of units")] = Field(
        default="si", description="How results are shown; any unit may be typed."
    )
    paper: Annotated[Paper, OneOf("size of paper")] | None = Field(
        default=None,
        description="What the card and the copy for home are printed on; without it, letter with US units, A4 with SI.",
    )
    seed: Annotated[int, Number(0, 2**63 - 1, whole=True)] = Field(
        default=1, description="The same seed gives the same numbers."
    )
    days: Annotated[int, Number(100, 200_000, whole=True)] = Field(
        default=10_000, description="How many days are simulated."
    )

    @property
    def printed_on(self) -> Paper:
        """The paper as typed; left out, that of where such units are in use."""
        return self.paper or ("letter" if self.units == "us" else "a4")


class Season(Section):
    """Periods of the year, in words such as "1 December to 31 March", and its holidays."""

    raised: Annotated[tuple[PeriodWords, ...], Field(strict=False)] = Field(
        default=(), description="When the cables stand on their stanchions."
    )
    open: Annotated[tuple[PeriodWords, ...], Field(strict=False)] = Field(
        default=(), description="When the way is open; left out, always."
    )
    holidays: Annotated[str, Text(longest=10)] | None = Field(
        default=None,
        description='Whose public holidays count, by the codes of ISO 3166: a country such as "US", or a part of one '
        'such as "AU-TAS". The plan says when the date is one.',
    )


class ArrivalSpan(Section):
    """People who come to the foot of the line in a part of the day, as somebody counted them."""

    from_clock_s: Annotated[float, Clock()] = key("from", "When it begins.")
    to_clock_s: Annotated[float, Clock()] = key("to", "When it ends.")
    people: Annotated[int, Number(0, MOST_PEOPLE, whole=True)] = Field(description="How many people come in it.")


class Crowd(Section):
    """The people on the line: how many and when, and how they pass; or how long one waits, as typed.

    Of typed waits half the parties wait less than the first, nine in ten less than the long one.
    """

    people_per_day: Annotated[int, Number(1, MOST_PEOPLE, whole=True)] | None = Field(
        default=None,
        description="How many people may be on the line in a day, your party with them; left out, the places of the "
        "first permit that has any and that everybody needs.",
    )
    share_who_come: Annotated[float, Share(0.01, 1.0)] = Field(
        default=USUAL_SHARE_WHO_COME, description="How many of these come on the day, as a share."
    )
    starts_clock_s: Annotated[float, Clock()] = key(
        "starts",
        "When people usually start walking.",
        default=USUAL_OTHERS_START_S,
        json_schema_extra={"default": "06:00"},
    )
    starts_spread_s: Annotated[float, Amount("duration", "0 min", "6 h")] = usual(
        "1 h", "duration", "starts_spread", "Two in three start within this of it, before or after."
    )
    arrivals: Annotated[tuple[ArrivalSpan, ...], Field(strict=False)] = Field(
        default=(),
        description="Who comes to the foot when, as counted, in place of people_per_day and starts: "
        'a list of { from = "06:00", to = "08:00", people = 40 }.',
    )
    parties_of: Annotated[int, Number(1, 60, whole=True)] = Field(
        default=USUAL_PARTIES_OF, description="How many of the others come together."
    )
    yields: Annotated[Yields, OneOf("rule of yielding")] = Field(
        default="pass", description="What two do who meet in a bay: pass each other, or one of them waits before it."
    )
    pass_time_s: Annotated[float, Amount("duration", "0 s", "10 min")] = usual(
        "15 s", "duration", "pass_time", "What passing each other in a bay costs each of the two."
    )
    freeze_chance: Annotated[float, Share(0.0, 0.5)] = Field(
        default=USUAL_FREEZE_CHANCE,
        description="Chance that somebody stands still somewhere on the line, once on the way up and down.",
    )
    freeze_time_s: Annotated[float, Amount("duration", "0 s", "2 h")] = usual(
        "5 min", "duration", "freeze_time", "How long half of those stand still at least."
    )
    stance_places: Annotated[int, Number(1, 50, whole=True)] = Field(
        default=USUAL_STANCE_PLACES, description="How many people each way can wait at a stance of [line]."
    )
    wait_up_s: Wait | None = key("wait_up", "Half the parties wait less at the foot.", default=None)
    wait_up_long_s: Wait | None = key("wait_up_long", "Nine in ten wait less at the foot.", default=None)
    wait_down_s: Wait | None = key("wait_down", "Half the parties wait less at the head.", default=None)
    wait_down_long_s: Wait | None = key("wait_down_long", "Nine in ten wait less at the head.", default=None)


class TurnBack(Section):
    """A rule of the party's own: at a place on the way up after some time, it turns."""

    at: Name = Field(description="The waypoint, on the way up.")
    after_clock_s: Annotated[float, Clock()] = key("after", "Who arrives after this time turns back.")


class Limits(Section):
    """What the party wants to keep to, and how surely."""

    chance: Annotated[float, Share(0.5, 0.99)] = Field(
        default=0.9, description="How sure the party wants to be of each limit."
    )
    off_line_before_storm: bool = Field(default=True, description="Off the line before a storm starts.")
    home_before_dark: bool = Field(default=True, description="Back at the start before the end of twilight.")
    home_by_clock_s: Annotated[float, Clock()] | None = key("home_by", "Back at the start by this time.", default=None)
    off_line_by_clock_s: Annotated[float, Clock()] | None = key(
        "off_line_by", "Off the line, coming down, by this time.", default=None
    )
    camp_before_dark: bool = Field(
        default=True, description="For a night out: at the camp before the end of twilight, the day before."
    )
    turn_back: Annotated[tuple[TurnBack, ...], Field(strict=False)] = Field(
        default=(),
        description='Where you turn back when you are late, a list of { at = "Lower Step", after = "09:30" }.',
    )
    body_force_N: Annotated[float, Amount("force", "1 kN", "12 kN")] = key(
        "body_force",
        "The highest force on a body in a stop that the party accepts.",
        default=6000.0,
        json_schema_extra={"default": "6 kN"},
    )
