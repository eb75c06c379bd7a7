"""Rules by distance and climb against worked examples and a second calculation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.leg_models import Ground, din_33466_s, ground_of, langmuir_1984_s, naismith_1892_s
from handline.walking.registry import PACE_MODELS, LegModel
from tests.tables.published import read_table

UNIT_S = {"s": 1.0, "min": 60.0, "h": 3600.0}
ROWS = [row for table in ("naismith_1892", "langmuir_1984", "din_33466", "sac_rule") for row in read_table(table)]

metres = st.floats(0.0, 50_000.0)
heights = st.floats(-3_000.0, 3_000.0)


def leg(distance_m: float, up_m: float = 0.0, gentle_down_m: float = 0.0, steep_down_m: float = 0.0) -> Ground:
    numbers = (distance_m, up_m, gentle_down_m + steep_down_m, gentle_down_m, steep_down_m)
    return Ground(*(np.array(number) for number in numbers))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['model']} {row['expected']} {row['unit']}")
def test_time_agrees_with_the_table(row: dict[str, str]) -> None:
    model = PACE_MODELS[row["model"]]
    assert isinstance(model, LegModel)
    inputs = (float(row[column]) for column in ("distance_m", "up_m", "gentle_down_m", "steep_down_m"))
    expected_s = float(row["expected"]) * UNIT_S[row["unit"]]
    assert model.time_s(leg(*inputs)) == pytest.approx(
        expected_s, abs=float(row["tolerance"]) * UNIT_S[row["unit"]], rel=0
    )


def test_the_metric_habit_is_not_naismith() -> None:
    """5 km/h is 3.6 % faster on the level and 600 m/h is 1.6 % slower up (source: arithmetic)."""
    level_m_s = 1.0 / float(naismith_1892_s(leg(1.0)))
    up_m_s = 1.0 / float(naismith_1892_s(leg(0.0, 1.0)))
    assert 5.0 / 3.6 / level_m_s == pytest.approx(1.036, abs=0.0005)
    assert 600.0 / 3600.0 / up_m_s == pytest.approx(1.0 - 0.016, abs=0.0005)


@pytest.mark.parametrize("row", read_table("scarf_2007"))
def test_climb_is_worth_so_much_level_ground(row: dict[str, str]) -> None:
    level_m = naismith_1892_s(leg(0.0, float(row["climb_m"]))) / naismith_1892_s(leg(1.0))
    assert level_m == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


@pytest.mark.parametrize(
    ("slope_deg", "gentle", "steep"),
    [
        (0.0, False, False),
        (-4.9999, False, False),
        (-5.0001, True, False),
        (-11.9999, True, False),
        (-12.0001, False, True),
        (-60.0, False, True),
        (8.0, False, False),
    ],
)
def test_descents_fall_into_their_class(slope_deg: float, gentle: bool, steep: bool) -> None:
    """Classes of descent: 5 to 12 degrees, and steeper (source: langmuir_1984)."""
    rise_m = 25.0 * math.tan(math.radians(slope_deg))
    found = ground_of(25.0, rise_m)
    down_m = max(-rise_m, 0.0)
    assert float(found.gentle_down_m) == (down_m if gentle else 0.0)
    assert float(found.steep_down_m) == (down_m if steep else 0.0)
    assert float(found.down_m) == down_m


def test_climb_is_what_rises_and_descent_what_falls() -> None:
    whole = ground_of([100.0, 100.0, 100.0], [10.0, -4.0, 7.0]).total()
    assert (float(whole.distance_m), float(whole.up_m), float(whole.down_m)) == (300.0, 17.0, 4.0)


def test_langmuir_time_is_never_negative() -> None:
    """The most a gentle descent can save is at 12 degrees."""
    run_m = np.full(50, 25.0)
    assert np.all(langmuir_1984_s(ground_of(run_m, -run_m * np.tan(np.radians(np.linspace(0.0, 80.0, 50))))) > 0.0)


@given(legs=st.lists(st.tuples(metres, heights), min_size=1, max_size=6))
@settings(deadline=None)
def test_cutting_a_route_never_shortens_the_trail_rule(legs: list[tuple[float, float]]) -> None:
    run_m, rise_m = np.array(legs).T
    one_by_one_s = float(np.sum(din_33466_s(ground_of(run_m, rise_m))))
    assert one_by_one_s >= float(din_33466_s(ground_of(run_m, rise_m).total())) * (1.0 - 1e-12)
