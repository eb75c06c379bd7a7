"""Weather indices against published values, a second arithmetic with 50 digits, and their limits."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sources import source
from handline.weather.index_registry import INDEX_FLAGS, INDICES, IndexValue, index
from handline.weather.indices import celsius, dew_point_C, fahrenheit, relative_humidity_share, vapour_pressure_hPa
from tests.tables.published import read_table

M_S = {"km/h": 1.0 / 3.6, "mph": 0.44704, "m/s": 1.0}
INPUTS: dict[str, dict[str, npt.ArrayLike]] = {
    "wind_chill": {"temperature_C": -10.0, "wind_m_s": 5.0},
    "wind_chill_us": {"temperature_C": -10.0, "wind_m_s": 5.0},
    "heat_index": {"temperature_C": 32.0, "humidity_share": 0.5},
    "simple_wbgt": {"temperature_C": 32.0, "humidity_share": 0.5},
    "apparent_temperature": {"temperature_C": 32.0, "humidity_share": 0.5, "wind_m_s": 2.0},
    "vapour_pressure": {"temperature_C": 32.0, "humidity_share": 0.5},
    "dew_point": {"temperature_C": 32.0, "humidity_share": 0.5},
    "relative_humidity": {"temperature_C": 32.0, "dew_point_C": 12.0},
}


def of_row(row: dict[str, str]) -> IndexValue:
    temperature = float(row["temperature"])
    inputs: dict[str, npt.ArrayLike] = {
        "temperature_C": temperature if row["temperature_unit"] == "C" else (temperature - 32.0) * 5.0 / 9.0
    }
    if row["humidity_pct"]:
        inputs["humidity_share"] = float(row["humidity_pct"]) / 100.0
    if row["wind"]:
        inputs["wind_m_s"] = float(row["wind"]) * M_S[row["wind_unit"]]
    if row["dew_point_C"]:
        inputs["dew_point_C"] = float(row["dew_point_C"])
    return index(row["index"], **inputs)


@pytest.mark.parametrize(
    "row",
    read_table("weather_indices"),
    ids=lambda r: f"{r['index']} {r['temperature']} {r['humidity_pct']}{r['dew_point_C']} {r['wind']}, {r['kind']}",
)
def test_an_index_agrees_with_the_table(row: dict[str, str]) -> None:
    found = of_row(row)
    assert found.flags == ()
    assert not found.out_of_range
    assert found.source == row["source"]
    value = float(found.value) * 1.8 + 32.0 if row["unit"] == "F" else float(found.value)
    assert row["unit"] in (found.unit, "F")
    assert value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


def test_every_index_is_tried_and_has_its_source() -> None:
    assert set(INPUTS) == set(INDICES) == {row["index"] for row in read_table("weather_indices")}
    for name, entry in INDICES.items():
        assert entry.inputs == tuple(INPUTS[name])
        assert source(entry.source).title
        assert np.isfinite(index(name, **INPUTS[name]).value)


@pytest.mark.parametrize(
    ("name", "changed", "flag"),
    [
        ("wind_chill", {"temperature_C": 10.001}, "beyond_index_temperature"),
        ("wind_chill", {"wind_m_s": 4.999 / 3.6}, "beyond_index_wind"),
        ("wind_chill", {"wind_m_s": -5.0}, "beyond_index_wind"),
        ("wind_chill_us", {"temperature_C": (50.01 - 32.0) / 1.8}, "beyond_index_temperature"),
        ("wind_chill_us", {"wind_m_s": 3 * 1609.344 / 3600}, "beyond_index_wind"),
        ("heat_index", {"temperature_C": (39.9 - 32.0) / 1.8}, "beyond_index_temperature"),
        ("heat_index", {"temperature_C": (112.1 - 32.0) / 1.8}, "beyond_index_temperature"),
        ("heat_index", {"humidity_share": -0.01}, "beyond_index_humidity"),
        ("heat_index", {"humidity_share": 1.001}, "beyond_index_humidity"),
        ("simple_wbgt", {"temperature_C": 60.005}, "beyond_index_temperature"),
        ("apparent_temperature", {"wind_m_s": -0.1}, "beyond_index_wind"),
        ("vapour_pressure", {"temperature_C": -45.005}, "beyond_index_temperature"),
        ("dew_point", {"humidity_share": 0.0}, "beyond_index_humidity"),
        ("relative_humidity", {"dew_point_C": -100.1}, "beyond_index_dew_point"),
        ("relative_humidity", {"dew_point_C": 32.1}, "dew_point_above_air"),
        ("simple_wbgt", {"temperature_C": math.nan}, "beyond_index_temperature"),
        ("simple_wbgt", {"temperature_C": math.inf}, "beyond_index_temperature"),
    ],
)
def test_outside_its_limits_an_index_is_nan_and_says_so(name: str, changed: dict[str, float], flag: str) -> None:
    found = index(name, **{**INPUTS[name], **changed})
    assert np.isnan(found.value)
    assert found.out_of_range
    assert found.flags == (flag,)
    assert flag in INDEX_FLAGS


def test_limits_themselves_are_inside() -> None:
    assert not index("wind_chill", temperature_C=10.0, wind_m_s=5.0 / 3.6).out_of_range
    for temperature_F in (40.0, 112.0):
        assert not index("heat_index", temperature_C=(temperature_F - 32.0) / 1.8, humidity_share=1.0).out_of_range


def test_vapour_at_saturation_needs_no_humidity() -> None:
    assert float(vapour_pressure_hPa(0.0)) == pytest.approx(6.105, rel=1e-12)


def test_only_what_is_outside_is_nan() -> None:
    found = index("wind_chill", temperature_C=np.array([[-5.0], [15.0]]), wind_m_s=np.array([1.0, 5.0, 9.0]))
    assert found.out_of_range.tolist() == [[True, False, False], [True, True, True]]
    assert np.array_equal(np.isnan(found.value), found.out_of_range)
    assert found.flags == ("beyond_index_temperature", "beyond_index_wind")


def test_an_unknown_index_is_refused_with_the_near_miss() -> None:
    with pytest.raises(InputError, match='did you mean "wind_chill"'):
        index("windchill", temperature_C=0.0, wind_m_s=5.0)


@pytest.mark.parametrize("inputs", [{"temperature_C": 0.0}, {"temperature_C": 0.0, "wind": 3.0}, {}])
def test_inputs_that_are_not_those_of_the_index_are_refused(inputs: dict[str, float]) -> None:
    with pytest.raises(TypeError, match="wind_chill reads temperature_C, wind_m_s"):
        index("wind_chill", **inputs)


@pytest.mark.parametrize("name", sorted(INDICES))
def test_a_scalar_gives_a_scalar_and_an_array_its_shape(name: str) -> None:
    assert index(name, **INPUTS[name]).value.shape == ()
    many = {part: np.full((2, 3), value) for part, value in INPUTS[name].items()}
    assert index(name, **many).value == pytest.approx(np.full((2, 3), float(index(name, **INPUTS[name]).value)))


@given(st.floats(-45.0, 60.0), st.floats(0.001, 1.0))
def test_dew_point_and_humidity_undo_each_other(temperature_C: float, humidity: float) -> None:
    dew_C = float(index("dew_point", temperature_C=temperature_C, humidity_share=humidity).value)
    assert dew_C <= temperature_C + 1e-9
    back = index("relative_humidity", temperature_C=temperature_C, dew_point_C=dew_C)
    assert not back.out_of_range
    assert float(back.value) == pytest.approx(humidity, rel=1e-12)
    assert float(dew_point_C(temperature_C, relative_humidity_share(temperature_C, dew_C))) == pytest.approx(dew_C)


@given(st.floats(-60.0, 10.0), st.floats(5.0 / 3.6, 40.0), st.floats(0.01, 10.0))
def test_more_wind_and_colder_air_chill_more(temperature_C: float, wind_m_s: float, more: float) -> None:
    for name in ("wind_chill", "wind_chill_us"):
        here = float(index(name, temperature_C=temperature_C, wind_m_s=wind_m_s).value)
        # The American form begins to fall with wind only below 28 C; all air here is colder.
        assert float(index(name, temperature_C=temperature_C, wind_m_s=wind_m_s + more).value) < here
        assert float(index(name, temperature_C=temperature_C - more, wind_m_s=wind_m_s).value) < here


@given(st.floats(-60.0, 10.0), st.floats(5.0 / 3.6, 30.0))
def test_both_forms_of_wind_chill_agree(temperature_C: float, wind_m_s: float) -> None:
    """The same work in two units, each with rounded coefficients; at -60 C in a gale they are 0.2 C apart."""
    first, second = (
        float(index(name, temperature_C=temperature_C, wind_m_s=wind_m_s).value)
        for name in ("wind_chill", "wind_chill_us")
    )
    assert first == pytest.approx(second, abs=0.25)


@given(st.floats(-40.0, 55.0), st.floats(0.0, 0.95), st.floats(0.001, 0.05))
def test_moister_air_feels_warmer(temperature_C: float, humidity: float, more: float) -> None:
    for name, others in (("simple_wbgt", {}), ("apparent_temperature", {"wind_m_s": 3.0})):
        dry, moist = (
            float(index(name, temperature_C=temperature_C, humidity_share=share, **others).value)
            for share in (humidity, humidity + more)
        )
        assert moist > dry


def test_the_adjustments_of_the_heat_index_begin_without_a_step() -> None:
    """At 13 and 85 per cent, and at 87 F, an adjustment is nothing at its edge; so no step beside it."""

    def at(temperature_F: float, humidity: float) -> float:
        return float(index("heat_index", temperature_C=celsius(temperature_F), humidity_share=humidity).value)

    for edge in (0.13, 0.85):
        assert at(86.0, edge - 1e-9) == pytest.approx(at(86.0, edge + 1e-9), abs=1e-6)
    assert at(87.0 - 1e-7, 0.95) == pytest.approx(at(87.0 + 1e-7, 0.95), abs=1e-6)


def test_a_rounding_below_80_F_keeps_its_adjustment() -> None:
    exact, below = (
        float(index("heat_index", temperature_C=celsius(temperature), humidity_share=1.0).value)
        for temperature in (80.0, math.nextafter(80.0, 0.0))
    )
    assert below == pytest.approx(exact, abs=1e-9)


@given(st.floats(-100.0, 150.0))
def test_fahrenheit_and_celsius_undo_each_other(temperature: float) -> None:
    assert float(celsius(fahrenheit(temperature))) == pytest.approx(temperature, abs=1e-9)
