"""The table of columns: its units, its limits, and the docs made of it."""

from __future__ import annotations

import pytest

from handline.weather.forecast_columns import COLUMNS, QUANTITIES, columns_doc, named

# A number in each unit and what it is in SI, by definition of the units.
KNOWN = {
    "elevation_m": (1000.0, 1000.0),
    "elevation_ft": (10_000.0, 3048.0),
    "temperature_C": (-40.0, -40.0),
    "temperature_F": (212.0, 100.0),
    "humidity_pct": (62.5, 0.625),
    "dew_point_C": (7.0, 7.0),
    "dew_point_F": (14.0, -10.0),
    "wind_m_s": (9.0, 9.0),
    "wind_km_h": (90.0, 25.0),
    "wind_mph": (100.0, 44.704),
    "wind_kt": (180.0, 92.6),
    "gust_m_s": (9.0, 9.0),
    "gust_km_h": (90.0, 25.0),
    "gust_mph": (100.0, 44.704),
    "gust_kt": (180.0, 92.6),
    "cloud_pct": (50.0, 0.5),
    "rain_mm": (3.0, 3.0),
    "rain_in": (2.0, 50.8),
    "rain_chance_pct": (30.0, 0.3),
    "thunder_chance_pct": (5.0, 0.05),
}


@pytest.mark.parametrize("name", [name for name, column in COLUMNS.items() if not column.is_text])
def test_units(name: str) -> None:
    number, si = KNOWN[name]
    assert COLUMNS[name].to_si(number) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "lowest", "highest"),
    [
        ("elevation_m", -500.0, 9000.0),
        ("temperature_F", -112.0, 131.0),
        ("humidity_pct", 0.0, 100.0),
        ("dew_point_C", -100.0, 40.0),
        ("wind_km_h", 0.0, 324.0),
        ("gust_m_s", 0.0, 120.0),
        ("cloud_pct", 0.0, 100.0),
        ("rain_in", 0.0, 19.685),
        ("rain_chance_pct", 0.0, 100.0),
        ("thunder_chance_pct", 0.0, 100.0),
    ],
)
def test_limits_in_the_unit_of_the_column(name: str, lowest: float, highest: float) -> None:
    assert COLUMNS[name].lowest == pytest.approx(lowest, abs=1e-9)
    assert COLUMNS[name].highest == pytest.approx(highest, abs=1e-3)


def test_every_quantity_has_its_columns_and_no_other() -> None:
    text = {"time", "place"}
    assert {column.quantity for column in COLUMNS.values()} == set(QUANTITIES) | text
    for quantity in QUANTITIES:
        assert all(name.startswith(f"{quantity}_") for name in named(quantity))
    assert len({name.lower() for name in COLUMNS}) == len(COLUMNS)


def test_the_docs_have_a_row_for_each_column() -> None:
    rows = columns_doc().splitlines()
    assert len(rows) == len(COLUMNS) + 2
    assert {row.count("|") for row in rows} == {6}
    for name, row in zip(COLUMNS, rows[2:], strict=True):
        assert row.startswith(f"| `{name}` |")
    assert rows[2].startswith("| `time` |")
    assert "(must be there)" in rows[2]
    assert "(this or `temperature_F` must be there)" in columns_doc()
    assert "| degrees Fahrenheit | -112 | 131 |" in columns_doc()
