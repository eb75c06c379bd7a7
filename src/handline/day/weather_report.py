"""The sky and weather report: the one result of ``handline weather``; its page, screen and JSON render it."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.plan import Finding, Level, Light, Storm
from handline.day.plan_weather import SkyPlan, WeatherPlan
from handline.quantity import Units


@dataclass(frozen=True)
class WeatherProvenance:
    """What made this report. No clock and no machine: the same inputs give the same bytes."""

    version: str
    seed: int
    days: int
    trip_file: str
    inputs_sha256: str


@dataclass(frozen=True)
class WeatherReport:
    """Light, weather, storms and rock of one trip's day. ``level`` is the gravest finding's."""

    name: str
    date: str
    units: Units
    timezone: str
    level: Level
    headline: str
    findings: tuple[Finding, ...]
    light: Light
    storm: Storm
    sky: SkyPlan
    weather: WeatherPlan
    cautions: tuple[str, ...]
    provenance: WeatherProvenance
