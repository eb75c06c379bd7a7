"""Bottles carried along a way one sip at a time: slow, plain, and without the plan's own sums."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Walked:
    """Litres on coming to each station, litres gone without, litres filled in."""

    arrive_L: tuple[float, ...]
    without_L: float
    filled_L: float


def walk_with_bottles(
    leave_with_L: Mapping[int, float],
    drunk_L: Sequence[float],
    used_here_L: Sequence[float],
    sips: int = 40,
) -> Walked:
    """Walk leg by leg, filling up to ``leave_with_L`` at its stations, drinking each leg in equal sips."""
    bottle, without, filled = 0.0, 0.0, 0.0
    arrive = []
    for station in range(len(drunk_L) + 1):
        arrive.append(bottle)
        if station in leave_with_L:
            more = max(leave_with_L[station] - bottle, 0.0)
            bottle += more
            filled += more
        else:
            taken = min(used_here_L[station], bottle)
            without += used_here_L[station] - taken
            bottle -= taken
        if station == len(drunk_L):
            break
        for _ in range(sips):
            sip = min(drunk_L[station] / sips, bottle)
            without += drunk_L[station] / sips - sip
            bottle -= sip
    return Walked(tuple(arrive), without, filled)
