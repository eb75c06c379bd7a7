"""The sections about the day itself: [trip], [season], [crowd], [weather], [[permits]], [limits], [gear]."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from handline.quantity import Units
from handline.trip.amount import Amount, Clock, Number, Share
from handline.trip.route_model import Name
from handline.trip.section import Section, key
from handline.trip.words import Day, OneOf, Text

Rock = Literal["dry", "damp", "wet", "iced"]
GearItem = Literal["light", "gloves", "harness", "helmet", "map", "first aid", "layers", "water treatment"]
PeriodWords = Annotated[str, Text(longest=200)]
Wait = Annotated[float, Amount("duration", "0 s", "12 h")]

USUAL_START_S = 5 * 3600.0
MOST_STORM_CHANCE = 0.99
"""No forecast is surer; a chance of one would put the storm at the stroke of midnight."""


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
    seed: Annotated[int, Number(0, 2**63 - 1, whole=True)] = Field(
        default=1, description="The same seed gives the same numbers."
    )
    days: Annotated[int, Number(100, 200_000, whole=True)] = Field(
        default=10_000, description="How many days are simulated."
    )


class Season(Section):
    """Periods of the year, in words such as "1 December to 31 March"."""

    raised: Annotated[tuple[PeriodWords, ...], Field(strict=False)] = Field(
        default=(), description="When the cables stand on their stanchions."
    )
    open: Annotated[tuple[PeriodWords, ...], Field(strict=False)] = Field(
        default=(), description="When the way is open; left out, always."
    )


class Crowd(Section):
    """Waiting at the line: half the parties wait less than the first, nine in ten less than the long one."""

    wait_up_s: Wait | None = key("wait_up", "Half the parties wait less at the foot.", default=None)
    wait_up_long_s: Wait | None = key("wait_up_long", "Nine in ten wait less at the foot.", default=None)
    wait_down_s: Wait | None = key("wait_down", "Half the parties wait less at the head.", default=None)
    wait_down_long_s: Wait | None = key("wait_down_long", "Nine in ten wait less at the head.", default=None)


class Weather(Section):
    """The rock and the storms of the day."""

    rock: Annotated[Rock, OneOf("state of the rock")] = Field(default="dry", description="How the rock is.")
    storm_chance: Annotated[float, Share(0.0, MOST_STORM_CHANCE)] | None = Field(
        default=None, description="Chance of a storm at some time of this day, from the forecast."
    )
    storm_from_clock_s: Annotated[float, Clock()] | None = key(
        "storm_from", "The earliest time storms start; left out, as is usual.", default=None
    )


class Permit(Section):
    """A permit that the day needs."""

    name: Name = Field(description="What it is called.")
    places_per_day: Annotated[int, Number(1, 100_000, whole=True)] | None = Field(
        default=None, description="How many people get one for a day."
    )
    checked_at: Name | None = Field(default=None, description="The waypoint where it is checked.")
    held: bool = Field(default=False, description="The party has it.")


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
    body_force_N: Annotated[float, Amount("force", "1 kN", "12 kN")] = key(
        "body_force",
        "The highest force on a body in a stop that the party accepts.",
        default=6000.0,
        json_schema_extra={"default": "6 kN"},
    )


class Gear(Section):
    """What the party carries."""

    carried: Annotated[tuple[Annotated[GearItem, OneOf("piece of gear")], ...], Field(strict=False)] = Field(
        default=(), description="Pieces of gear that every member has."
    )
