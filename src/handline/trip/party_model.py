"""[party]: who walks, how heavy they are, how even their pace is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import ConfigDict, Field, model_validator

from handline.trip.amount import Amount, Number, Share
from handline.trip.pace_model import Factors, Fitness, Pace
from handline.trip.route_model import Name
from handline.trip.section import Section, key, usual
from handline.trip.words import OneOf

# Where no members are listed, the lightest is taken to weigh so much, or as much as body_mass where that is less: the
# same pack slows a light person most. [practice_lightest]
USUAL_LIGHTEST_KG = 60.0

BodyMass = Annotated[float, Amount("mass", "30 kg", "200 kg")]
PackMass = Annotated[float, Amount("mass", "0 kg", "60 kg")]
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
    pack_mass_kg: PackMass | None = key(
        "pack_mass", "What this person carries; left out, as for the party.", default=None
    )
    fitness: Annotated[Fitness, OneOf("fitness")] | None = Field(
        default=None,
        description="How fast this person goes, as measured crews did; it takes the place of the party's pace.",
    )
    pace: Pace | None = Field(default=None, description="This person's own pace, as recorded.")


class Party(Section):
    """The people. The size may be left out where every member is listed."""

    model_config = ConfigDict(
        json_schema_extra={"required": [], "anyOf": [{"required": ["size"]}, {"required": ["members"]}]}
    )

    size: PartySize = Field(description="How many people, the leader included.")
    body_mass_kg: BodyMass = usual(
        "80 kg", "mass", "body_mass", "The heaviest person with clothes: the heavier, the harder the stop."
    )
    lightest_mass_kg: BodyMass | None = key(
        "lightest_mass",
        "The lightest person where none are listed: the same pack slows the lightest most. Left out, 60 kg or less.",
        default=None,
    )
    pack_mass_kg: PackMass = usual(
        "8 kg", "mass", "pack_mass", "What each carries: it slows the walk, and on the line it falls with the body."
    )
    pace: Pace | None = Field(
        default=None,
        description="The pace of the whole party, as recorded: of all with no pace and no fitness of their own.",
    )
    factors: Factors = Field(default_factory=Factors, description="What makes the party slower, each with a switch.")
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
    leg_memory: Annotated[float, Share(0.0, 0.95)] = Field(
        default=0.5,
        description="How much of it stays from one leg to the next: 0 nothing, towards 1 nearly all (a correlation).",
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

    group_per_person: Annotated[float, Share(0.0, 0.1)] = Field(
        default=0.01, description="How much longer a group takes for each person past the fourth."
    )
    tiring_after_s: Annotated[float, Amount("duration", "0 h", "24 h")] = usual(
        "6 h", "duration", "tiring_after", "Walking before the party begins to slow."
    )
    tiring_per_hour: Annotated[float, Share(0.0, 0.2)] = Field(
        default=0.02, description="How much slower the party gets with each further hour of walking."
    )

    @property
    def masses_kg(self) -> tuple[float, ...]:
        """The mass of each person; who has none of their own counts as the party's ``body_mass``."""
        if not self.members:
            return (self.body_mass_kg,) * self.size
        return tuple(self.body_mass_kg if m.body_mass_kg is None else m.body_mass_kg for m in self.members)

    @property
    def light_masses_kg(self) -> tuple[float, ...]:
        """The mass of each person as it counts for walking: who is not listed counts as the lightest."""
        if self.members:
            return self.masses_kg
        lightest_kg = self.lightest_mass_kg
        return (min(USUAL_LIGHTEST_KG, self.body_mass_kg) if lightest_kg is None else lightest_kg,) * self.size

    @property
    def packs_kg(self) -> tuple[float, ...]:
        """The pack of each person; who has none of their own counts with the party's ``pack_mass``."""
        if not self.members:
            return (self.pack_mass_kg,) * self.size
        return tuple(self.pack_mass_kg if m.pack_mass_kg is None else m.pack_mass_kg for m in self.members)

    @property
    def loaded_kg(self) -> float:
        """The heaviest of the party with pack: what falls in a slip."""
        return max(body_kg + pack_kg for body_kg, pack_kg in zip(self.masses_kg, self.packs_kg, strict=True))
