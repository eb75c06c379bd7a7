"""What a pack weighs along the way: nothing comes from nowhere."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.load_curve import Cache, LoadCurve, load_curve
from handline.walking.spread import Spread
from handline.walking.water_plan import Station, WaterPlan, plan_water

PLACES = (Station("Start"), Station("Spring", is_water=True), Station("Camp"), Station("Spring", is_water=True),
          Station("End"))  # fmt: skip


def water(need_L: Any = (1.0, 0.5, 0.5, 1.0), **changed: Any) -> WaterPlan:
    need = np.atleast_2d(np.asarray(need_L, float))
    return plan_water(
        PLACES, Spread(need, need, need), [3600.0] * 4, **({"quantile": 0.5, "reserve_L": 0.25} | changed)
    )


def curve(**changed: Any) -> LoadCurve:
    given_ = {"distance_m": [0.0, 4000.0, 6000.0, 8000.0, 12000.0], "gear_kg": 8.0, "food_kg": 1.0}
    return load_curve(**({"water": water()} | given_ | changed))


def test_a_day_by_hand() -> None:
    found = curve(eaten_kg=[0.1, 0.2, 0.0, 0.3], eaten_here_kg=[0.0, 0.0, 0.15, 0.0, 0.0], caches=[Cache(3.0, 2, 3)])
    assert np.array_equal(found.distance_m, np.repeat([0.0, 4000.0, 6000.0, 8000.0, 12000.0], 2))
    # Start, on the way to the spring, out of it, to the camp, out of it, to the spring, out of it, the end.
    assert found.water_kg[0] == pytest.approx([0, 1.25, 0.25, 1.25, 0.75, 0.75, 0.25, 1.25, 0.25, 0.25])
    assert found.food_kg[0] == pytest.approx([1, 1, 0.9, 0.9, 0.7, 0.55, 0.55, 0.55, 0.25, 0.25])
    assert found.gear_kg[0] == pytest.approx([8, 8, 8, 8, 8, 5, 5, 8, 8, 8])
    assert found.mass_kg[0] == pytest.approx([9, 10.25, 9.15, 10.15, 9.45, 6.3, 5.8, 9.8, 8.5, 8.5])
    assert found.leg_mean_kg[0] == pytest.approx([9.7, 9.8, 6.05, 9.15])
    assert found.flags == ()


def test_gear_left_for_good_stays_behind() -> None:
    found = curve(caches=[Cache(2.0, 1)])
    assert found.gear_kg[0] == pytest.approx([8, 8, 8, 6, 6, 6, 6, 6, 6, 6])


def test_more_than_there_is_does_not_go_and_is_told() -> None:
    found = curve(eaten_kg=0.4, caches=[Cache(6.0, 1, 3), Cache(5.0, 2, 4)])
    assert found.flags == ("food_runs_out", "gear_not_there")
    assert found.food_kg[0, -1] == 0.0
    assert found.gear_kg[0] == pytest.approx([8, 8, 8, 2, 2, 0, 0, 6, 6, 8])
    assert set(found.flags) <= set(CARRIED_FLAGS)
    # 0.1 + 0.1 + 0.1 is a little more than 0.3 to a computer, but nobody goes hungry.
    assert curve(food_kg=0.3, eaten_kg=[0.1, 0.1, 0.1, 0.0]).flags == ()


@given(
    need=st.lists(st.floats(0.0, 1.4), min_size=8, max_size=8),
    capacity=st.sampled_from([math.inf, 1.0]),
    eaten=st.lists(st.floats(0.0, 0.2), min_size=4, max_size=4),
    cached=st.floats(0.0, 8.0),
    there=st.integers(0, 3),
    back=st.one_of(st.none(), st.integers(1, 4)),
)
@settings(max_examples=150, deadline=None)
def test_mass_is_conserved(
    need: list[float], capacity: float, eaten: list[float], cached: float, there: int, back: int | None
) -> None:
    plan = water(np.reshape(need, (2, 4)), capacity_L=capacity)
    back = None if back is None or back <= there else back
    found = curve(water=plan, eaten_kg=eaten, gear_kg=[8.0, 9.0], caches=[Cache(cached, there, back)])
    coming, going = found.mass_kg[:, 0::2], found.mass_kg[:, 1::2]
    drunk, used, filled = plan.drunk_L, plan.used_L, plan.refill_L
    assert np.allclose(going[:, :-1] - coming[:, 1:], drunk + np.asarray(eaten), rtol=0, atol=1e-9)
    at_stations = filled - used
    at_stations[:, there] -= cached
    if back is not None:
        at_stations[:, back] += cached
    assert np.allclose(going - coming, at_stations, rtol=0, atol=1e-9)
    assert bool(np.all(found.mass_kg >= 0.0))
    left_behind = cached if back is None else 0.0
    end = np.array([8.0, 9.0]) + 1.0 + filled.sum(axis=1) - used.sum(axis=1) - drunk.sum(axis=1) - sum(eaten)
    assert np.allclose(found.mass_kg[:, -1], end - left_behind, rtol=0, atol=1e-9)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"distance_m": [0.0, 1.0]}, "one for each of 5 stations"),
        ({"distance_m": [0.0, 2.0, 1.0, 3.0, 4.0]}, "never go back"),
        ({"distance_m": [0.0, 1.0, math.nan, 3.0, 4.0]}, "must be finite"),
        ({"gear_kg": -1.0}, "gear_kg must be"),
        ({"gear_kg": [1.0, 2.0]}, "gear_kg must fit"),
        ({"food_kg": math.nan}, "food_kg must be"),
        ({"eaten_kg": [0.1, 0.1]}, "eaten_kg must fit"),
        ({"eaten_here_kg": -0.1}, "eaten_here_kg must be"),
        ({"caches": [Cache(-1.0, 1, 2)]}, "mass_kg of a cache"),
        ({"caches": [Cache(1.0, 2, 2)]}, "later station"),
        ({"caches": [Cache(1.0, 2, 5)]}, "one of the 5 stations"),
        ({"caches": [Cache(1.0, -1, 2)]}, "one of the 5 stations"),
        ({"caches": [Cache(1.0, 5)]}, "one of the 5 stations"),
    ],
)
def test_what_cannot_be_weighed_is_refused(wrong: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        curve(**wrong)
