"""The times of a forecast from CSV: with an offset, without, or no moment at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.weather.forecast_files import problems, read, utc


def test_times_without_an_offset_are_local(tmp_path: Path) -> None:
    found = read(tmp_path, "# issued: 2030-01-03 20:00\ntime,temperature_C\n2030-01-04T06:00,1\n2030-01-04T06:40,2\n")
    assert found.places[0].time_s.tolist() == [utc("2030-01-04T13:00+00:00"), utc("2030-01-04T13:40+00:00")]
    assert found.issued_s == utc("2030-01-04T03:00+00:00")
    assert found.notes == ("times without an offset are read as local time of America/Denver",)


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
