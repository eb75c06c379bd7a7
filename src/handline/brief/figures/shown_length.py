"""The unit lengths are drawn in: axes need numbers where text needs words."""

from __future__ import annotations

from dataclasses import dataclass

from handline.quantity import Units, parse


@dataclass(frozen=True)
class ShownLength:
    """A unit of length for an axis, and how many metres it is."""

    unit: str
    metres: float

    def of(self, length_m: float) -> float:
        """A length in this unit."""
        return length_m / self.metres


def shown_length(units: Units) -> ShownLength:
    """The unit lengths on the line are drawn in: feet or metres."""
    unit = "m" if units == "si" else "ft"
    return ShownLength(unit, parse(f"1 {unit}", "length"))
