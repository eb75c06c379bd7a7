"""The standard atmosphere against its table."""

from __future__ import annotations

import pytest

from handline.weather.standard_air import standard_pressure_Pa, standard_temperature_K
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("standard_air"), ids=lambda row: row["elevation_m"])
def test_pressure(row: dict[str, str]) -> None:
    found_hPa = float(standard_pressure_Pa(float(row["elevation_m"]))) / 100.0
    assert found_hPa == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_temperature_falls_6_5_for_each_1000_m() -> None:
    assert float(standard_temperature_K(0.0) - standard_temperature_K(1000.0)) == pytest.approx(6.5)
