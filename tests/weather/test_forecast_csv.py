"""Reading a forecast from CSV: what it says, in any unit and order, and everything that is wrong with it."""

from __future__ import annotations

import datetime as dt
import math
import random
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.errors import InputError, Problem
from handline.weather import forecast_sheet
from handline.weather.forecast import Forecast, ForecastPlace
from handline.weather.forecast_csv import read_forecast_csv

ZONE = "America/Denver"
WHOLE = """# issued: 2030-07-03T18:00-06:00
# source: a forecaster
time,place,elevation_m,temperature_C,humidity_pct,wind_km_h,gust_km_h,cloud_pct,rain_mm,rain_chance_pct,thunder_chance_pct
2030-07-04T06:00-06:00,Col,3000,4.5,60,18,36,25,0,5,0
2030-07-04T07:00-06:00,Col,3000,5.5,55,14.4,36,50,1.5,45,20
2030-07-04T06:00-06:00,Foot,2000,10,50,9,18,25,0,5,0
"""


def read(folder: Path, text: str | bytes, timezone: str = ZONE) -> Forecast:
    path = folder / "forecast.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_forecast_csv(path, timezone)


def problems(folder: Path, text: str | bytes, timezone: str = ZONE) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read(folder, text, timezone)
    assert all(problem.file == str(folder / "forecast.csv") for problem in caught.value.problems)
    return caught.value.problems


def utc(text: str) -> float:
    return dt.datetime.fromisoformat(text).timestamp()


def assert_same(first: ForecastPlace, second: ForecastPlace) -> None:
    for each in fields(ForecastPlace):
        one, other = getattr(first, each.name), getattr(second, each.name)
        if each.name == "name":
            assert one == other
        else:
            assert one == pytest.approx(other, abs=1e-9, rel=1e-9, nan_ok=True), each.name


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


def test_times_without_an_offset_are_local(tmp_path: Path) -> None:
    found = read(tmp_path, "# issued: 2030-01-03 20:00\ntime,temperature_C\n2030-01-04T06:00,1\n2030-01-04T06:40,2\n")
    assert found.places[0].time_s.tolist() == [utc("2030-01-04T13:00+00:00"), utc("2030-01-04T13:40+00:00")]
    assert found.issued_s == utc("2030-01-04T03:00+00:00")
    assert found.notes == ("times without an offset are read as local time of America/Denver",)


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


# --- properties ----------------------------------------------------------------------------------------------------

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


# --- what is wrong with it -----------------------------------------------------------------------------------------


def test_all_problems_at_once(tmp_path: Path) -> None:
    text = """# issued: yesterday
time,temperature_C,wind,humidity_pct,rain_mm
2030-07-04T06:00Z,80,3,60,-1
2030-07-04T06:00Z,cold,3,101,0
2030-07-04,4,3,60,0
2030-07-04T08:00Z,4,3
"""
    found = problems(tmp_path, text)
    assert [(problem.line, problem.key) for problem in found] == [
        (1, "# issued"),
        (2, "wind"),
        (3, "temperature_C"),
        (3, "rain_mm"),
        (4, "temperature_C"),
        (4, "humidity_pct"),
        (4, "time"),
        (5, "time"),
        (6, None),
    ]
    by = {(problem.line, problem.key): problem for problem in found}
    assert by[2, "wind"].mend == "write wind_m_s or wind_km_h or wind_mph or wind_kt"
    assert by[3, "temperature_C"].mend == "this looks like Fahrenheit: name the column temperature_F"
    assert by[3, "temperature_C"].read == "80"
    assert by[3, "rain_mm"].what == "this number is too low"
    assert by[4, "humidity_pct"].allowed == "0 to 100 per cent"
    assert by[4, "time"].read == "lines 3 and 4"
    assert by[5, "time"].what == "no time of day"
    assert "commas of blank cells" in str(by[6, None].mend)


@pytest.mark.parametrize(
    ("header", "what", "mend"),
    [
        ("time,temperature", "no unit in the name of this column", "write temperature_C or temperature_F"),
        ("time,temperature_C,wind_ms", "unknown column, or unknown unit of wind", "take it out"),
        ("time,temperature_C,rain_chance", "no unit in the name of this column", "write rain_chance_pct"),
        ("time,temperature_C,rain_chance_share", "unknown unit of rain chance", "take it out"),
        ("time,temperature_C,thunderchance_pct", "unknown column", 'did you mean "thunder_chance_pct"?'),
        ("time,temperature_C,visibility", "unknown column", "take it out"),
        ("time,temperature_C,", "column 3 has no name", "name it"),
        ("time,temperature_C,temperature_F", "the same in two units", "keep one of them"),
        ("time,temperature_C,temperature_C", "this column is there twice", "keep one of them"),
        ("time,wind_m_s", "there is no column of temperature", "add temperature_C or temperature_F"),
        ("when,temperature_C", "there is no column of time", "mend its name"),
    ],
)
def test_headers_that_are_refused(tmp_path: Path, header: str, what: str, mend: str) -> None:
    row = ",".join(["2030-07-04T06:00Z", *["5"] * header.count(",")])
    found = [problem for problem in problems(tmp_path, f"{header}\n{row}\n") if what in problem.what]
    assert len(found) == 1
    assert found[0].line == 1
    assert mend in str(found[0].mend)


@pytest.mark.parametrize(
    ("column", "cell", "mend"),
    [
        ("temperature_C", "180", "kelvin"),
        ("temperature_C", "179.9", "Fahrenheit"),
        ("temperature_C", "-9999", "leave the cell blank"),
        ("temperature_F", "9999", "leave the cell blank"),
        ("temperature_F", "131.1", "see that the unit"),
        ("temperature_C", '"12,5"', "write a point in decimals: 12.5"),
        ("temperature_C", "12 C", "write the number alone"),
        ("temperature_C", "nan", "leave the cell blank"),
        ("temperature_C", "1_0", "write the number alone"),
        ("temperature_C", "1e999", "kelvin"),
        ("elevation_m", "11000", "elevation_ft"),
        ("rain_in", "20", "rain_mm"),
        ("wind_m_s", "91", "another unit of speed"),
        ("thunder_chance_pct", "100.5", "see that the unit"),
        ("humidity_pct", "-1", "leave the cell blank"),
    ],
)
def test_numbers_that_are_refused(tmp_path: Path, column: str, cell: str, mend: str) -> None:
    other = "" if column.startswith("temperature") else ",temperature_C"
    text = f"time,{column}{other}\n2030-07-04T06:00Z,{cell}{other and ',5'}\n"
    (found,) = problems(tmp_path, text)
    assert (found.line, found.key) == (2, column)
    assert mend in str(found.mend)


@pytest.mark.parametrize(
    "cells", [("temperature_C", "55"), ("temperature_F", "131"), ("temperature_F", "-112"), ("temperature_C", "-80")]
)
def test_limits_themselves_are_read(tmp_path: Path, cells: tuple[str, str]) -> None:
    assert read(tmp_path, f"time,{cells[0]}\n2030-07-04T06:00Z,{cells[1]}\n").places[0].temperature_C.size == 1


@pytest.mark.parametrize("column", ["humidity_pct", "cloud_pct", "rain_chance_pct", "thunder_chance_pct"])
def test_shares_are_not_taken_for_per_cent(tmp_path: Path, column: str) -> None:
    rows = "".join(f"2030-07-04T0{at}:00Z,5,{share}\n" for at, share in ((6, 0), (7, 0.4), (8, 1)))
    (found,) = problems(tmp_path, f"time,temperature_C,{column}\n{rows}")
    assert (found.line, found.key, found.read) == (3, column, "0.4")
    for higher in ("1.0005", "2"):
        text = f"time,temperature_C,{column}\n{rows}2030-07-04T09:00Z,5,{higher}\n"
        assert read(tmp_path, text).places[0].time_s.size == 4


def test_whole_ones_and_noughts_are_per_cent(tmp_path: Path) -> None:
    text = "time,temperature_C,rain_chance_pct\n2030-07-04T06:00Z,5,1\n2030-07-04T07:00Z,5,0\n"
    assert read(tmp_path, text).places[0].rain_chance.tolist() == pytest.approx([0.01, 0.0])


def test_offsets_on_some_times_only(tmp_path: Path) -> None:
    (found,) = problems(tmp_path, "time,temperature_C\n2030-07-04T06:00Z,5\n2030-07-04T07:00Z,5\n2030-07-04T08:00,5\n")
    assert (found.line, found.key) == (4, "time")
    assert found.what == "this time has no offset, and that of line 2 is otherwise"


@pytest.mark.parametrize(
    ("time", "what", "mend"),
    [
        (
            "2030-03-10T02:30",
            "never comes in America/Denver",
            "2030-03-10T02:30-07:00 before the change, -06:00 after it",
        ),
        (
            "2030-11-03T01:30",
            "comes twice in America/Denver",
            "2030-11-03T01:30-06:00 before the change, -07:00 after it",
        ),
    ],
)
def test_local_times_that_are_no_moment(tmp_path: Path, time: str, what: str, mend: str) -> None:
    (found,) = problems(tmp_path, f"time,temperature_C\n{time},5\n")
    assert (found.line, found.key) == (2, "time")
    assert what in found.what
    assert mend in str(found.mend)


@pytest.mark.parametrize(
    ("time", "what"),
    [
        ("", "no time"),
        ("2030-07-04", "no time of day"),
        ("2030-07-04T24:30Z", "there is no such time"),
        ("2030-02-30T06:00Z", "there is no such time"),
        ("07/04/2030 06:00", "this time cannot be read"),
        ("6 am", "this time cannot be read"),
        ("1066-07-04T06:00Z", "this year is not believed"),
        ("٢٠٣٠-07-04T06:00Z", "this time cannot be read"),
    ],
)
def test_times_that_are_refused(tmp_path: Path, time: str, what: str) -> None:
    (found,) = problems(tmp_path, f"time,temperature_C\n{time},5\n")
    assert (found.line, found.key) == (2, "time")
    assert found.what.startswith(what)


def test_repeated_hours_are_told_with_their_place(tmp_path: Path) -> None:
    text = (
        "time,place,temperature_C\n2030-07-04T06:00Z,Foot,5\n2030-07-04T00:00-06:00, Foot ,5\n2030-07-04T06:00Z,Col,5\n"
    )
    (found,) = problems(tmp_path, text)
    assert found.what == 'this time is there twice for "Foot"'
    assert (found.line, found.read) == (3, "lines 2 and 3")


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("time,place,temperature_C\n2030-07-04T06:00Z,Foot,5\n2030-07-04T07:00Z,,5\n", "no place here"),
        ("time,elevation_m,temperature_C\n2030-07-04T06:00Z,900,5\n2030-07-04T07:00Z,901,5\n", "two heights"),
        ("time,temperature_C,dew_point_C\n2030-07-04T06:00Z,5,5.50005\n", "the dew point is above the temperature"),
        ("time,temperature_C\n2030-07-04T06:00Z,\n", "there is no temperature at all"),
        ("time,temperature_C\n", "there are no rows below the header"),
        ("time,temperature_C\n2030-07-04T06:00Z,5\n# note\n", "a comment stands below the header"),
        ("time,temperature_C\n2030-07-04T06:00Z,12,5\n", "this line has not as many cells as the header"),
        ("# source: a\n# source: b\ntime,temperature_C\n2030-07-04T06:00Z,5\n", "this stands there twice"),
        (f"# source: {'a' * 201}\ntime,temperature_C\n2030-07-04T06:00Z,5\n", "too long"),
        (f"time,place,temperature_C\n2030-07-04T06:00Z,{'a' * 201},5\n", "too long"),
        ("time;temperature_C\n2030-07-04T06:00Z;12,5\n", "the columns are parted by semicolons"),
        ("time\ttemperature_C\n2030-07-04T06:00Z\t12.5\n", "the columns are parted by tabs"),
        ('time,temperature_C\n2030-07-04T06:00Z,"5\n', "this line is not CSV"),
        ("", "the forecast file is empty"),
        (" \n\n", "the forecast file is empty"),
        ("# source: only words\n", "there is no header line"),
        (",,\n,,\n", "there is no header line"),
        (b"\xff\xfet\x00", "this is UTF-16 text"),
        (b"PK\x03\x04rest", "this is a workbook or an archive"),
        (b"time\x00", "this is not a text file"),
        (b"time,temperature_C\n2030-07-04T06:00Z,5\n\xe9", "this is not UTF-8 text"),
        (",".join(f"c{n}" for n in range(101)), "this file is too large"),
    ],
)
def test_files_that_are_refused(tmp_path: Path, text: str | bytes, what: str) -> None:
    (found,) = problems(tmp_path, text)
    assert what in found.what


def test_many_faults_of_one_kind_are_counted(tmp_path: Path) -> None:
    rows = "".join(f"2030-07-04T{at:02d}:00Z,x\n" for at in range(20))
    found = problems(tmp_path, f"time,temperature_C\n{rows}")
    assert [problem.line for problem in found] == [2, 3, 4, 5]
    assert found[-1].what == "and 17 more like that"


def test_too_large_files_name_the_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(forecast_sheet, "ROW_LIMIT", 2)
    rows = "".join(f"2030-07-04T{at:02d}:00Z,5\n" for at in range(3))
    assert read(tmp_path, f"time,temperature_C\n{rows[:40]}").places[0].time_s.size == 2
    (found,) = problems(tmp_path, f"time,temperature_C\n{rows}")
    assert (found.read, found.allowed) == ("more than 2 rows", "up to 2 rows")
    monkeypatch.setattr(forecast_sheet, "SIZE_LIMIT_BYTES", 1_000_000)
    (found,) = problems(tmp_path, b"a" * 1_000_001)
    assert found.allowed == "up to 1 MB"


def test_a_missing_file_names_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "forecast.csv").write_text("x")
    with pytest.raises(InputError, match=r'did you mean "forecast.csv"'):
        read_forecast_csv(tmp_path / "forcast.csv", ZONE)
    with pytest.raises(InputError, match="this is a folder"):
        read_forecast_csv(tmp_path, ZONE)
    with pytest.raises(InputError, match="unknown time zone"):
        read_forecast_csv(tmp_path / "forecast.csv", "Mars/Olympus")


HEADERS = ("time", "place", "temperature_C", "temperature_F", "humidity_pct", "dew_point_C", "elevation_m", "wind", "")
CELLS = (
    "2030-07-04T06:00Z",
    "2030-07-04T06:00",
    "2030-03-10T02:30",
    "5",
    "0.5",
    "-1",
    "",
    "#",
    '"',
    "x",
    "9999",
    "Foot",
    "\n",
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=300)
@given(
    st.lists(st.sampled_from(HEADERS), min_size=1, max_size=5),
    st.lists(st.lists(st.sampled_from(CELLS), min_size=1, max_size=5), max_size=4),
)
def test_whatever_stands_in_a_file_it_is_read_or_refused_with_a_place(
    tmp_path: Path, header: list[str], rows: list[list[str]]
) -> None:
    text = "\n".join(",".join(cells) for cells in [header, *rows])
    refused: tuple[Problem, ...] = ()
    places: tuple[ForecastPlace, ...] = ()
    try:
        places = read(tmp_path, text).places
    except InputError as error:
        refused = error.problems
    assert bool(places) != bool(refused)
    assert all(problem.what and problem.file for problem in refused)
    assert all(place.time_s.size and (np.diff(place.time_s) > 0.0).all() for place in places)


def test_comments_of_other_kinds_are_left_alone(tmp_path: Path) -> None:
    found = read(tmp_path, "# just words\n# note: more: words\n#source:x\ntime,temperature_C\n2030-07-04T06:00Z,5\n")
    assert found.said_by == "x"
