"""Sweat by the published forms, each only where it was made for the air."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.sweat_opinion import gonzalez_2012_g_m2_h, sweat_opinion
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("sweat_cool"), ids=lambda row: row["required_W_m2"])
def test_the_cool_form(row: dict[str, str]) -> None:
    found = float(gonzalez_2012_g_m2_h(float(row["required_W_m2"]), float(row["most_W_m2"])))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_each_form_in_its_own_air() -> None:
    """By hand at Ereq 300, Emax 200 and 1.8 m2: straight 431.1, curved 362.1, cool 634.1 g/m2/h."""
    found = sweat_opinion(300.0, 200.0, air_C=[10.0, 14.99, 15.0, 19.99, 20.0, 46.0, 46.01], skin_m2=1.8)
    warm, curved, cool = 0.77598, 0.65178, 1.14138
    assert found.low_L_h == pytest.approx([cool, cool, curved, curved, curved, curved, math.nan], abs=1e-4, nan_ok=True)
    assert found.high_L_h == pytest.approx([cool, cool, cool, cool, warm, warm, math.nan], abs=1e-4, nan_ok=True)
    assert found.flags == ("beyond_sweat_form",)
    assert set(found.flags) <= set(CARRIED_FLAGS)


def test_a_form_that_gives_less_than_nothing_is_not_used() -> None:
    found = sweat_opinion(50.0, 600.0, air_C=[25.0, 10.0], skin_m2=1.8)
    assert float(found.low_L_h[0]) > 0.0
    assert found.low_L_h[0] == found.high_L_h[0]
    assert math.isnan(sweat_opinion(0.0, 600.0, air_C=10.0, skin_m2=1.8).high_L_h)
    assert np.isnan(sweat_opinion(300.0, 200.0, air_C=math.nan, skin_m2=1.8).low_L_h)


@pytest.mark.parametrize("wrong", [{"skin_m2": 0.0}, {"most_W_m2": 0.0}])
def test_impossible_skin_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        sweat_opinion(**({"required_W_m2": 300.0, "most_W_m2": 200.0, "air_C": 20.0, "skin_m2": 1.8} | wrong))
