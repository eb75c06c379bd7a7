"""What the rules of the findings look at, and what a rule is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from handline.day.plan import BayPull, Chance, Finding, TetherRow
from handline.day.plan_weather import WeatherPlan

if TYPE_CHECKING:
    from handline.day.line_setting import LineSetting
    from handline.day.setting import Setting


@dataclass(frozen=True)
class LineComputed:
    """What the rules of the line look at."""

    setting: LineSetting
    chosen: TetherRow
    bays: tuple[BayPull, ...]


@dataclass(frozen=True)
class Computed(LineComputed):
    """What the rules of the day look at."""

    setting: Setting
    chances: tuple[Chance, ...]
    all_chance: Chance
    latest_clock_s: tuple[float, ...]
    dark_share: float
    pace_outside_m: float
    weather: WeatherPlan
    storm_above_share: float


LineRule = Callable[[LineComputed], Iterator[Finding]]
Rule = Callable[[Computed], Iterator[Finding]]
"""Looks at the computed day and says one thing, some things, or nothing."""
