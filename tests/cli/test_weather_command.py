"""handline weather from the command line: on screen, on disk, as JSON, with a download, and refused."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from handline.cli import main
from handline.day import forecast_download, weather_reporting
from handline.errors import InputError, Problem
from handline.quantity import show_share
from tests.cli.command_line import EXAMPLES, PETREL, TAMSIN, run, run_in_a_process, when_changed
from tests.day.downloads import NOW_S, TRIP, a_trip, answer, asked_of
from tests.weather.live.replaying import Reply, replaying

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "weather")


def _said(text: str) -> str:
    return " ".join(text.split())


def _hours(
    offset: str = "-06:00", thunder: int = 0, keep: Callable[[dt.datetime], bool] = lambda at: True
) -> list[str]:
    """A fair forecast of three days, a row an hour, warmest at 15 on the clock of its offset."""
    rows = ["time,elevation_m,temperature_C,humidity_pct,wind_m_s,cloud_pct,rain_mm,rain_chance_pct,thunder_chance_pct"]
    for hour in range(72):
        at = dt.datetime(2027, 7, 16) + dt.timedelta(hours=hour)
        warm = float(np.cos((at.hour - 15) / 24.0 * 2.0 * np.pi))
        if keep(at):
            rows.append(f"{at:%Y-%m-%dT%H:%M}{offset},1870,{12 + 6 * warm:.1f},{55 - 20 * warm:.0f},3,20,0,0,{thunder}")
    return rows


def _with_forecast(folder: Path, rows: list[str], more: str = "") -> Path:
    trip = a_trip(folder, forecast="forecast.csv")
    text = trip.read_text(encoding="utf-8").replace('storm_chance = "20 %"\n', "")
    text = text.replace("[[route.legs]]", f"{more}\n[[route.legs]]", 1)
    trip.write_text(text.replace('angle = "44 deg"', 'angle = "44 deg"\nfacing = "SW"'), encoding="utf-8")
    (folder / "forecast.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")
    return trip


# --- what is told --------------------------------------------------------------------------------------------------


def test_without_a_folder_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    beside = when_changed(TAMSIN.parent)
    code, text = _run(TAMSIN)
    said = _said(text)
    assert code == 0
    for words in (
        "Tamsin Dome in one push 2027-07-17 clock: America/Denver", "From the forecast in forecast.csv for 2 places",
        "the sun over a level horizon 05:5", "Moon", "the Tamsin line 8,384 ft 08:35 21:24 40 deg from terrain.tif",
        "Larch Landing (down)", "as felt", "storm", "Air and wind: 8 of 10 courses lie within",
        "The line is judged on dry rock.", "30 % for one at some time of the day: from the forecast, hour by hour",
        "qualified guides", "look up, and turn back", "add --out FOLDER",
    ):  # fmt: skip
        assert words in said, words
    assert max(len(line) for line in text.splitlines()) <= 100
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert list(tmp_path.iterdir()) == []
    assert when_changed(TAMSIN.parent) == beside


@pytest.fixture(scope="module")
def tamsin() -> tuple[dict[str, Any], str]:
    """The report of the example in SI, as JSON and on screen."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", "100")
        return json.loads(_run(TAMSIN, "--units", "si", "--json")[1]), _run(TAMSIN, "--units", "si")[1]


def test_the_slab_is_told_from_an_hour_before_the_start_to_the_usual_end(tamsin: tuple[dict[str, Any], str]) -> None:
    report, text = tamsin
    end_clock_s = report["weather"]["there"][-1]["clock_s"][1]
    hours = re.findall(r"^(\d\d):00 ", text, re.MULTILINE)
    assert hours == [f"{hour:02d}" for hour in range(3, int(end_clock_s // 3600) + 1)]


def test_the_numbers_on_screen_are_those_of_the_report(tamsin: tuple[dict[str, Any], str]) -> None:
    report, text = tamsin
    assert report["weather"]["rocks"] == ["dry", "damp", "wet", "iced"]
    for clock_h in (3, 9, 15):
        (hour,) = [hour for hour in report["weather"]["hours"] if hour["clock_s"] == clock_h * 3600.0]
        (line,) = [line for line in text.splitlines() if line.startswith(f"{clock_h:02d}:00 ")]
        cells = [cell.strip() for cell in re.sub(r"(under|over|to) ", r"\1_", line.replace(" to", "_to")).split()]
        low_C, _, high_C = hour["temperature_C"]
        low_m_s, _, high_m_s = hour["wind_m_s"]
        shares = (*hour["rock_share"], hour["storm_begun_share"])
        assert cells[1] == f"{low_C:.0f}_to_{high_C:.0f}"
        assert cells[2] == f"{low_m_s * 3.6:.0f}_to_{high_m_s * 3.6:.0f}"
        assert cells[-5:] == [show_share(share).removesuffix(" %").replace(" ", "_") for share in shares]


def test_a_narrow_terminal_loses_no_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    _, text = _run(TAMSIN)
    assert "…" not in text
    assert max(len(line) for line in text.splitlines() if "add --out" not in line) <= 60
    assert len(re.findall(r"^09:00 ", text, re.MULTILINE)) == 2, "weather and rock apart"


def test_months_are_told_as_such() -> None:
    code, text = _run(PETREL)
    said = _said(text)
    assert code == 0
    assert "What is usual in January, from the months in the trip file: no forecast of this day." in said
    assert "6 % for one at some time of the day: from how many days of storm the months have" in said
    assert "Petrel Slab 1,166 m 06:28 20:06 16 deg as typed" in said


def test_with_no_weather_at_all_that_is_said(tmp_path: Path) -> None:
    code, text = _run(a_trip(tmp_path))
    said = _said(text)
    assert code == 0
    assert "No forecast and no climate is given." in said
    assert "Nothing says how the rock will be" in said
    assert "Where you are" not in said
    assert "20 % for one at some time of the day: as typed" in said


def test_json_is_the_report_and_units_change_no_number(tamsin: tuple[dict[str, Any], str]) -> None:
    si, text = tamsin
    us = json.loads(_run(TAMSIN, "--units", "us", "--json")[1])
    assert (us["units"], si["units"]) == ("us", "si")
    assert us["weather"]["hours"] == si["weather"]["hours"]
    assert si["storm"]["chance"] == pytest.approx(0.302, abs=5e-4)
    assert "the Tamsin line 2,556 m" in _said(text)
    assert "°C" in text
    assert "°F" not in text


def test_hours_nobody_forecast_are_shown_as_such(tmp_path: Path) -> None:
    """The forecast ends at 08:00: what is not known is no dry rock, no wet one and no air to feel."""
    code, text = _run(_with_forecast(tmp_path, _hours(keep=lambda at: (at.day, at.hour) < (17, 9))))
    assert "The weather is not known when you are at " in _said(text)
    (known,) = re.findall(r"^08:00 .*$", text, re.MULTILINE)
    (unknown,) = re.findall(r"^09:00 .*$", text, re.MULTILINE)
    assert "–" not in known
    assert unknown.replace("under ", "").split()[-5:-1] == ["–"] * 4
    assert "as the air" not in text
    assert code in (0, 1)


def test_it_writes_the_page(tmp_path: Path) -> None:
    _, text = _run(PETREL, "--out", tmp_path / "new")
    (page,) = (tmp_path / "new").glob("*.html")
    assert "Petrel Slab" in page.read_text(encoding="utf-8")
    assert f"Page: {page}" in text


def test_a_finding_at_stop_is_exit_code_1(tmp_path: Path) -> None:
    code, text = _run(_with_forecast(tmp_path, _hours(thunder=30)))
    assert code == 1
    assert "STOP: On " in text, text
    assert "a storm begins before you are off the line" in _said(text)


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    trip = _with_forecast(tmp_path, _hours())
    one, other = (run_in_a_process(seed, "weather", trip, "--json") for seed in ("1", "2"))
    assert one == other


# --- a download ----------------------------------------------------------------------------------------------------


def _download(
    monkeypatch: pytest.MonkeyPatch, trip: Path, *replies: Reply, args: tuple[str, ...] = ()
) -> tuple[int, str, str, list[tuple[str, str, dict[str, str]]]]:
    """Exit code, stdout, stderr, and what was asked."""
    with replaying(*replies) as service:
        monkeypatch.setattr(
            forecast_download,
            "live_service",
            lambda now_s, contact: asked_of(service, trip.parent, NOW_S, contact),
        )
        monkeypatch.setattr("time.time", lambda: NOW_S)
        result = CliRunner().invoke(main, ["weather", str(trip), "--download", *args])
    return result.exit_code, result.stdout, result.stderr, service.asked


def test_a_download_is_told_written_and_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    trip = a_trip(tmp_path)
    code, out, _, asked = _download(monkeypatch, trip, answer(), args=("--contact", "us@place.example"))
    said = _said(out)
    assert code == 0
    assert len(asked) == 1
    assert "us@place.example" in asked[0][2]["user-agent"]
    for words in (
        "Forecast for Head from MET Norway Locationforecast 2.0: made 2 h ago, 2027-07-16 12:00 to 2027-07-18 11:00.",
        "Data from MET Norway (CC BY 4.0).", f"Written: {tmp_path / 'forecast.csv'}",
        f'{trip} names it now: forecast = "forecast.csv" in [weather].', "Three legs 2027-07-17",
        "From the forecast in forecast.csv, MET Norway",
    ):  # fmt: skip
        assert words in said, words
    assert "us@place.example" not in out + (tmp_path / "forecast.csv").read_text(encoding="utf-8")
    assert 'forecast = "forecast.csv"' in trip.read_text(encoding="utf-8")


def test_with_json_the_download_is_told_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _, out, err, _ = _download(monkeypatch, a_trip(tmp_path), answer(), args=("--json",))
    assert json.loads(out)["weather"]["source"] == "forecast"
    assert "made 2 h ago" in err
    assert "made 2 h ago" not in out


def test_offline_the_kept_forecast_is_used_with_its_age(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    trip = a_trip(tmp_path)
    with replaying(answer()) as service:
        asked_of(service, tmp_path).fetch(46.6, -113.4, 1870.0)
        kept = asked_of(service, tmp_path, NOW_S + 3 * 3600.0)
    monkeypatch.setattr(forecast_download, "live_service", lambda now_s, contact: kept)
    monkeypatch.setattr("time.time", lambda: NOW_S + 3 * 3600.0)
    code, text = _run(trip, "--download")
    assert code == 0
    assert "note downloaded 3 h ago: no connection now" in _said(text)


def test_offline_with_nothing_kept_the_user_is_told_to_type_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    trip = a_trip(tmp_path)
    code, out, err, _ = _download(monkeypatch, trip, Reply(how="hang_up"))
    assert (code, out) == (2, "")
    assert "none is kept for this place" in err
    assert "type the forecast into a CSV file" in err
    assert "Nothing was written." in err
    assert trip.read_text(encoding="utf-8") == TRIP
    assert not (tmp_path / "forecast.csv").exists()


@pytest.mark.parametrize(
    ("error", "code"), [(InputError(Problem("this cannot be planned")), 2), (KeyboardInterrupt(), 130)]
)
def test_what_fails_after_a_download_says_that_the_forecast_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException, code: int
) -> None:
    def fails(*_: object) -> None:
        raise error

    monkeypatch.setattr(weather_reporting, "weather_report", fails)
    trip = a_trip(tmp_path)
    exit_code, out, err, _ = _download(monkeypatch, trip, answer())
    assert (exit_code, out) == (code, "")
    assert f"The forecast is written: {tmp_path / 'forecast.csv'}, and {trip} names it now. Nothing else was." in err
    assert "Nothing was written" not in err
    assert (tmp_path / "forecast.csv").exists()


def test_without_download_nothing_is_asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr(forecast_download, "live_service", never)
    assert _run(_with_forecast(tmp_path, _hours()))[0] == 0


def test_a_contact_without_a_download_is_refused(tmp_path: Path) -> None:
    code, text = _run(a_trip(tmp_path), "--contact", "us@place.example")
    assert code == 2
    assert "[--contact]: a contact is sent with a download only" in text


def test_a_contact_that_cannot_be_sent_is_refused_before_anything_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, _, err, asked = _download(monkeypatch, a_trip(tmp_path), answer(), args=("--contact", "a\r\nHost: b"))
    assert code == 2
    assert "the contact cannot be sent" in err
    assert asked == []


# --- forecasts that cannot be used ---------------------------------------------------------------------------------


def _named_wrong(old: str, new: str) -> list[str]:
    header, *rows = _hours()
    assert old in header
    return [header.replace(old, new), *rows]


FAHRENHEIT = [row if not i else re.sub(r",(\d+\.\d),", lambda m: f",{float(m[1]) * 1.8 + 32:.0f},", row)
              for i, row in enumerate(_hours())]  # fmt: skip


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
            [row.replace(",3,20,0,0,0", ",3,20,0,0.3,0") for row in _hours()],
            ("[rain_chance_pct]: these look like shares from 0 to 1, not per cent",),
            id="shares in per cent",
        ),
        pytest.param(
            [*_hours(), _hours()[30]],
            ("[time]: this time is there twice", "lines 31 and 74", "keep one of them"),
            id="an hour twice",
        ),
        pytest.param(
            [row.replace("2027-07-1", "2027-06-1") for row in _hours()],
            ("says nothing of this date", "plan a date that it covers"),
            id="another date",
        ),
        pytest.param(
            [row if i % 2 else row.replace("-06:00", "", 1) for i, row in enumerate(_hours())],
            ("[time]: this time has no offset, and that of line 2 is otherwise",),
            id="offsets on some times",
        ),
        pytest.param(
            [re.sub("T..:..-06:00", "", row) for row in _hours()], ("[time]: no time of day",), id="dates alone"
        ),
        pytest.param(["time;temperature_C", "2027-07-17T06:00;9"], ("parted by semicolons",), id="semicolons"),
        pytest.param([""], ("the forecast file is empty",), id="empty"),
    ],
)  # fmt: skip
def test_a_forecast_that_cannot_be_used_is_refused_plainly(
    tmp_path: Path, rows: list[str], said: tuple[str, ...]
) -> None:
    trip = _with_forecast(tmp_path, rows)
    code, text = _run(trip, "--out", tmp_path / "new")
    assert code == 2, text
    for words in ("forecast.csv", *said, "Nothing was written."):
        assert words in text, f"{words!r} not in:\n{text}"
    assert not (tmp_path / "new").exists()


def test_a_forecast_that_is_not_there_is_told_with_its_near_miss(tmp_path: Path) -> None:
    trip = _with_forecast(tmp_path, _hours())
    (tmp_path / "forecast.csv").rename(tmp_path / "forcast.csv")
    code, text = _run(trip)
    assert code == 2
    assert "[weather.forecast]" in text
    assert 'did you mean "forcast.csv"?' in text


def test_a_forecast_in_utc_is_read_as_such_and_one_without_offsets_as_local(tmp_path: Path) -> None:
    """The same hours written in UTC are the same forecast; unlabelled they are hours of the trip's clock."""
    trip = _with_forecast(tmp_path, _hours())
    told = [_hours_of(trip)]
    rows = [
        row if not i else f"{dt.datetime.fromisoformat(row[:22]).astimezone(dt.UTC):%Y-%m-%dT%H:%MZ}{row[22:]}"
        for i, row in enumerate(_hours())
    ]
    (tmp_path / "forecast.csv").write_text("\n".join(rows), encoding="utf-8")
    told.append(_hours_of(trip))
    (tmp_path / "forecast.csv").write_text("\n".join(_hours(offset="")), encoding="utf-8")
    told.append(_hours_of(trip))
    assert told[0] == told[1] == told[2]
    assert told[0][15] == max(told[0][:24]), "warmest at 15"
    assert "times without an offset are read as local time of America/Denver" in _said(_run(trip)[1])
    (tmp_path / "forecast.csv").write_text("\n".join(_hours(offset="Z")), encoding="utf-8")
    assert _hours_of(trip)[9] == max(_hours_of(trip)[:24]), "another zone is six hours off"


def _hours_of(trip: Path) -> list[float]:
    report = json.loads(_run(trip, "--json")[1])
    return [hour["temperature_C"][1] for hour in report["weather"]["hours"]]


def test_a_gap_is_said_and_its_rock_is_wet(tmp_path: Path) -> None:
    gap = _hours(keep=lambda at: not (at.day == 17 and 5 <= at.hour < 14))
    _, text = _run(_with_forecast(tmp_path, gap))
    said = _said(text)
    assert "heed The weather is not known when you are at Gate about 06:00" in said
    assert "no forecast from 04:00 to 14:00" in said
    assert "The line is judged on wet rock." in said
    (row,) = [line.split() for line in text.splitlines() if line.startswith("09:00 ")]
    assert "–" in row
    assert not any(cell.replace(".", "").isdigit() for cell in row[1:4])


def test_a_terrain_model_that_does_not_hold_the_slab_is_refused(tmp_path: Path) -> None:
    trip = _with_forecast(tmp_path, _hours(), 'terrain = "terrain.tif"')
    (tmp_path / "terrain.tif").write_bytes((EXAMPLES / "tamsin-dome" / "terrain.tif").read_bytes())
    assert _run(trip)[0] == 0
    text = trip.read_text(encoding="utf-8")
    trip.write_text(text.replace("latitude = 46.6", "latitude = 47.6"), encoding="utf-8")
    code, said = _run(trip)
    assert code == 2
    for words in (
        "[route.terrain]",
        "the terrain model does not hold the place",
        "give a terrain model of the country",
    ):
        assert words in said
