"""Shades of a time in a picture of cells: five steps of one hue, each with its number written in the cell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from handline.brief.figures import theme
from handline.brief.figures.picture import Key

SHADES = tuple(theme.STORM_SCALE)
# On these a number is readable in paper white, on the others in ink.
_DARK_FROM = 3
_STEPS_MIN = (1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480, 960)
# Where the most is over so many times the least, shades double; else they go up evenly.
_DOUBLE_FROM = 4.0


def shade_edges_min(values_s: Sequence[float]) -> tuple[int, ...]:
    """Where one shade ends and the next begins, in whole minutes: in even steps, or each twice the one before."""
    least, most = min(values_s) / 60.0, max(values_s) / 60.0
    if most > _DOUBLE_FROM * least:
        first = next((step for step in _STEPS_MIN if step > least), _STEPS_MIN[-1])
        return tuple(first * 2**number for number in range(len(SHADES) - 1))
    step = next((step for step in _STEPS_MIN if (most - least) / step <= len(SHADES)), _STEPS_MIN[-1])
    first = math.floor(least / step) * step
    return tuple(first + step * number for number in range(1, len(SHADES)))


def shade_of(value_s: float, edges_min: Sequence[int]) -> int:
    """Which shade a time has."""
    return sum(value_s >= 60.0 * edge for edge in edges_min)


def shade_ink(shade: int) -> str:
    """In which colour a number stands on a shade."""
    return theme.PAPER if shade >= _DARK_FROM else theme.INK


def shade_keys(edges_min: Sequence[int]) -> tuple[Key, ...]:
    """The key of the shades."""
    inner = [f"{low} to {high} min" for low, high in pairwise(edges_min)]
    words = [f"under {edges_min[0]} min", *inner, f"{edges_min[-1]} min and more"]
    return tuple(Key(f"shade-{number}", said) for number, said in enumerate(words))
