"""[line] and [tethers]: the cables on the slab, and what ties the party to them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from handline.trip.amount import Amount
from handline.trip.directions import Bearing
from handline.trip.route_model import Name, Skyline
from handline.trip.section import Section, key, usual
from handline.trip.words import OneOf

LineState = Literal["by season", "raised", "lowered"]
Cables = Literal[1, 2]
Arms = Literal[1, 2]

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

USUAL_CABLE = "12 mm"
"""How thick the cable is where nothing is typed."""
SHORTEST_REACH, LONGEST_REACH = "0.1 m", "3 m"
"""Limits of a tether's reach, typed or the sum of its parts."""
Reach = Annotated[float, Amount("length", SHORTEST_REACH, LONGEST_REACH)]
Stiffness = Annotated[float, Amount("force", "1 kN", "20000 kN")]
Strength = Annotated[float, Amount("force", "0.1 kN", "200 kN")]


class SlabSection(Section):
    """A piece of the slab with one angle."""

    length_m: LineLength = key("length", "Its length along the cable.")
    angle_rad: SlabAngle = key("angle", "How steep it is, from the horizontal.")


class Line(Section):
    """The cables. Short form: one length and one angle; or sections from the foot up; or, with a track, neither."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [
                {"required": ["length", "angle"], "not": {"required": ["sections"]}},
                {"required": ["sections"], "properties": {"length": False, "angle": False}},
                {"properties": {"length": False, "angle": False, "sections": False}},
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
        USUAL_CABLE, "length", "cable_diameter", "How thick the cable is."
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
    stances_m: Annotated[tuple[Annotated[float, Amount("length", "0 m", "3 km")], ...], Field(strict=False)] = key(
        "stances", "Places to stand at rest, measured along the line from its foot.", default=()
    )
    stance_rest_s: Annotated[float, Amount("duration", "0 s", "30 min")] = usual(
        "1 min", "duration", "stance_rest", "How long each climber rests at a stance."
    )
    gloves_up: Name | None = Field(
        default=None,
        description="What is on the hands going up: bare, leather, rubber-coated or knitted; left out, leather where "
        "gloves are in [gear], else bare.",
    )
    gloves_down: Name | None = Field(
        default=None, description="What is on the hands coming down; left out, as for gloves_up."
    )
    sections: Annotated[tuple[SlabSection, ...], Field(strict=False)] = Field(
        default=(),
        description="Pieces of the slab, from the foot up. Left out, with length and angle too, it is measured from "
        "the track between foot and head, roughly.",
    )
    facing_deg: Annotated[float, Bearing()] | None = key(
        "facing", "Where the slab looks down to; left out, no sun is taken to dry it.", default=None
    )
    horizon: Annotated[tuple[Skyline, ...], Field(strict=False)] = Field(
        default=(),
        description='What stands around the slab, as a list of { bearing = "90 deg", height = "12 deg" }; left out, '
        "from route.terrain where that is given, else level.",
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
        """The slab in pieces from the foot up, whichever form was typed; none where the track is to tell."""
        if self.length_m is None or self.angle_rad is None:
            return self.sections
        return (SlabSection.model_construct(length_m=self.length_m, angle_rad=self.angle_rad),)


class TetherPart(Section):
    """One part of a tether of the party's own; each arm has the same parts."""

    part: Name = Field(description="What it is, by its name in the list of parts.")
    length_m: Annotated[float, Amount("length", "1 cm", LONGEST_REACH)] | None = key(
        "length", "What it adds to the reach; left out, as is usual for the part.", default=None
    )
    knot: Name | None = Field(
        default=None, description="How its end is tied, by its name in the list of knots; left out, as is usual."
    )
    diameter_m: Annotated[float, Amount("length", "2 mm", "20 mm")] | None = key(
        "diameter", "Of a cord: how thick it is; left out, 6 mm.", default=None
    )
    opening_m: Annotated[float, Amount("length", "2 mm", "100 mm")] | None = key(
        "opening", "Of a connector: how wide its gate opens; it must go round the cable.", default=None
    )
    strength_N: Strength | None = key("strength", "What it bears new, without its knot.", default=None)
    stiffness_N: Stiffness | None = key(
        "stiffness", "Force per unit of strain, from drop tests and not from a static pull.", default=None
    )


class OwnTether(Section):
    """A tether of the party's own that is not in the list: as usual for its kind, or made of parts."""

    name: Name = Field(description="What the party calls it.")
    kind: Name = Field(description="How it works: running, gripping or absorbing.")
    arms: Annotated[Arms, OneOf("number of arms")] | None = Field(
        default=None, description="How many are on the cable, each with its own connector or hitch."
    )
    hitch: Name | None = Field(
        default=None, description="Of a gripping tether: its hitch, by its name in the list; left out, a prusik."
    )
    backup: Name | None = Field(
        default=None, description="Of a gripping tether: the running tether behind the hitch, by its name."
    )
    reach_m: Reach | None = key(
        "reach", "From the harness to the cable, stretched out; left out, the sum of its parts.", default=None
    )
    stiffness_N: Stiffness | None = key(
        "stiffness", "Force per unit of strain, from drop tests and not from a static pull.", default=None
    )
    strength_N: Strength | None = key("strength", "What it bears, with its knots.", default=None)
    parts: Annotated[tuple[TetherPart, ...], Field(strict=False)] = Field(
        default=(), description="What one arm is made of, each a [[tethers.own.parts]]."
    )


class Tethers(Section):
    """What the party ties on with."""

    chosen: Name = Field(default="none", description="The tether of this party, by its name in the list or in own.")
    reach_m: Reach | None = key(
        "reach", "From the harness to the cable, stretched out; left out, as is usual for the tether.", default=None
    )
    own: Annotated[tuple[OwnTether, ...], Field(strict=False)] = Field(
        default=(), description="Tethers of your own, each a [[tethers.own]]."
    )
