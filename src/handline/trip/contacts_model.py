"""[contacts]: who waits at home, whom to call, and the car."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from handline.trip.amount import Amount, Clock
from handline.trip.section import Section, key, usual
from handline.trip.words import Text

Line = Annotated[str, Text(longest=120)]


class Contacts(Section):
    """Who waits at home, whom to call, and the car: for the brief and the copy that stays at home."""

    leader: Line | None = Field(default=None, description="Who leads, with a telephone number.")
    waiting: Line | None = Field(default=None, description="Who waits at home, with a telephone number.")
    call: Annotated[tuple[Line, ...], Field(strict=False)] = Field(
        default=(), description="Whom to call when the party is overdue, each with a telephone number, the first first."
    )
    car: Line | None = Field(default=None, description="The car, its plate and where it stands.")
    overdue_clock_s: Annotated[float, Clock()] | None = key(
        "overdue",
        "From when on the party is overdue, on the date or the first such time after its start.",
        default=None,
    )
    overdue_after_s: Annotated[float, Amount("duration", "0 h", "24 h")] = usual(
        "2 h",
        "duration",
        "overdue_after",
        "Where no time is typed: so long after nine in ten such days are home the party is overdue.",
    )
