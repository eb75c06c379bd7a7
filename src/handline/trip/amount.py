"""Numbers of the trip file and their limits.

Each limit is typed once, beside its key; check, message and schema read it there.

Use them as annotations: ``reach_m: Annotated[float, Amount("length", "0.1 m", "3 m")]``.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import time
from typing import Any, Literal

from handline import quantity
from handline.trip.refusal import refusal
from handline.trip.typed_value import TypedValue

_LONGEST = 60
"""Characters in a quantity; more than this is no quantity, and not worth parsing."""


def _limits(low: object, high: object, *, above: bool) -> str:
    """Limits in words: "from 0.1 m to 3 m", "more than 0 deg, up to 90 deg", "at least 0 m"."""
    if low is not None and high is not None:
        return f"more than {low}, up to {high}" if above else f"from {low} to {high}"
    if low is not None:
        return f"more than {low}" if above else f"at least {low}"
    return f"at most {high}" if high is not None else ""


def _a(word: str) -> str:
    """A word with its article: "a length", "an angle"."""
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


@dataclass(frozen=True)
class Amount(TypedValue):
    """A quantity with its unit, between two limits that are typed as a user would type them; read in SI.

    ``above`` leaves the low limit itself out. ``mend`` is said when a limit is passed.
    """

    kind: str
    low: str | None = None
    high: str | None = None
    above: bool = False
    mend: str | None = None

    def read(self, value: object) -> float:
        number = self._parse(value)
        if not self._inside(number):
            small = self.low is not None and number <= quantity.parse(self.low, self.kind)
            raise refusal(
                f"this {self.kind} is too {'small' if small else 'large'}",
                allowed=_limits(self.low, self.high, above=self.above) + self._limits_as_typed(value),
                mend=self.mend,
            )
        return number

    def json_schema(self) -> dict[str, Any]:
        kind = quantity.KINDS[self.kind]
        limits = _limits(self.low, self.high, above=self.above)
        usual = [example for example in _examples(kind.example) if self._inside(quantity.parse(example, self.kind))]
        return {
            "type": "string",
            "x-typed": f"{_a(self.kind).capitalize()} in {', '.join(kind.units)}" + (f", {limits}." if limits else "."),
            "examples": usual or [self.high or self.low],
        }

    def _inside(self, number: float) -> bool:
        low = -math.inf if self.low is None else quantity.parse(self.low, self.kind)
        high = math.inf if self.high is None else quantity.parse(self.high, self.kind)
        # The same limit typed in another unit may differ in the last bit.
        return low < number < high or (not self.above and math.isclose(number, low)) or math.isclose(number, high)

    def _parse(self, value: object) -> float:
        kind = quantity.KINDS[self.kind]
        allowed = f"{_a(self.kind)} in {', '.join(kind.units)}, such as {kind.example}"
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise refusal(
                f"this is not {_a(self.kind)}", allowed=allowed, mend="write a number and its unit, in quotes"
            )
        if not isinstance(value, str):
            raise refusal("the number has no unit", allowed=allowed, mend="write the unit too, and all of it in quotes")
        if len(value) > _LONGEST:
            raise refusal(f"this is not {_a(self.kind)}", allowed=allowed)
        try:
            return quantity.parse(value, self.kind)
        except quantity.QuantityError as error:
            what, _, said = str(error).partition(": write ")
            raise refusal(what, allowed=said or allowed) from None

    def _limits_as_typed(self, value: object) -> str:
        """The limits again in the unit that the user typed, where that is another: " (0.328 ft to 9.84 ft)"."""
        unit = re.search(r"[A-Za-z][A-Za-z/]*\s*$", str(value))
        limits = [limit for limit in (self.low, self.high) if limit is not None]
        if unit is None or self.kind == "duration" or any(limit.endswith(f" {unit[0].strip()}") for limit in limits):
            return ""
        kind, written = quantity.KINDS[self.kind], unit[0].strip()
        own = kind.unit(written)
        if own is None:
            return ""
        shown = [f"{kind.of_si(quantity.parse(limit, self.kind), own):.3g} {written}" for limit in limits]
        return f" ({' to '.join(shown)})"


@dataclass(frozen=True)
class Share(TypedValue):
    """A share from 0 to 1, a bare number or a percentage."""

    low: float = 0.0
    high: float = 1.0

    def read(self, value: object) -> float:
        limits = f"from {self.low:.0%} to {self.high:.0%}".replace("%", " %")
        allowed = f"{limits}, such as {quantity.SHARE_EXAMPLE}"
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise refusal("this is not a share", allowed=allowed)
        if isinstance(value, str) and len(value) > _LONGEST:
            raise refusal("this is not a share", allowed=allowed)
        try:
            share = quantity.parse_share(value if isinstance(value, str) else _as_float(value))
        except quantity.QuantityError as error:
            mend = f'a percentage stands in quotes: "{value} %"' if _may_be_percent(value) else None
            raise refusal(str(error).partition(": write ")[0], allowed=allowed, mend=mend) from None
        if not self.low <= share <= self.high:
            raise refusal("this share is outside its limits", allowed=limits)
        return share

    def json_schema(self) -> dict[str, Any]:
        return {
            "anyOf": [
                {"type": "number", "minimum": self.low, "maximum": self.high},
                {"type": "string"},
            ],
            "x-typed": f"A share, {_limits(self.low, self.high, above=False)}, or a percentage in quotes.",
            "examples": [self.high, f"{self.high:.0%}".replace("%", " %")],
        }


@dataclass(frozen=True)
class Clock(TypedValue):
    """A clock time "HH:MM", read as seconds after local midnight."""

    def read(self, value: object) -> float:
        allowed = f"hours and minutes, 24-hour, in quotes, such as {quantity.CLOCK_EXAMPLE}"
        if isinstance(value, time):
            raise refusal("a clock time stands in quotes", allowed=allowed, mend=f'write "{value:%H:%M}"')
        if not isinstance(value, str) or len(value) > _LONGEST:
            raise refusal("this is not a clock time", allowed=allowed)
        try:
            return quantity.parse_clock(value)
        except quantity.QuantityError as error:
            raise refusal(str(error).partition(": write ")[0], allowed=allowed) from None

    def json_schema(self) -> dict[str, Any]:
        return {
            "type": "string",
            "x-typed": "A clock time, 24-hour, local.",
            "examples": _examples(quantity.CLOCK_EXAMPLE),
        }


@dataclass(frozen=True)
class Number(TypedValue):
    """A number without a unit between two limits; ``whole`` for counts. ``few`` and ``many`` mend a passed limit."""

    low: float
    high: float
    whole: bool = False
    few: str | None = None
    many: str | None = None

    def read(self, value: object) -> float:
        limits = f"a {'whole ' if self.whole else ''}number from {self.low:,} to {self.high:,}"
        if isinstance(value, bool) or not isinstance(value, int | float) or _is_nan(value):
            mend = "leave the quotes away" if isinstance(value, str) and _is_number(value) else None
            raise refusal("this is not a number", allowed=limits, mend=mend)
        if value < self.low:
            raise refusal("this number is too small", allowed=limits, mend=self.few)
        if value > self.high:
            raise refusal("this number is too large", allowed=limits, mend=self.many)
        if not self.whole:
            return float(value)
        if not isinstance(value, int):
            raise refusal("this is not a whole number", allowed=limits)
        return value

    def json_schema(self) -> dict[str, Any]:
        return {"type": "integer" if self.whole else "number", "minimum": self.low, "maximum": self.high}


@dataclass(frozen=True)
class Degrees(TypedValue):
    """A latitude or longitude: a bare number of degrees, or "46.62 deg"; south and west are negative."""

    what: Literal["latitude", "longitude"]

    @property
    def highest(self) -> int:
        return 90 if self.what == "latitude" else 180

    def read(self, value: object) -> float:
        allowed = f"degrees from -{self.highest} to {self.highest}, such as 46.62; south and west are negative"
        typed = (
            re.fullmatch(r"\s*([+-]?\d{1,3}(?:\.\d{1,20})?)\s*(?:deg|°)\s*", value) if isinstance(value, str) else None
        )
        number = float(typed[1]) if typed else value
        if isinstance(number, bool) or not isinstance(number, int | float):
            raise refusal(f"this is not a {self.what}", allowed=allowed)
        if not -self.highest <= number <= self.highest:
            raise refusal(f"there is no such {self.what}", allowed=allowed)
        return float(number)

    def json_schema(self) -> dict[str, Any]:
        return {
            "anyOf": [{"type": "number", "minimum": -self.highest, "maximum": self.highest}, {"type": "string"}],
            "x-typed": f"A {self.what} in degrees; south and west are negative.",
            "examples": [46.62, "46.62 deg"],
        }


@dataclass(frozen=True)
class Along(TypedValue):
    """A place along the track: "start", "end", or a length from its start. Read as metres, or "end"."""

    length: Amount = Amount("length", "0 m", "1000 km", mend='"at" is counted along the track from its start')

    def read(self, value: object) -> float | Literal["end"]:
        if value == "start":
            return 0.0
        return "end" if value == "end" else self.length.read(value)

    def json_schema(self) -> dict[str, Any]:
        schema = self.length.json_schema()
        return {
            "type": "string",
            "x-typed": f'"start", "end", or from the start: {schema["x-typed"]}',
            "examples": ["3.4 km", "start", "end"],
        }


def _examples(quoted: str) -> list[str]:
    return re.findall(r'"([^"]+)"', quoted)


def _may_be_percent(value: str | float) -> bool:
    return (_is_number(value) and "," not in value) if isinstance(value, str) else 1 < value <= 100


def _is_number(text: str) -> bool:
    return re.fullmatch(r"\s*[+-]?[\d.,]{1,20}\s*", text) is not None


def _as_float(value: float) -> float:
    """A number as a float; a whole number past all floats is infinite, and so refused by every limit."""
    try:
        return float(value)
    except OverflowError:
        return math.inf if value > 0 else -math.inf


def _is_nan(value: float) -> bool:
    return isinstance(value, float) and math.isnan(value)
