"""handline weather with a download: told, written, used, kept, and refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from handline.cli import main
from handline.day import forecast_download, weather_reporting
from handline.errors import InputError, Problem
from tests.cli.weather_asked import forecast_rows, in_one_line, run_weather, trip_with_forecast
from tests.day.downloads import NOW_S, TRIP, a_trip, answer, asked_of
from tests.weather.live.replaying import Reply, replaying

pytestmark = pytest.mark.usefixtures("hundred_columns")


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
    said = in_one_line(out)
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
    code, text = run_weather(trip, "--download")
    assert code == 0
    assert "note downloaded 3 h ago: no connection now" in in_one_line(text)


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
    assert run_weather(trip_with_forecast(tmp_path, forecast_rows()))[0] == 0


def test_a_contact_without_a_download_is_refused(tmp_path: Path) -> None:
    code, text = run_weather(a_trip(tmp_path), "--contact", "us@place.example")
    assert code == 2
    assert "[--contact]: a contact is sent with a download only" in text


def test_a_contact_that_cannot_be_sent_is_refused_before_anything_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, _, err, asked = _download(monkeypatch, a_trip(tmp_path), answer(), args=("--contact", "a\r\nHost: b"))
    assert code == 2
    assert "the contact cannot be sent" in err
    assert asked == []
