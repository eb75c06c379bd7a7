"""[weather]: the rock, the storms, and the weather of the day from a forecast or from the months of the year."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from handline.trip.amount import Amount, Clock, Number, Share
from handline.trip.route_model import FileName
from handline.trip.section import Section, key, usual
from handline.trip.words import OneOf

Rock = Literal["dry", "damp", "wet", "iced"]

MOST_STORM_CHANCE = 0.99
"""No forecast is surer; a chance of one would put the storm at the stroke of midnight."""

Temperature = Annotated[float, Amount("temperature", "-60 C", "55 C")]


class Month(Section):
    """What a month is usually like at one height: what any table of climate has."""

    month: Annotated[int, Number(1, 12, whole=True)] = Field(description="Which month, 1 to 12.")
    low_C: Temperature = key("low", "Mean of the coldest of each day.")
    high_C: Temperature = key("high", "Mean of the warmest of each day.")
    rain_days: Annotated[float, Number(0, 31)] | None = Field(
        default=None, description="Days with 1 mm of rain or more."
    )
    rain_m: Annotated[float, Amount("length", "0 mm", "3000 mm")] | None = key(
        "rain", "All rain and melted snow of the month.", default=None
    )
    storm_days: Annotated[float, Number(0, 31)] | None = Field(
        default=None, description="Days with thunder; left out, a storm is as likely as usual."
    )
    humidity: Annotated[float, Share(0.05, 1.0)] | None = Field(
        default=None, description="Mean relative humidity, as a share."
    )
    wind_m_s: Annotated[float, Amount("speed", "0 m/s", "40 m/s")] | None = key("wind", "Mean wind.", default=None)
    cloud: Annotated[float, Share()] | None = Field(default=None, description="Mean cloud, as a share of the sky.")


class Weather(Section):
    """The rock and the storms of the day, as typed, or from a forecast, or from the months of the year."""

    rock: Annotated[Rock, OneOf("state of the rock")] | None = Field(
        default=None,
        description="How the rock is, all day; left out, hour by hour from the forecast or the months, and dry with "
        "neither.",
    )
    storm_chance: Annotated[float, Share(0.0, MOST_STORM_CHANCE)] | None = Field(
        default=None,
        description="Chance of a storm at some time of this day; left out, from the forecast or the months.",
    )
    storm_from_clock_s: Annotated[float, Clock()] | None = key(
        "storm_from", "The earliest time storms start; left out, as is usual.", default=None
    )
    forecast: FileName | None = Field(
        default=None,
        description="A file of hourly weather, CSV with units in its column names; the path starts at the trip file's "
        "folder.",
    )
    months: Annotated[tuple[Month, ...], Field(strict=False)] = Field(
        default=(), description="The climate, for days no forecast reaches, each a [[weather.months]]."
    )
    months_elevation_m: Annotated[float, Amount("length", "-430 m", "8850 m")] | None = key(
        "months_elevation", "How high the place of the months lies; left out, as high as the start.", default=None
    )
    drying_time_s: Annotated[float, Amount("duration", "15 min", "48 h")] = usual(
        "3 h",
        "duration",
        "drying_time",
        "How long the wet slab takes to dry without sun, at 15 C, half-dry air and a light wind.",
    )
    meltwater: bool = Field(default=False, description="Snow lies above the slab, and its water runs over it.")
