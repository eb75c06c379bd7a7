"""What the rules of the findings look at, and what a rule is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from handline.day.plan import Chance, Finding
from handline.day.plan_line import TetherRow
from handline.line.footing import BayPull

if TYPE_CHECKING:
    from handline.day.line_setting import LineSetting
    from handline.day.plan_chances import ChancePlan
    from handline.day.plan_load import LoadPlan
    from handline.day.plan_permits import Permit
    from handline.day.plan_weather import WeatherPlan
    from handline.day.subjects import Setting


@dataclass(frozen=True)
class LineComputed:
    """What the rules of the line look at."""

    setting: LineSetting
    chosen: TetherRow
    bays: tuple[BayPull, ...]


@dataclass(frozen=True)
class LoadComputed(LineComputed):
    """What the rules of packs, water and gear look at."""

    setting: Setting
    weather: WeatherPlan
    dark_share: float
    load: LoadPlan


@dataclass(frozen=True)
class Computed(LoadComputed):
    """What the rules of the day look at. ``leave_by_clock_s`` is the latest start on the date, from the camp or not.

    ``latest_clock_s`` is empty and ``turned`` None where the ways of a trip are only set side by side.
    """

    chances: tuple[Chance, ...]
    all_chance: Chance
    latest_clock_s: tuple[float, ...]
    leave_by_clock_s: float
    turned: ChancePlan | None
    permits: tuple[Permit, ...]
    pace_outside_m: float
    storm_above_share: float


LineRule = Callable[[LineComputed], Iterator[Finding]]
LoadRule = Callable[[LoadComputed], Iterator[Finding]]
Rule = Callable[[Computed], Iterator[Finding]]
"""Looks at the computed day and says one thing, some things, or nothing."""
