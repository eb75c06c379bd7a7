"""[party.pace] and [party.factors]: a pace learned from recordings, and what else makes a party slower."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from handline.trip.amount import Amount, Number, Share
from handline.trip.route_model import Name
from handline.trip.section import Section, key

Fitness = Literal["low", "moderate", "high"]


class Pace(Section):
    """A pace of one's own, as ``handline pace --save`` writes it."""

    model: Name | None = Field(
        default=None, description="The pace model it stands on; left out, the mix of published models."
    )
    time_factor: Annotated[float, Number(0.2, 10)] = Field(
        description="How many times as long as the model says, on the move."
    )
    climb_s: Annotated[float, Amount("duration", "-10 min", "60 min")] = key(
        "climb",
        "Time for each 100 m of climb on top of the model's; less than nothing for a strong climber.",
        default=0.0,
        json_schema_extra={"default": "0 min"},
    )
    spread: Annotated[float, Share(0.01, 0.5)] | None = Field(
        default=None, description="Spread of the walking time of a day; left out, the party's pace_spread."
    )
    pack_mass_kg: Annotated[float, Amount("mass", "0 kg", "60 kg")] = key(
        "pack_mass",
        "What was carried when it was recorded; left out, nothing.",
        default=0.0,
        json_schema_extra={"default": "0 kg"},
    )
    elevation_m: Annotated[float, Amount("length", "-430 m", "8850 m")] = key(
        "elevation",
        "The middle height it was recorded at; left out, low ground.",
        default=0.0,
        json_schema_extra={"default": "0 m"},
    )
    tracks: Annotated[int, Number(1, 10_000, whole=True)] | None = Field(
        default=None, description="How many recordings it was learned from."
    )


class Factors(Section):
    """What makes the party slower than its pace on a good path: each may be switched off."""

    load: bool = Field(default=True, description="The pack's weight slows each member.")
    altitude: bool = Field(default=True, description="Thin air slows everybody.")
    ground: bool = Field(default=True, description="Rough ground slows, where [[route.ground]] says so.")
    snow: bool = Field(default=True, description="Snow slows, where [[route.ground]] says so.")
    group: bool = Field(default=True, description="A large group goes slower than its slowest alone.")
    tiring: bool = Field(default=True, description="The party slows over a long day.")
    dark: bool = Field(default=True, description="The dark slows everybody.")
