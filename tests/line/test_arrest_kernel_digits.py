"""A body far stiffer than any, on a chain that does not give: the oscillator in closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from handline.line.chain import Body, Chain
from handline.line.dynamic_arrest import dynamic_arrest

MASS_KG, SPEED_M_S, ANGLE, MU = 80.0, 5.0, math.radians(45.0), 0.3


@pytest.mark.parametrize("stiffness_N_m", [3e5, 5e7])
def test_when_the_oscillator_stands(stiffness_N_m: float) -> None:
    """x = x_s + exp(-d t) (C cos w t + D sin w t), up to x' = 0: the stiffer one takes shorter steps to begin with."""
    found = dynamic_arrest(Chain(np.inf, 1.0, body=Body(stiffness_N_m, 1000.0)), MASS_KG, ANGLE, MU, SPEED_M_S)
    a = 9.80665 * (math.sin(ANGLE) - MU * math.cos(ANGLE))
    decay = 1000.0 / (2.0 * MASS_KG)
    swing = math.sqrt(stiffness_N_m / MASS_KG - decay**2)
    rest_m = MASS_KG * a / stiffness_N_m
    along, across = -rest_m, (SPEED_M_S - decay * rest_m) / swing

    def speed(at_s: float) -> float:
        turning = (across * swing - decay * along) * math.cos(swing * at_s)
        return turning - (along * swing + decay * across) * math.sin(swing * at_s)

    stands_s = brentq(speed, 0.0, math.pi / swing, xtol=1e-15)
    cos, sin = math.cos(swing * stands_s), math.sin(swing * stands_s)
    travel_m = rest_m + math.exp(-decay * stands_s) * (along * cos + across * sin)
    assert found.time_s == pytest.approx(stands_s, rel=1e-5)
    assert found.travel_m == pytest.approx(travel_m, rel=1e-6)
