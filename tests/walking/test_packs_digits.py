"""Shares of shared gear where no strength is said: as strong as one."""

from __future__ import annotations

import pytest

from handline.walking.packs import GearItem, Member, pack


def test_whose_strength_is_not_said_has_strength_one() -> None:
    party = [Member("Ash", 80.0), Member("Birch", 60.0, 3.0)]
    found = pack(party, [GearItem("pot", 1.0, 4, shared=True)], split="by strength")
    assert found.fair_kg == pytest.approx([1.0, 3.0], rel=1e-9)
