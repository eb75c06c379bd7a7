"""The starter file reads back without problems, whatever it is made from."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.day.planning import make_plan
from handline.quantity import Units
from handline.trip.reading import read_trip_text
from handline.trip.starter import starter_text
from tests.day.skies import write_forecast

DAY = dt.date(2027, 7, 17)


@pytest.mark.parametrize("units", ["si", "us"])
def test_with_a_track(trip_file: Path, units: Units) -> None:
    trip = read_trip_text(starter_text("Larch Landing", "track.gpx", DAY, units=units), trip_file)
    assert (trip.about.name, trip.about.date, trip.about.units) == ("Larch Landing", DAY, units)
    assert (trip.route.track, trip.route.legs) == ("track.gpx", ())


def test_without_a_track(trip_file: Path) -> None:
    trip = read_trip_text(starter_text("Wren", None, DAY, latitude_deg=-42.05, longitude_deg=146.3), trip_file)
    assert (trip.route.track, trip.route.latitude_deg, trip.route.longitude_deg) == (None, -42.05, 146.3)
    assert (trip.foot_name, trip.head_name) == ("Foot of the line", "Head of the line")


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    name=st.text(min_size=1, max_size=80).filter(lambda text: text.isprintable() and text.strip() == text),
    day=st.dates(),
)
def test_any_name_and_day_read_back(name: str, day: dt.date, trip_file: Path) -> None:
    trip = read_trip_text(starter_text(name, "track.gpx", day), trip_file)
    assert (trip.about.name, trip.about.date) == (name, day)


@pytest.mark.parametrize("track", ["track.gpx", None])
def test_every_key_that_is_commented_out_may_be_used(trip_file: Path, track: str | None) -> None:
    for name in ("terrain.tif", "forecast.csv"):
        (trip_file.parent / name).touch()
    text = starter_text("Larch", track, DAY)
    used = re.sub(r"^# (?=\[|\w+ = )", "", text, flags=re.MULTILINE)
    trip = read_trip_text(used, trip_file)
    assert used.count("\n# ") < text.count("\n# ")
    assert trip.season.raised
    assert trip.crowd.wait_up_long_s == 2400.0
    assert trip.permits[0].held
    assert (trip.line.facing_deg, trip.weather.forecast) == (225.0, "forecast.csv")
    assert [(month.month, month.high_C) for month in trip.weather.months] == [(DAY.month, 18.0)]
    assert trip.line.anchors_m[-1] == sum(piece.length_m for piece in trip.line.slab)


@pytest.mark.parametrize("track", ["track.gpx", None])
def test_nothing_is_said_of_the_weather_that_nobody_typed(trip_file: Path, track: str | None) -> None:
    weather = read_trip_text(starter_text("Larch", track, DAY), trip_file).weather
    assert weather.model_fields_set == set()


def test_the_rock_of_a_new_trip_is_that_of_its_forecast(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (12.0, 97.0, 2.0, 100.0, 1.0, 100.0, 0.0))
    text = starter_text("Larch", None, DAY)
    without = make_plan(read_trip_text(text, tmp_path / "trip.toml"))
    assert "rock_guessed" in {finding.key for finding in without.findings}
    rainy = make_plan(read_trip_text(text.replace("# forecast = ", "forecast = "), tmp_path / "trip.toml"))
    assert rainy.weather.rock == "wet"
    assert "typed" not in rainy.weather.rock_says


@pytest.mark.parametrize("month", range(1, 13))
def test_its_months_are_those_of_the_day(trip_file: Path, month: int) -> None:
    used = starter_text("Larch", "track.gpx", dt.date(2027, month, 3)).replace(
        "# [[weather.months]]", "[[weather.months]]"
    )
    for key in ("month", "low", "high"):
        used = used.replace(f"# {key} = ", f"{key} = ")
    assert [one.month for one in read_trip_text(used, trip_file).weather.months] == [month]


def test_it_is_short_enough_to_read() -> None:
    lines = starter_text("Larch", "track.gpx", DAY).splitlines()
    assert len(lines) < 100
    assert max(map(len, lines)) <= 120
