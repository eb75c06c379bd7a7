"""Reading a forecast from CSV: what it says, in any unit and order."""

from __future__ import annotations

import math
import random
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.weather.forecast import ForecastPlace
from tests.weather.forecast_files import WHOLE, read, utc

# --- what is read --------------------------------------------------------------------------------------------------


def test_a_whole_forecast(tmp_path: Path) -> None:
    found = read(tmp_path, WHOLE)
    assert found.issued_s == utc("2030-07-04T00:00+00:00")
    assert found.said_by == "a forecaster"
    assert found.notes == ()
    col, foot = found.places
    assert (col.name, col.elevation_m, foot.name, foot.elevation_m) == ("Col", 3000.0, "Foot", 2000.0)
    assert col.time_s.tolist() == [utc("2030-07-04T12:00+00:00"), utc("2030-07-04T13:00+00:00")]
    for name, expected in {
        "temperature_C": [4.5, 5.5],
        "humidity_share": [0.6, 0.55],
        "wind_m_s": [5.0, 4.0],
        "gust_m_s": [10.0, 10.0],
        "cloud_share": [0.25, 0.5],
        "rain_mm": [0.0, 1.5],
        "rain_chance": [0.05, 0.45],
        "thunder_chance": [0.0, 0.2],
    }.items():
        assert getattr(col, name).tolist() == pytest.approx(expected), name


def test_only_time_and_temperature_are_needed(tmp_path: Path) -> None:
    found = read(tmp_path, "time,temperature_F\n2030-07-04 06:00Z,50\n")
    (place,) = found.places
    assert place.name == ""
    assert math.isnan(place.elevation_m)
    assert math.isnan(found.issued_s)
    assert found.said_by == ""
    assert place.temperature_C.tolist() == pytest.approx([10.0])
    for name in ("humidity_share", "wind_m_s", "gust_m_s", "cloud_share", "rain_mm", "rain_chance", "thunder_chance"):
        assert np.isnan(getattr(place, name)).tolist() == [True], name


def test_unsorted_rows_are_sorted_and_blanks_counted(tmp_path: Path) -> None:
    found = read(
        tmp_path, "time,temperature_C,wind_kt\n2030-07-04T08:00Z,3,\n2030-07-04T06:00Z,1,10\n2030-07-04T07:00Z,,\n"
    )
    assert found.places[0].temperature_C.tolist() == pytest.approx([1.0, math.nan, 3.0], nan_ok=True)
    assert found.places[0].wind_m_s.tolist() == pytest.approx([5.14444444, math.nan, math.nan], nan_ok=True)
    assert found.notes == (
        "the rows were not in the order of time: sorted",
        "wind_kt: 2 cells are blank, so not known",
        "temperature_C: 1 cell is blank, so not known",
    )


def test_a_spreadsheet_with_its_mark_quotes_and_line_ends(tmp_path: Path) -> None:
    text = '\r\n# source: x\r\n"Time","Temperature_C"\r\n"2030-07-04T06:00Z"," 4.5 "\r\n\r\n2030-07-04T07:00Z,5\r\n'
    assert read(tmp_path, b"\xef\xbb\xbf" + text.encode()).places[0].temperature_C.tolist() == [4.5, 5.0]


def test_humidity_from_the_dew_point(tmp_path: Path) -> None:
    text = "time,temperature_C,dew_point_F,humidity_pct\n2030-07-04T06:00Z,20,50,\n2030-07-04T07:00Z,20,50,33\n"
    found = read(tmp_path, text)
    # e(10) / e(20) = exp(172.7 / 247.7 - 345.4 / 257.7)
    assert found.places[0].humidity_share.tolist() == pytest.approx([math.exp(172.7 / 247.7 - 345.4 / 257.7), 0.33])
    assert "humidity is read from its own column; from the dew point where that is blank: 1" in found.notes


def test_a_dew_point_just_above_the_temperature_is_full_humidity(tmp_path: Path) -> None:
    found = read(tmp_path, "time,temperature_C,dew_point_C\n2030-07-04T06:00Z,3.5,4\n2030-07-04T07:00Z,3.6,\n")
    assert found.places[0].humidity_share.tolist() == pytest.approx([1.0, math.nan], nan_ok=True)
    assert "dew points a little above the temperature, taken as full humidity: 1" in found.notes


@pytest.mark.parametrize(
    "cells", [("temperature_C", "55"), ("temperature_F", "131"), ("temperature_F", "-112"), ("temperature_C", "-80")]
)
def test_limits_themselves_are_read(tmp_path: Path, cells: tuple[str, str]) -> None:
    assert read(tmp_path, f"time,{cells[0]}\n2030-07-04T06:00Z,{cells[1]}\n").places[0].temperature_C.size == 1


def test_whole_ones_and_noughts_are_per_cent(tmp_path: Path) -> None:
    text = "time,temperature_C,rain_chance_pct\n2030-07-04T06:00Z,5,1\n2030-07-04T07:00Z,5,0\n"
    assert read(tmp_path, text).places[0].rain_chance.tolist() == pytest.approx([0.01, 0.0])


def test_comments_of_other_kinds_are_left_alone(tmp_path: Path) -> None:
    found = read(tmp_path, "# just words\n# note: more: words\n#source:x\ntime,temperature_C\n2030-07-04T06:00Z,5\n")
    assert found.said_by == "x"


# --- properties ----------------------------------------------------------------------------------------------------


def assert_same(first: ForecastPlace, second: ForecastPlace) -> None:
    for each in fields(ForecastPlace):
        one, other = getattr(first, each.name), getattr(second, each.name)
        if each.name == "name":
            assert one == other
        else:
            assert one == pytest.approx(other, abs=1e-9, rel=1e-9, nan_ok=True), each.name


SI = ("elevation_m", "temperature_C", "dew_point_C", "wind_m_s", "gust_m_s", "rain_mm")
UNITS: dict[str, dict[str, Any]] = {
    "elevation_m": {"elevation_ft": lambda x: x / 0.3048},
    "temperature_C": {"temperature_F": lambda x: x * 9 / 5 + 32},
    "dew_point_C": {"dew_point_F": lambda x: x * 9 / 5 + 32},
    "wind_m_s": {
        "wind_km_h": lambda x: x * 3.6,
        "wind_mph": lambda x: x * 3600 / 1609.344,
        "wind_kt": lambda x: x * 3600 / 1852,
    },
    "gust_m_s": {
        "gust_km_h": lambda x: x * 3.6,
        "gust_mph": lambda x: x * 3600 / 1609.344,
        "gust_kt": lambda x: x * 3600 / 1852,
    },
    "rain_mm": {"rain_in": lambda x: x / 25.4},
}

LIMITS = {
    "temperature_C": (10.0, 55.0),
    "dew_point_C": (-100.0, 10.0),
    "wind_m_s": (0.0, 90.0),
    "gust_m_s": (0.0, 120.0),
    "rain_mm": (0.0, 500.0),
}


@st.composite
def si_rows(draw: st.DrawFn) -> list[dict[str, float]]:
    elevation = draw(st.floats(-500.0, 9000.0))
    count = draw(st.integers(1, 4))
    return [
        {"elevation_m": elevation, **{name: draw(st.floats(*LIMITS[name])) for name in SI[1:]}} for _ in range(count)
    ]


def table(rows: list[dict[str, float]], names: dict[str, str], order: list[int]) -> str:
    def cell(row: dict[str, float], name: str) -> str:
        wanted = names[name]
        return repr(row[name] if wanted == name else UNITS[name][wanted](row[name]))

    lines = [",".join(["time", *names.values()])]
    lines += [",".join([f"2030-07-04T{at:02d}:00Z", *(cell(rows[at], name) for name in names)]) for at in order]
    return "\n".join(lines) + "\n"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
@given(si_rows(), st.data())
def test_units_and_the_order_of_rows_change_nothing(tmp_path: Path, rows: list[dict[str, float]], data: Any) -> None:
    other = {name: data.draw(st.sampled_from([name, *UNITS[name]])) for name in SI}
    order = list(range(len(rows)))
    first = read(tmp_path, table(rows, {name: name for name in SI}, order))
    shuffled = random.Random(data.draw(st.integers(0, 99))).sample(order, len(order))
    second = read(tmp_path, table(rows, other, shuffled))
    assert_same(first.places[0], second.places[0])
    moved = [note for note in second.notes if note not in first.notes]
    assert moved == ([] if shuffled == order else ["the rows were not in the order of time: sorted"])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=30)
@given(st.randoms(use_true_random=False))
def test_places_may_be_mixed(tmp_path: Path, shuffle: random.Random) -> None:
    head, rows = WHOLE.splitlines()[:3], WHOLE.splitlines()[3:]
    mixed = read(tmp_path, "\n".join([*head, *shuffle.sample(rows, len(rows))]))
    for one, other in zip(read(tmp_path, WHOLE).places, mixed.places, strict=True):
        assert_same(one, other)
