"""The columns of a forecast CSV: one table for reading, messages and docs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from handline.quantity import FOOT_M, INCH_M, MILE_M


@dataclass(frozen=True)
class Quantity:
    """What a column may hold, and the lowest and highest that is believed, in SI. [practice_forecast]"""

    name: str
    what: str
    lowest: float
    highest: float


@dataclass(frozen=True)
class Column:
    """One column. The SI value of a number in it is (number - ``zero``) * ``factor``; a text column has no quantity.

    ``looks_like`` says what a number past the highest probably is: from which number on, and the words.
    """

    name: str
    quantity: str
    unit: str
    factor: float = 1.0
    zero: float = 0.0
    looks_like: tuple[tuple[float, str], ...] = ()

    @property
    def is_text(self) -> bool:
        return self.quantity not in QUANTITIES

    @cached_property
    def lowest(self) -> float:
        """In the column's own unit."""
        return QUANTITIES[self.quantity].lowest / self.factor + self.zero

    @cached_property
    def highest(self) -> float:
        """In the column's own unit."""
        return QUANTITIES[self.quantity].highest / self.factor + self.zero

    def to_si(self, number: float) -> float:
        return (number - self.zero) * self.factor


REQUIRED = ("time", "temperature")
_TEXT: Mapping[str, str] = MappingProxyType(
    {
        "time": "when the values hold, and from when rain and chances count, up to the next time",
        "place": "the place, by name; left out where there is only one",
    }
)

QUANTITIES: Mapping[str, Quantity] = MappingProxyType(
    {
        quantity.name: quantity
        for quantity in (
            Quantity("elevation", "height of the place above the sea", -500.0, 9000.0),
            Quantity("temperature", "temperature of the air, in shade", -80.0, 55.0),
            Quantity("humidity", "relative humidity", 0.0, 1.0),
            Quantity("dew_point", "dew point: gives the humidity where its own column does not", -100.0, 40.0),
            Quantity("wind", "steady wind, 10 m above open ground", 0.0, 90.0),
            Quantity("gust", "strongest gust", 0.0, 120.0),
            Quantity("cloud", "cloud, as a share of the sky", 0.0, 1.0),
            Quantity("rain", "rain, or snow as water, up to the next time", 0.0, 500.0),
            Quantity("rain_chance", "chance of any rain up to the next time", 0.0, 1.0),
            Quantity("thunder_chance", "chance of any thunder up to the next time", 0.0, 1.0),
        )
    }
)

_FAHRENHEIT = (1.0 / 1.8, 32.0)
_FAST = ((0.0, "this looks like another unit of speed: see which one the forecast uses"),)


def _hot(quantity: str) -> tuple[tuple[float, str], ...]:
    return (
        (0.0, f"this looks like Fahrenheit: name the column {quantity}_F"),
        (180.0, "this looks like kelvin: take 273.15 off"),
    )


COLUMNS: Mapping[str, Column] = MappingProxyType(
    {
        column.name: column
        for column in (
            Column("time", "time", "ISO 8601, such as 2030-07-04T06:00-06:00 or 2030-07-04T06:00"),
            Column("place", "place", "words"),
            Column("elevation_m", "elevation", "m",
                   looks_like=((0.0, "this looks like feet: name the column elevation_ft"),)),
            Column("elevation_ft", "elevation", "ft", FOOT_M),
            Column("temperature_C", "temperature", "degrees Celsius", looks_like=_hot("temperature")),
            Column("temperature_F", "temperature", "degrees Fahrenheit", *_FAHRENHEIT),
            Column("humidity_pct", "humidity", "per cent", 0.01),
            Column("dew_point_C", "dew_point", "degrees Celsius", looks_like=_hot("dew_point")),
            Column("dew_point_F", "dew_point", "degrees Fahrenheit", *_FAHRENHEIT),
            Column("wind_m_s", "wind", "m/s", looks_like=_FAST),
            Column("wind_km_h", "wind", "km/h", 1.0 / 3.6),
            Column("wind_mph", "wind", "miles an hour", MILE_M / 3600.0),
            Column("wind_kt", "wind", "knots", 1852.0 / 3600.0),
            Column("gust_m_s", "gust", "m/s", looks_like=_FAST),
            Column("gust_km_h", "gust", "km/h", 1.0 / 3.6),
            Column("gust_mph", "gust", "miles an hour", MILE_M / 3600.0),
            Column("gust_kt", "gust", "knots", 1852.0 / 3600.0),
            Column("cloud_pct", "cloud", "per cent", 0.01),
            Column("rain_mm", "rain", "mm"),
            Column("rain_in", "rain", "inches", 1000.0 * INCH_M,
                   looks_like=((0.0, "this looks like millimetres: name the column rain_mm"),)),
            Column("rain_chance_pct", "rain_chance", "per cent", 0.01),
            Column("thunder_chance_pct", "thunder_chance", "per cent", 0.01),
        )
    }
)  # fmt: skip
"""Every column a forecast CSV may have."""


def named(quantity: str) -> tuple[str, ...]:
    """The columns that hold a quantity."""
    return tuple(column.name for column in COLUMNS.values() if column.quantity == quantity)


def needed(quantity: str) -> bool:
    """Whether a forecast must have it."""
    return quantity in REQUIRED


def columns_doc() -> str:
    """The table of columns as markdown, for the docs."""
    rows = ["| column | what it is | unit | from | to |", "|---|---|---|---|---|"]
    for column in COLUMNS.values():
        what = _TEXT[column.name] if column.is_text else QUANTITIES[column.quantity].what
        if needed(column.quantity):
            others = [f"`{name}`" for name in named(column.quantity) if name != column.name]
            what += f" (this or {', '.join(others)} must be there)" if others else " (must be there)"
        limits = ("", "") if column.is_text else (_shown(column.lowest), _shown(column.highest))
        rows.append(f"| `{column.name}` | {what} | {column.unit} | {limits[0]} | {limits[1]} |")
    return "\n".join(rows) + "\n"


def _shown(number: float) -> str:
    """A limit to three digits of sense: "-112", "19.7", "29,528"."""
    return f"{number:.1f}" if abs(number) < 100.0 and abs(number - round(number)) > 1e-6 else f"{number:,.0f}"
