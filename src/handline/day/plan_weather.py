"""The sky and the weather of the Plan: sun, moon and rock by the clock, and what the party walks into.

Clock times and shares as in plan.py. Triples are the 10th, 50th and 90th percentile over the courses the weather may
take. NaN where the weather is not known.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Triple = tuple[float, float, float]
WeatherFrom = Literal["forecast", "months", "nothing"]


@dataclass(frozen=True)
class PlaceSun:
    """When the sun reaches and leaves one place on the date, over its own horizon; on the line, before its slope too.

    ``first_clock_s`` and ``last_clock_s`` are NaN where the sun does not come or go that day; ``spans_clock_s`` are all
    its spans. ``horizon_says`` is what the horizon stands on, in words; ``notes`` what it does not know.
    """

    name: str
    elevation_m: float
    spans_clock_s: tuple[tuple[float, float], ...]
    first_clock_s: float
    last_clock_s: float
    highest_horizon_deg: float
    horizon_says: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class SkyPlan:
    """Sun by place, the slab first; and when the moon lights a dark walk.

    ``moonlit_walking_s`` is how much of the walking in the dark it lights under a clear sky; ``moon_says`` is a
    sentence on the moon of that night.
    """

    places: tuple[PlaceSun, ...]
    moonlit_spans_clock_s: tuple[tuple[float, float], ...]
    moonlit_walking_s: Triple
    moon_says: str


@dataclass(frozen=True)
class Felt:
    """How cold or hot it feels, on the careful side: an index of ``weather.index_registry`` by its title, in words."""

    index: str
    value_C: float
    says: str
    source: str


@dataclass(frozen=True)
class WeatherThere:
    """The weather at one passing, over all simulated days, each at its own time and in its own course."""

    name: str
    way: Literal["up", "down"]
    elevation_m: float
    clock_s: Triple
    temperature_C: Triple
    wind_m_s: Triple
    rain_share: float
    felt: Felt | None


@dataclass(frozen=True)
class SlabHour:
    """One hour at the slab. ``rock_share`` is in the order of ``WeatherPlan.rocks``; what is missing to 1 is not known.

    ``rain_share`` is the chance of 0.1 mm or more in the hour, ``sun_share`` the part of it with the sun over the
    horizon and before the slab, ``storm_begun_share`` the chance that a storm has begun by its end, none having begun
    by the start.
    """

    clock_s: float
    temperature_C: Triple
    wind_m_s: Triple
    rain_share: float
    rain_mm: float
    cloud_share: float
    sun_share: float
    rock_C: Triple
    rock_share: tuple[float, ...]
    storm_begun_share: float


@dataclass(frozen=True)
class RockMet:
    """The rock when the party ties on, over all simulated days: ``share`` in the order of ``WeatherPlan.rocks``."""

    way: Literal["up", "down"]
    clock_s: Triple
    share: tuple[float, ...]


@dataclass(frozen=True)
class WeatherPlan:
    """The weather of the day and of the rock.

    ``source`` is what it stands on and ``says`` the same in a sentence; ``notes`` say what was missing and what was
    taken for it. ``rock_typed`` where the trip file says how the rock is: then it stays so all day. ``rock`` is the
    state the line is judged by and ``rock_says`` why. ``hours`` and ``there`` are empty with no weather.
    """

    source: WeatherFrom
    says: str
    notes: tuple[str, ...]
    rocks: tuple[str, ...]
    rock: str
    rock_typed: bool
    rock_says: str
    met: tuple[RockMet, ...]
    there: tuple[WeatherThere, ...]
    hours: tuple[SlabHour, ...]
    storm_says: str
    attribution: str
