"""[party]: who walks, how heavy they are, how even their pace is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import ConfigDict, Field, model_validator

from handline.trip.amount import Amount, Number, Share
from handline.trip.route_model import Name
from handline.trip.section import Section, key, usual

BodyMass = Annotated[float, Amount("mass", "30 kg", "200 kg")]
PartySize = Annotated[
    int,
    Number(
        1,
        60,
        whole=True,
        few="a party has at least one person",
        many="split into parties, each with its own leader, and plan each one",
    ),
]


class Member(Section):
    """One person of the party."""

    name: Name = Field(description="What the party calls this person.")
    body_mass_kg: BodyMass | None = key(
        "body_mass", "This person's mass with clothes; left out, as for the party.", default=None
    )


class Party(Section):
    """The people. The size may be left out where every member is listed."""

    model_config = ConfigDict(
        json_schema_extra={"required": [], "anyOf": [{"required": ["size"]}, {"required": ["members"]}]}
    )

    size: PartySize = Field(description="How many people, the leader included.")
    body_mass_kg: BodyMass = usual(
        "80 kg", "mass", "body_mass", "The heaviest person with clothes: the heavier, the harder the stop."
    )
    pack_mass_kg: Annotated[float, Amount("mass", "0 kg", "60 kg")] = usual(
        "8 kg", "mass", "pack_mass", "What each carries on the line: it falls with the body."
    )
    members: Annotated[tuple[Member, ...], Field(strict=False)] = Field(
        default=(), description="The people one by one, each a [[party.members]]."
    )
    pace_spread: Annotated[float, Share(0.0, 0.5)] = Field(
        default=0.12,
        description="Spread of pace between people (standard deviation, as a share); the party walks at its slowest.",
    )
    leg_spread: Annotated[float, Share(0.0, 0.5)] = Field(
        default=0.08, description="Spread of one party's pace from leg to leg (standard deviation, as a share)."
    )
    rest_per_hour_s: Annotated[float, Amount("duration", "0 min", "30 min")] = usual(
        "5 min", "duration", "rest_per_hour", "Short rests in an hour of walking."
    )
    dark_factor: Annotated[float, Number(1, 4)] = Field(
        default=1.25, description="How many times longer walking takes by the light of a lamp."
    )

    @model_validator(mode="before")
    @classmethod
    def _count_members(cls, typed: Any) -> Any:
        if not isinstance(typed, Mapping) or "size" in typed or not isinstance(members := typed.get("members"), list):
            return typed
        return {**typed, "size": len(members)}

    @property
    def masses_kg(self) -> tuple[float, ...]:
        """The mass of each person; who has none of their own counts as the party's ``body_mass``."""
        if not self.members:
            return (self.body_mass_kg,) * self.size
        return tuple(self.body_mass_kg if m.body_mass_kg is None else m.body_mass_kg for m in self.members)
