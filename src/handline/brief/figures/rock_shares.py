"""The shares of the rock's states as the pictures and pages tell them: by name, with what is not known among them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handline.quantity import show_share

NOT_KNOWN = "not known"
DRY, ICED = "dry", "iced"
LEAST_SHARE = 0.005
"""A share below this reads as none: it is neither drawn nor told."""


def rock_shares(share: Sequence[float], rocks: Sequence[str]) -> dict[str, float]:
    """Each state's share in the plan's order, then ``NOT_KNOWN``: what is missing to 1.

    Parameters
    ----------
    share : (n,) in the order of ``rocks``; NaN counts as not known
    rocks : (n,) names
    """
    told = {rock: 0.0 if math.isnan(part) else part for rock, part in zip(rocks, share, strict=True)}
    return {**told, NOT_KNOWN: max(0.0, 1.0 - sum(told.values()))}


def mostly_known(share: Sequence[float], rocks: Sequence[str]) -> bool:
    """Whether more is known than not."""
    return rock_shares(share, rocks)[NOT_KNOWN] < 0.5


def not_dry_share(share: Sequence[float], rocks: Sequence[str]) -> float:
    """The chance that the rock is not dry. To the careful side: what is not known counts as not dry."""
    return 1.0 - rock_shares(share, rocks).get(DRY, 0.0)


def rock_words(share: Sequence[float], rocks: Sequence[str]) -> str:
    """The states the rock may be in, the mildest first: "dry 72 %, wet 28 %"."""
    told = rock_shares(share, rocks)
    if told[NOT_KNOWN] > 1.0 - LEAST_SHARE:
        return NOT_KNOWN
    return ", ".join(f"{state} {show_share(part)}" for state, part in told.items() if part >= LEAST_SHARE)
