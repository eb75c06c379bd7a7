from __future__ import annotations

import numpy as np
import pytest

from handline.weather.moist_air import (
    vapour_over_ice_hPa,
    vapour_over_surface_hPa,
    vapour_over_water_hPa,
    vapour_rise_hPa_K,
)
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("moist_air"), ids=lambda row: row["over"] + row["temperature_C"])
def test_saturation(row: dict[str, str]) -> None:
    formula = {"water": vapour_over_water_hPa, "ice": vapour_over_ice_hPa}[row["over"]]
    found = float(formula(float(row["temperature_C"])))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_a_surface_is_ice_at_and_under_zero() -> None:
    t = np.array([-10.0, 0.0, 1e-9, 12.0])
    expected = [*vapour_over_ice_hPa(t[:2]), *vapour_over_water_hPa(t[2:])]
    assert vapour_over_surface_hPa(t) == pytest.approx(np.array(expected), abs=1e-12)
    assert np.isnan(vapour_over_surface_hPa(np.nan))


def test_the_rise_is_the_slope_of_the_curve() -> None:
    t = np.array([-10.0, 5.0, 30.0])
    slope = (vapour_over_water_hPa(t + 1e-4) - vapour_over_water_hPa(t - 1e-4)) / 2e-4
    assert vapour_rise_hPa_K(t) == pytest.approx(slope, rel=1e-7)
