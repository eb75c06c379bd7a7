"""A forecast from CSV that is refused: everything that is wrong with it, and where."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.errors import InputError, Problem
from handline.weather import forecast_sheet
from handline.weather.forecast import ForecastPlace
from handline.weather.forecast_csv import read_forecast_csv
from tests.weather.forecast_files import ZONE, problems, read


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


@pytest.mark.parametrize("column", ["humidity_pct", "cloud_pct", "rain_chance_pct", "thunder_chance_pct"])
def test_shares_are_not_taken_for_per_cent(tmp_path: Path, column: str) -> None:
    rows = "".join(f"2030-07-04T0{at}:00Z,5,{share}\n" for at, share in ((6, 0), (7, 0.4), (8, 1)))
    (found,) = problems(tmp_path, f"time,temperature_C,{column}\n{rows}")
    assert (found.line, found.key, found.read) == (3, column, "0.4")
    for higher in ("1.0005", "2"):
        text = f"time,temperature_C,{column}\n{rows}2030-07-04T09:00Z,5,{higher}\n"
        assert read(tmp_path, text).places[0].time_s.size == 4


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
