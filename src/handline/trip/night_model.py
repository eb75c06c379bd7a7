"""[night]: a night out on the way to the line, the day before it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from handline.trip.amount import Amount, Clock
from handline.trip.route_model import Name
from handline.trip.section import Section, key, usual

# Where the file says nothing: noon of the day before, and an early morning from a camp that is nearer. Common practice,
# no source.
USUAL_SET_OUT_S, USUAL_CAMP_START_S = 12 * 3600.0, 5 * 3600.0


class Night(Section):
    """A night out: the party sets out the day before the date, sleeps on the way and leaves the camp on the date."""

    out: bool = Field(
        default=False,
        description="The party sleeps out the night before the date; else the day is one push, "
        "and the night is only set beside it.",
    )
    camp: Name | None = Field(default=None, description="The waypoint of the camp; left out, the first of kind camp.")
    set_out_clock_s: Annotated[float, Clock()] = key(
        "set_out",
        "When the party sets out, the day before the date.",
        default=USUAL_SET_OUT_S,
        json_schema_extra={"default": "12:00"},
    )
    start_clock_s: Annotated[float, Clock()] = key(
        "start",
        "When it leaves the camp, on the date.",
        default=USUAL_CAMP_START_S,
        json_schema_extra={"default": "05:00"},
    )
    water_L: Annotated[float, Amount("volume", "0 L", "20 L")] = usual(
        "3 L", "volume", "water", "What each drinks and cooks with at the camp."
    )
