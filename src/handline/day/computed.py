"""What the rules of the findings look at, and what a rule is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from handline.day.plan import BayPull, Chance, Finding, TetherRow
from handline.day.setting import Setting


@dataclass(frozen=True)
class Computed:
    """What the rules look at."""

    setting: Setting
    chances: tuple[Chance, ...]
    all_chance: Chance
    latest_clock_s: tuple[float, ...]
    chosen: TetherRow
    bays: tuple[BayPull, ...]
    dark_share: float
    pace_outside_m: float


Rule = Callable[[Computed], Iterator[Finding]]
"""Looks at the computed day and says one thing, some things, or nothing."""
