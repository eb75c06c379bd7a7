"""[line] and [[tethers.own]]: the cables on the slab, and what ties the party to them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from handline.trip.amount import Amount
from handline.trip.route_model import Name
from handline.trip.section import Section, key, usual
from handline.trip.words import OneOf

LineState = Literal["by season", "raised", "lowered"]
Cables = Literal[1, 2]

LineLength = Annotated[float, Amount("length", "0.5 m", "3 km")]
SlabAngle = Annotated[
    float,
    Amount(
        "angle",
        "0 deg",
        "90 deg",
        above=True,
        mend="measure from the horizontal: 90 deg is a wall, and past it the rock overhangs",
    ),
]
CableSpeed = Annotated[float, Amount("speed", "0.5 m/min", "60 m/min")]


class SlabSection(Section):
    """A piece of the slab with one angle."""

    length_m: LineLength = key("length", "Its length along the cable.")
    angle_rad: SlabAngle = key("angle", "How steep it is, from the horizontal.")


class Line(Section):
    """The cables. Short form: one length and one angle; or sections from the foot up."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [
                {"required": ["length", "angle"], "not": {"required": ["sections"]}},
                {"required": ["sections"], "properties": {"length": False, "angle": False}},
            ]
        }
    )

    name: Name = Field(default="the line", description="What the party calls it.")
    foot: Name | None = Field(
        default=None, description="The waypoint at its foot; left out, the one of kind line_foot."
    )
    head: Name | None = Field(
        default=None, description="The waypoint at its head; left out, the one of kind line_head."
    )
    state: Annotated[LineState, OneOf("state of the line")] = Field(
        default="by season",
        description="Raised on stanchions, lowered onto the rock, or as [season] says for the date.",
    )
    cables: Annotated[Cables, OneOf("number of cables")] = Field(
        default=1, description="Cables side by side; on two, a pair of tethers can pass a stop without untying."
    )
    cable_diameter_m: Annotated[float, Amount("length", "4 mm", "40 mm")] = usual(
        "12 mm", "length", "cable_diameter", "How thick the cable is."
    )
    stanchion_spacing_m: Annotated[float, Amount("length", "0.5 m", "30 m")] | None = key(
        "stanchion_spacing", "From one stanchion to the next, along the cable.", default=None
    )
    stanchion_holds_N: Annotated[float, Amount("force", "0 N", "100 kN", above=True)] | None = key(
        "stanchion_holds", "What a stanchion bears sideways, where that is known; it is no rated anchor.", default=None
    )
    anchors_m: Annotated[tuple[Annotated[float, Amount("length", "0 m", "3 km")], ...], Field(strict=False)] = key(
        "anchors", "Anchors in the rock, measured along the line from its foot.", default=()
    )
    sections: Annotated[tuple[SlabSection, ...], Field(strict=False)] = Field(
        default=(), description="Pieces of the slab, from the foot up."
    )
    length_m: LineLength | None = key("length", "Length of the whole line, with one angle.", default=None)
    angle_rad: SlabAngle | None = key("angle", "The one angle of the whole line.", default=None)
    climb_rate_m_s: CableSpeed = usual("7 m/min", "speed", "climb_rate", "How fast the party climbs along the cable.")
    descend_rate_m_s: CableSpeed = usual("7 m/min", "speed", "descend_rate", "How fast it comes down.")
    changeover_s: Annotated[float, Amount("duration", "0 s", "10 min")] | None = key(
        "changeover", "Time to move the tether past one stop; left out, as is usual for the tether.", default=None
    )

    @property
    def slab(self) -> tuple[SlabSection, ...]:
        """The slab in pieces from the foot up, whichever form was typed."""
        if self.length_m is None or self.angle_rad is None:
            return self.sections
        return (SlabSection.model_construct(length_m=self.length_m, angle_rad=self.angle_rad),)

    @property
    def total_length_m(self) -> float:
        """Length of the whole line along the cable."""
        return sum(section.length_m for section in self.slab)


class OwnTether(Section):
    """A tether of the party's own that is not in the list."""

    name: Name = Field(description="What the party calls it.")
    kind: Name = Field(description="How it works: running, gripping or absorbing.")
    reach_m: Annotated[float, Amount("length", "0.1 m", "3 m")] | None = key(
        "reach", "From the harness to the cable, stretched out.", default=None
    )
    stiffness_N: Annotated[float, Amount("force", "1 kN", "20000 kN")] | None = key(
        "stiffness", "Force per unit of strain, from drop tests and not from a static pull.", default=None
    )
    strength_N: Annotated[float, Amount("force", "0.1 kN", "200 kN")] | None = key(
        "strength", "What it bears, with its knots.", default=None
    )


class Tethers(Section):
    """What the party ties on with."""

    chosen: Name = Field(default="none", description="The tether of this party, by its name in the list or in own.")
    reach_m: Annotated[float, Amount("length", "0.1 m", "3 m")] | None = key(
        "reach", "From the harness to the cable, stretched out; left out, as is usual for the tether.", default=None
    )
    own: Annotated[tuple[OwnTether, ...], Field(strict=False)] = Field(
        default=(), description="Tethers of your own, each a [[tethers.own]]."
    )
