"""Food by energy."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.walking.food import FOOD_KCAL_G, food_for
from handline.walking.spread import Spread
from tests.tables.published import read_table


def test_food_of_a_day_by_hand() -> None:
    """12, 15 and 18 MJ: 12e6/(5 x 4184) = 573.6 g, 15e6/(4 x 4184) = 896.3 g, 18e6/(3 x 4184) = 1434.0 g."""
    day = Spread(np.array([12e6]), np.array([15e6]), np.array([18e6]))
    food = food_for(day).mass_kg
    assert (float(food.low[0]), float(food.centre[0]), float(food.high[0])) == pytest.approx(
        (0.5736, 0.8963, 1.4340), abs=0.00005
    )
    half = food_for(day, replaced_share=[0.5]).mass_kg
    assert float(half.high[0]) == pytest.approx(0.5 * 1.4340, abs=0.00005)


def test_densities_are_those_of_the_table() -> None:
    expected = {row["name"]: float(row["expected"]) for row in read_table("carried_numbers")}
    assert (expected["food poor"], expected["food usual"], expected["food rich"]) == FOOD_KCAL_G


def test_unknown_energy_stays_unknown() -> None:
    nothing = Spread(np.array([math.nan]), np.array([math.nan]), np.array([math.nan]))
    assert math.isnan(float(food_for(nothing).mass_kg.centre[0]))


def test_impossible_food_is_refused() -> None:
    day = Spread(np.array([12e6]), np.array([15e6]), np.array([18e6]))
    for share in (-0.1, math.nan):
        with pytest.raises(ValueError, match="replaced_share"):
            food_for(day, replaced_share=share)
    with pytest.raises(ValueError, match="energy_J"):
        food_for(Spread(np.array([-1.0]), np.array([15e6]), np.array([18e6])))
