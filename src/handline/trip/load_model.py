"""[gear] and [load]: what the party carries, and how it wants to drink and eat."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from handline.trip.amount import Amount, Number, Share
from handline.trip.route_model import Name
from handline.trip.section import Section, key, usual
from handline.trip.words import OneOf

GearUse = Literal[
    "light", "gloves", "grippy shoes", "harness", "helmet", "map", "first aid", "layers", "water treatment", "bottles",
    "shelter", "sleeping bag", "stove", "tether",
]  # fmt: skip
Split = Literal["even", "by body mass"]


# Of ten people whom nobody knows seven need less; the reserve comes on top. [practice_load]
USUAL_SURE = 0.7


class GearItem(Section):
    """One line of the gear list, with its weight."""

    name: Name = Field(description="What the party calls it.")
    mass_kg: Annotated[float, Amount("mass", "0 kg", "60 kg")] = key("mass", "What one piece weighs.")
    count: Annotated[int, Number(1, 100, whole=True)] = Field(default=1, description="How many.")
    shared: bool = Field(default=False, description="The party has it together; else every member has it.")
    worn: bool = Field(default=False, description="It is on the body, not in the pack.")
    who: Name | None = Field(default=None, description="Only this member has it.")
    night: bool = Field(default=False, description="Only for a night out; it stays at the camp on the day of the line.")
    use: Annotated[GearUse, OneOf("use of a piece of gear")] | None = Field(
        default=None, description="What it is for, where the plan may ask for it."
    )


class Gear(Section):
    """What the party carries: by name, or as a list with weights from which the packs follow."""

    carried: Annotated[tuple[Annotated[GearUse, OneOf("piece of gear")], ...], Field(strict=False)] = Field(
        default=(), description="Pieces of gear that every member has, without their weights."
    )
    items: Annotated[tuple[GearItem, ...], Field(strict=False)] = Field(
        default=(), description="The gear list with weights, each a [[gear.items]]; then packs follow from it."
    )
    split: Annotated[Split, OneOf("way to share gear out")] = Field(
        default="even", description="How shared gear is handed out."
    )

    @property
    def has(self) -> frozenset[str]:
        """Every use that some piece of gear is for."""
        return frozenset({*self.carried, *(item.use for item in self.items if item.use is not None)})


class Load(Section):
    """How the party drinks and eats."""

    reserve_L: Annotated[float, Amount("volume", "0 L", "10 L")] = usual(
        "0.5 L", "volume", "reserve", "Water each still has on coming to the next source or the end."
    )
    bottles_L: Annotated[float, Amount("volume", "0.2 L", "30 L")] | None = key(
        "bottles", "What each one's bottles hold; left out, whatever is needed.", default=None
    )
    treatment: Name = Field(
        default="none", description="How water from a source is made fit to drink, by its name in the list."
    )
    sure: Annotated[float, Share(0.5, 0.99)] = Field(
        default=USUAL_SURE,
        description="How sure the water is to be enough for a person: half of all people need less than at 50 %.",
    )
    eaten: Annotated[float, Share()] = Field(
        default=0.7, description="How much of what the day burns is eaten on the way, as a share."
    )
