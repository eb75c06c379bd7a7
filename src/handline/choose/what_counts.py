"""What counts when ways are set against each other: which way is better, and from what difference on it matters.

The smallest differences that matter are common practice, no source. [practice_options]
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from handline.choose.options_report import Option
from handline.quantity import Units, show_duration, show_force, show_length, show_pack, show_share

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Counts:
    """One thing that counts. ``least`` is the smallest difference that matters, in SI.

    ``value`` is NaN where an option does not tell it, and infinite where nothing is worse.
    """

    key: str
    words: str
    more_is_better: bool
    least: float
    value: Callable[[Option], float]
    show: Callable[[float, Units], str]


def _share(value: float, units: Units) -> str:
    return show_share(value)


def _duration(value: float, units: Units) -> str:
    return show_duration(value)


def _permit_chance(option: Option) -> float:
    return math.nan if option.permit_chance is None else option.permit_chance


def _worst_force_N(option: Option) -> float:
    """No force where there is no slide to stop; where nothing stops one, none is worse."""
    if option.slide_m[1] == 0.0:
        return 0.0
    return option.force_N[1] if math.isfinite(option.force_N[1]) else math.inf


def _registry(*entries: Counts) -> Mapping[str, Counts]:
    return MappingProxyType({entry.key: entry for entry in entries})


WHAT_COUNTS = _registry(
    Counts("chance", "the chance of all limits", True, 0.02, lambda option: option.chance, _share),
    Counts("permits", "the chance of the permits", True, 0.05, _permit_chance, _share),
    Counts("slide", "the worst slide", False, 0.5, lambda option: option.slide_m[1], show_length),
    Counts("force", "the worst stopping force", False, 500.0, _worst_force_N, show_force),
    Counts(
        "not_stopped", "slips not stopped within the limit", False, 0.05,
        lambda option: option.not_stopped_share, _share,
    ),
    Counts("day", "the length of the day", False, 900.0, lambda option: option.day_s, _duration),
    Counts("pack", "the heaviest pack", False, 1.0, lambda option: max(option.pack_kg), show_pack),
    Counts("untied", "the time untied, one way", False, 60.0, lambda option: option.untied_s, _duration),
)  # fmt: skip


def counted(options: Sequence[Option]) -> Floats:
    """What counts of some options, (options, things)."""
    rows = [[entry.value(option) for entry in WHAT_COUNTS.values()] for option in options]
    return np.array(rows, float).reshape(len(options), len(WHAT_COUNTS))
