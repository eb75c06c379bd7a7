"""A model without a coefficient for the ground says nothing of any ground but a hard path, to the fourth digit."""

from __future__ import annotations

import pytest

from handline.walking.effort import effort


@pytest.mark.parametrize(("terrain_n", "flags"), [(1.0, ()), (1.0005, ("beyond_effort_ground",)),
                                                  (0.9995, ("beyond_effort_ground",))])  # fmt: skip
def test_a_hard_path_is_exactly_one(terrain_n: float, flags: tuple[str, ...]) -> None:
    assert effort("minetti_2002", speed_m_s=1.0, grade=0.1, body_mass_kg=70.0, terrain_n=terrain_n).flags == flags
