from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from handline.weather.moist_air import vapour_over_water_hPa
from handline.weather.rock_water import (
    DRY_UP_TO_MM,
    MOST_HELD_MM,
    USUAL_DRYING_S,
    USUAL_FILM_MM,
    WET_ABOVE_MM,
    RockDrying,
    conductance_W_m2_K,
    freezing_mm_h,
    given_off_mm_h,
    heading_C,
    kept_warmth_share,
    snow_share,
)
from tests.tables.published import read_table

FORMULAS = {
    "conductance": conductance_W_m2_K, "heading": heading_C, "kept": kept_warmth_share, "given off": given_off_mm_h,
    "freezing": freezing_mm_h, "snow": snow_share,
    "rate": lambda *typed: RockDrying(*typed).drying_mm_h_hPa,
}  # fmt: skip


@pytest.mark.parametrize("row", read_table("rock_water"), ids=lambda row: f"{row['what']} {row['a']}")
def test_against_its_table(row: dict[str, str]) -> None:
    typed = [float(row[key]) for key in "abcde" if row[key]]
    found = float(FORMULAS[row["what"]](*typed))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_the_reference_weather_takes_the_typed_time() -> None:
    drying = RockDrying(5 * 3600.0, 0.4, 12.0, 0.6, 2.0)
    vapour_hPa = 0.6 * float(vapour_over_water_hPa(12.0))
    rate = float(given_off_mm_h(12.0, 12.0, vapour_hPa, 2.0, drying.drying_mm_h_hPa))
    assert rate * 5.0 == pytest.approx(0.4 - 0.02)


def test_full_sun_dries_as_much_faster_as_the_whole_heat_balance_has_it() -> None:
    """Both balances with the heat of evaporation in them, solved by scipy, against ours without it."""
    vapour_hPa, h = 0.5 * float(vapour_over_water_hPa(15.0)), float(conductance_W_m2_K(3.0))
    drawn_mm_h = 0.26 / 24.0 * (1.0 + 0.54 * 3.0)

    def evaporation_mm_h(sun_W_m2: float) -> float:
        def surplus(rock_C: float) -> float:
            takes = drawn_mm_h * (float(vapour_over_water_hPa(rock_C)) - vapour_hPa) / 3600.0 * 2.46e6
            return 0.6 * sun_W_m2 - h * (rock_C - 15.0) - takes

        return drawn_mm_h * (float(vapour_over_water_hPa(brentq(surplus, -10.0, 90.0))) - vapour_hPa)

    for sun_W_m2 in (200.0, 700.0):
        hot_C = float(heading_C(15.0, h, 1.0, sun_W_m2, 45.0))
        ours = float(given_off_mm_h(hot_C, 15.0, vapour_hPa, 3.0, RockDrying().drying_mm_h_hPa)) / (0.28 / 3.0)
        assert ours == pytest.approx(evaporation_mm_h(sun_W_m2) / evaporation_mm_h(0.0), rel=0.12)


def test_practice_is_stated_once() -> None:
    assert (DRY_UP_TO_MM, WET_ABOVE_MM, USUAL_FILM_MM, USUAL_DRYING_S) == (0.02, 0.10, 0.30, 10_800.0)
    assert MOST_HELD_MM == 10.0


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"drying_time_s": 0.0, "film_mm": 0.05}, "drying_time_s of the rock.*; film_mm"),
        ({"reference_humidity_share": 1.0}, "reference_humidity_share"),
        ({"melt_mm_h": np.nan}, "melt_mm_h"),
    ],
)
def test_what_cannot_be_is_refused(typed: dict[str, float], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        RockDrying(**typed)


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [
        ("drying_time_s", 300.0, 864_000.0), ("film_mm", 0.15, 3.0), ("reference_C", 0.1, 40.0),
        ("reference_humidity_share", 0.0, 0.95), ("reference_wind_m_s", 0.0, 20.0), ("melt_mm_h", 0.0, 50.0),
    ],
)  # fmt: skip
def test_limits_are_where_they_are_said(key: str, low: float, high: float) -> None:
    for edge, beyond in ((low, -1e-6), (high, 1e-6)):
        assert getattr(RockDrying(**{key: edge}), key) == edge
        with pytest.raises(ValueError, match=f"{key} of the rock lies from"):
            RockDrying(**{key: edge + beyond})
