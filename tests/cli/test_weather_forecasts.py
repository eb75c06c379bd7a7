"""handline weather with forecasts that cannot be used, or only in part."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from tests.cli.command_line import EXAMPLES
from tests.cli.weather_asked import forecast_rows, in_one_line, run_weather, trip_with_forecast

pytestmark = pytest.mark.usefixtures("hundred_columns")


def _named_wrong(old: str, new: str) -> list[str]:
    header, *rows = forecast_rows()
    assert old in header
    return [header.replace(old, new), *rows]


FAHRENHEIT = [row if not i else re.sub(r",(\d+\.\d),", lambda m: f",{float(m[1]) * 1.8 + 32:.0f},", row)
              for i, row in enumerate(forecast_rows())]  # fmt: skip


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        pytest.param(
            FAHRENHEIT,
            ("[temperature_C]: this number is too high", "this looks like Fahrenheit: name the column temperature_F"),
            id="Fahrenheit in Celsius",
        ),
        pytest.param(
            _named_wrong("temperature_C", "temperature"),
            ("forecast.csv:1 [temperature]: no unit in the name", "write temperature_C or temperature_F"),
            id="no unit",
        ),
        pytest.param(
            _named_wrong("wind_m_s", "wind_knots"), ("[wind_knots]", "wind_kt"), id="a unit nobody knows"
        ),
        pytest.param(
            [row.replace(",3,20,0,0,0", ",3,20,0,0.3,0") for row in forecast_rows()],
            ("[rain_chance_pct]: these look like shares from 0 to 1, not per cent",),
            id="shares in per cent",
        ),
        pytest.param(
            [*forecast_rows(), forecast_rows()[30]],
            ("[time]: this time is there twice", "lines 31 and 74", "keep one of them"),
            id="an hour twice",
        ),
        pytest.param(
            [row.replace("2027-07-1", "2027-06-1") for row in forecast_rows()],
            ("says nothing of this date", "plan a date that it covers"),
            id="another date",
        ),
        pytest.param(
            [row if i % 2 else row.replace("-06:00", "", 1) for i, row in enumerate(forecast_rows())],
            ("[time]: this time has no offset, and that of line 2 is otherwise",),
            id="offsets on some times",
        ),
        pytest.param(
            [re.sub("T..:..-06:00", "", row) for row in forecast_rows()], ("[time]: no time of day",), id="dates alone"
        ),
        pytest.param(["time;temperature_C", "2027-07-17T06:00;9"], ("parted by semicolons",), id="semicolons"),
        pytest.param([""], ("the forecast file is empty",), id="empty"),
    ],
)  # fmt: skip
def test_a_forecast_that_cannot_be_used_is_refused_plainly(
    tmp_path: Path, rows: list[str], said: tuple[str, ...]
) -> None:
    trip = trip_with_forecast(tmp_path, rows)
    code, text = run_weather(trip, "--out", tmp_path / "new")
    assert code == 2, text
    for words in ("forecast.csv", *said, "Nothing was written."):
        assert words in text, f"{words!r} not in:\n{text}"
    assert not (tmp_path / "new").exists()


def test_a_forecast_that_is_not_there_is_told_with_its_near_miss(tmp_path: Path) -> None:
    trip = trip_with_forecast(tmp_path, forecast_rows())
    (tmp_path / "forecast.csv").rename(tmp_path / "forcast.csv")
    code, text = run_weather(trip)
    assert code == 2
    assert "[weather.forecast]" in text
    assert 'did you mean "forcast.csv"?' in text


def test_a_forecast_in_utc_is_read_as_such_and_one_without_offsets_as_local(tmp_path: Path) -> None:
    """The same hours written in UTC are the same forecast; unlabelled they are hours of the trip's clock."""
    trip = trip_with_forecast(tmp_path, forecast_rows())
    told = [_hours_of(trip)]
    rows = [
        row if not i else f"{dt.datetime.fromisoformat(row[:22]).astimezone(dt.UTC):%Y-%m-%dT%H:%MZ}{row[22:]}"
        for i, row in enumerate(forecast_rows())
    ]
    (tmp_path / "forecast.csv").write_text("\n".join(rows), encoding="utf-8")
    told.append(_hours_of(trip))
    (tmp_path / "forecast.csv").write_text("\n".join(forecast_rows(offset="")), encoding="utf-8")
    told.append(_hours_of(trip))
    assert told[0] == told[1] == told[2]
    assert told[0][15] == max(told[0][:24]), "warmest at 15"
    assert "times without an offset are read as local time of America/Denver" in in_one_line(run_weather(trip)[1])
    (tmp_path / "forecast.csv").write_text("\n".join(forecast_rows(offset="Z")), encoding="utf-8")
    assert _hours_of(trip)[9] == max(_hours_of(trip)[:24]), "another zone is six hours off"


def _hours_of(trip: Path) -> list[float]:
    report = json.loads(run_weather(trip, "--json")[1])
    return [hour["temperature_C"][1] for hour in report["weather"]["hours"]]


def test_a_gap_is_said_and_its_rock_is_wet(tmp_path: Path) -> None:
    gap = forecast_rows(keep=lambda at: not (at.day == 17 and 5 <= at.hour < 14))
    _, text = run_weather(trip_with_forecast(tmp_path, gap))
    said = in_one_line(text)
    assert "heed The weather is not known when you are at Gate about 06:00" in said
    assert "no forecast from 04:00 to 14:00" in said
    assert "The line is judged on wet rock." in said
    (row,) = [line.split() for line in text.splitlines() if line.startswith("09:00 ")]
    assert "–" in row
    assert not any(cell.replace(".", "").isdigit() for cell in row[1:4])


def test_a_terrain_model_that_does_not_hold_the_slab_is_refused(tmp_path: Path) -> None:
    trip = trip_with_forecast(tmp_path, forecast_rows(), 'terrain = "terrain.tif"')
    (tmp_path / "terrain.tif").write_bytes((EXAMPLES / "tamsin-dome" / "terrain.tif").read_bytes())
    assert run_weather(trip)[0] == 0
    text = trip.read_text(encoding="utf-8")
    trip.write_text(text.replace("latitude = 46.6", "latitude = 47.6"), encoding="utf-8")
    code, said = run_weather(trip)
    assert code == 2
    for words in (
        "[route.terrain]",
        "the terrain model does not hold the place",
        "give a terrain model of the country",
    ):
        assert words in said
