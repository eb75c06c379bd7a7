"""Directions of the trip file: a bearing, in degrees or as a point of the compass, and how high land stands there."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from handline.trip.refusal import refusal
from handline.trip.typed_value import TypedValue

COMPASS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
"""The points of the compass, each 22.5 degrees on from the one before."""
_APART_DEG = 360.0 / len(COMPASS)
_DEGREES = re.compile(r"\s*([+-]?\d{1,3}(?:\.\d{1,20})?)\s*(?:deg|°)\s*")


@dataclass(frozen=True)
class Bearing(TypedValue):
    """A bearing from north through east: "135 deg", or a point of the compass. Read in degrees from 0, under 360."""

    def read(self, value: object) -> float:
        allowed = f'"0 deg" to "360 deg" from north through east, or one of {", ".join(COMPASS)}'
        if isinstance(value, str) and value.strip().upper() in COMPASS:
            return COMPASS.index(value.strip().upper()) * _APART_DEG
        number = _degrees(value, "this is not a bearing", allowed)
        if not 0.0 <= number <= 360.0:
            raise refusal("there is no such bearing", allowed=allowed)
        return number % 360.0

    def json_schema(self) -> dict[str, Any]:
        return {
            "type": "string",
            "x-typed": "A bearing in degrees from north through east, or a point of the compass.",
            "examples": ["135 deg", "SE"],
        }


@dataclass(frozen=True)
class HeightAngle(TypedValue):
    """How high something stands above level, as an angle: "12 deg". Read in degrees."""

    low_deg: float = -5.0
    high_deg: float = 90.0

    def read(self, value: object) -> float:
        allowed = f'"{self.low_deg:g} deg" to "{self.high_deg:g} deg" above level'
        number = _degrees(value, "this is not an angle", allowed)
        if not self.low_deg <= number <= self.high_deg:
            raise refusal("no horizon stands so", allowed=allowed)
        return number

    def json_schema(self) -> dict[str, Any]:
        return {
            "type": "string",
            "x-typed": f"An angle above level, from {self.low_deg:g} deg to {self.high_deg:g} deg.",
            "examples": ["12 deg"],
        }


def _degrees(value: object, what: str, allowed: str) -> float:
    found = _DEGREES.fullmatch(value) if isinstance(value, str) else None
    if found is not None:
        return float(found[1])
    bare = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= 360
    raise refusal(what, allowed=allowed, mend=f'write "{value:g} deg", in quotes' if bare else None)
