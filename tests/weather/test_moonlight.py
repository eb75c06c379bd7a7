"""How bright the moon is on the ground."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.moonlight import moonlight_lx
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("moonlight"), ids=lambda row: f"{row['altitude_deg']} {row['lit_share']}")
def test_brightness_agrees_with_the_table(row: dict[str, str]) -> None:
    found = moonlight_lx(float(row["altitude_deg"]), float(row["lit_share"]))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


@given(low_deg=st.floats(0.0, 90.0), high_deg=st.floats(0.0, 90.0), less=st.floats(0.0, 1.0), more=st.floats(0.0, 1.0))
def test_a_higher_and_fuller_moon_is_never_darker(low_deg: float, high_deg: float, less: float, more: float) -> None:
    low_deg, high_deg, less, more = *sorted((low_deg, high_deg)), *sorted((less, more))
    assert moonlight_lx(high_deg, more) >= moonlight_lx(low_deg, less)


def test_brightness_keeps_shapes_and_refuses_odd_shares() -> None:
    assert moonlight_lx(np.zeros((2, 1)), np.ones(3)).shape == (2, 3)
    assert np.isnan(moonlight_lx(45.0, np.array([-0.1, 1.1]))).all()
