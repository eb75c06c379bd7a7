"""A downloaded forecast: what is asked, what is written, what is never overwritten, and what a user reads otherwise."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from handline.day import forecast_download
from handline.day.forecast_download import MARK, download_forecast, live_service
from handline.errors import InputError, OutputError, TripError
from handline.trip import reading
from handline.trip.reading import read_trip
from handline.weather.forecast_csv import read_forecast_csv
from tests.day.downloads import FIRST, NOW_S, SLAB_QUERY, TRIP, a_trip, answer, asked_of
from tests.weather.live.replaying import Reply, replaying

GONE = Reply(how="hang_up")
HOUR_S = 3600.0


def _bytes_of(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def _refused(trip: Path, *replies: Reply, now_s: float = NOW_S) -> tuple[str, int]:
    """What is told of a download that must fail and change nothing; and how often the service was asked."""
    before = _bytes_of(trip.parent)
    with replaying(*replies) as service, pytest.raises(InputError) as caught:
        download_forecast(trip, asked_of(service, trip.parent, now_s), now_s)
    assert _bytes_of(trip.parent) == before
    return str(caught.value), len(service.asked)


def test_it_asks_for_the_slab_writes_the_forecast_and_names_it(tmp_path: Path) -> None:
    trip = a_trip(tmp_path)
    with replaying(answer()) as service:
        done = download_forecast(trip, asked_of(service, tmp_path), NOW_S)
    assert [path.partition("?")[2] for _, path, _ in service.asked] == [SLAB_QUERY]
    assert (done.path, done.place, done.named_now) == (tmp_path / "forecast.csv", "Head", True)
    assert done.made_says == "made 2 h ago"
    assert done.covers_says == "2027-07-16 12:00 to 2027-07-18 11:00"
    assert done.attribution == "Data from MET Norway (CC BY 4.0)"
    text = done.path.read_text(encoding="utf-8")
    assert text.splitlines()[0].startswith(f"{MARK} on 2027-07-16 at 18:30 UTC")
    forecast = read_forecast_csv(done.path, "America/Denver")
    (place,) = forecast.places
    assert (place.name, place.elevation_m, place.time_s.size) == ("Head", 1870.0, 48)
    assert place.time_s[0] == FIRST.timestamp()
    assert place.temperature_C[3] == 18.0
    assert np.nanmax(place.thunder_chance) == 0.01
    assert "CC BY 4.0" in forecast.said_by
    assert forecast.issued_s == dt.datetime(2027, 7, 16, 17, tzinfo=dt.UTC).timestamp()


def test_everything_else_in_the_trip_file_stays(tmp_path: Path) -> None:
    trip = a_trip(tmp_path)
    with replaying(answer()) as service:
        download_forecast(trip, asked_of(service, tmp_path), NOW_S)
    named = 'storm_chance = "20 %"\nforecast = "forecast.csv"\n'
    assert trip.read_text(encoding="utf-8") == TRIP.replace('storm_chance = "20 %"\n', named)
    assert read_trip(trip).weather.forecast == "forecast.csv"


@pytest.mark.parametrize("checked", [True, False])
def test_a_forecast_that_is_named_but_not_there_yet_is_written(
    tmp_path: Path, checked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether or not a missing file is told of when the trip is read."""
    own = tuple(key for key in reading.FILE_KEYS if key != ("weather", "forecast"))
    monkeypatch.setattr(reading, "FILE_KEYS", (*own, ("weather", "forecast")) if checked else own)
    trip = a_trip(tmp_path, forecast="weather/friday.csv")
    before = trip.read_bytes()
    with replaying(answer()) as service:
        done = download_forecast(trip, asked_of(service, tmp_path), NOW_S)
    assert (done.path, done.named_now) == (tmp_path / "weather" / "friday.csv", False)
    assert read_forecast_csv(done.path, "America/Denver").places
    assert trip.read_bytes() == before


def test_what_else_is_wrong_with_the_trip_is_told_before_anything_is_asked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading, "FILE_KEYS", (*reading.FILE_KEYS, ("weather", "forecast")))
    trip = a_trip(tmp_path, forecast="friday.csv", rock="slimy")
    said, asked = _refused(trip, answer())
    assert "weather.rock" in said
    assert asked == 0


def test_an_older_download_is_overwritten(tmp_path: Path) -> None:
    trip = a_trip(tmp_path)
    with replaying(answer(), answer(warmer_C=5.0)) as service:
        download_forecast(trip, asked_of(service, tmp_path), NOW_S)
        named = trip.read_bytes()
        done = download_forecast(trip, asked_of(service, tmp_path, NOW_S + HOUR_S), NOW_S + HOUR_S)
    assert len(service.asked) == 2
    assert not done.named_now
    assert trip.read_bytes() == named
    assert read_forecast_csv(done.path, "America/Denver").places[0].temperature_C[3] == 23.0


@pytest.mark.parametrize("named", [True, False])
def test_a_forecast_typed_by_hand_is_never_overwritten(tmp_path: Path, named: bool) -> None:
    trip = a_trip(tmp_path, **({"forecast": "forecast.csv"} if named else {}))
    (tmp_path / "forecast.csv").write_text("time,temperature_C\n2027-07-17T06:00,9\n", encoding="utf-8")
    said, asked = _refused(trip, answer())
    assert "trip.toml" in said
    assert "[weather.forecast]" in said
    assert ("no download wrote" if named else "it was no download that wrote it") in said
    assert 'forecast = "download.csv"' in said
    assert asked == 0


def test_a_download_whose_first_line_is_taken_away_is_the_users_own(tmp_path: Path) -> None:
    trip = a_trip(tmp_path)
    with replaying(answer()) as service:
        done = download_forecast(trip, asked_of(service, tmp_path), NOW_S)
    kept = done.path.read_text(encoding="utf-8").split("\n", 1)[1]
    done.path.write_text(kept, encoding="utf-8")
    assert "no download wrote" in _refused(trip, answer())[0]


@pytest.mark.parametrize("name", ["../forecast.csv", "/tmp/handline-forecast.csv", "link/forecast.csv"])
def test_nothing_is_written_outside_the_folder_of_the_trip(tmp_path: Path, name: str) -> None:
    home = tmp_path / "trip"
    home.mkdir()
    (home / "link").symlink_to(tmp_path)
    trip = a_trip(home, forecast=name)
    said, asked = _refused(trip, answer())
    assert "only into the folder of the trip file" in said
    assert asked == 0
    assert not (tmp_path / "forecast.csv").exists()


def test_the_trip_file_itself_is_not_overwritten(tmp_path: Path) -> None:
    assert "no download wrote" in _refused(a_trip(tmp_path, forecast="trip.toml"), answer())[0]


@pytest.mark.parametrize(
    ("first", "hours", "reaches"),
    [
        (FIRST - dt.timedelta(days=9), 48, "2027-07-07 12:00 to 2027-07-09 11:00"),
        (FIRST, 12, "2027-07-16 12:00 to 2027-07-16 23:00"),
        (dt.datetime(2027, 7, 18, 6, tzinfo=dt.UTC), 30, "2027-07-18 00:00 to 2027-07-19 05:00"),
    ],
)
def test_a_forecast_that_does_not_reach_the_date_is_not_written(
    tmp_path: Path, first: dt.datetime, hours: int, reaches: str
) -> None:
    """The hour of 00:00 of the next day is no hour of the date."""
    said, _ = _refused(a_trip(tmp_path), answer(first, hours))
    assert "does not reach the date of the trip, 2027-07-17" in said
    assert f"read: {reaches}" in said
    assert "[[weather.months]]" in said


def test_one_hour_of_the_date_is_enough(tmp_path: Path) -> None:
    with replaying(answer(hours=13)) as service:
        done = download_forecast(a_trip(tmp_path), asked_of(service, tmp_path), NOW_S)
    assert done.covers_says.endswith("to 2027-07-17 00:00")


def test_without_an_answer_the_last_one_is_written_with_its_age(tmp_path: Path) -> None:
    trip = a_trip(tmp_path)
    with replaying(answer(), GONE) as service:
        download_forecast(trip, asked_of(service, tmp_path), NOW_S)
        done = download_forecast(trip, asked_of(service, tmp_path, NOW_S + 5 * HOUR_S), NOW_S + 5 * HOUR_S)
    assert any(note.startswith("downloaded 5 h ago: ") for note in done.notes)
    assert done.made_says == "made 6 h ago"
    lines = done.path.read_text(encoding="utf-8").splitlines()
    assert "at 23:30 UTC; ages below are of then" in lines[0]
    assert any(line.startswith("# note: downloaded 5 h ago") for line in lines)


def test_without_any_answer_the_user_is_told_to_type_one(tmp_path: Path) -> None:
    said, _ = _refused(a_trip(tmp_path), GONE)
    assert "no forecast from MET Norway Locationforecast 2.0" in said
    assert "none is kept for this place" in said
    assert "type the forecast into a CSV file" in said


def test_a_trip_file_that_cannot_be_written_leaves_no_forecast_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OutputError("no room")

    monkeypatch.setattr(forecast_download, "set_values", full)
    trip = a_trip(tmp_path)
    before = _bytes_of(tmp_path)
    with replaying(answer()) as service, pytest.raises(OutputError):
        download_forecast(trip, asked_of(service, tmp_path), NOW_S)
    assert _bytes_of(tmp_path) == before


def test_a_track_that_cannot_be_used_is_told_with_its_place(tmp_path: Path) -> None:
    trip = a_trip(tmp_path)
    text = trip.read_text(encoding="utf-8")
    trip.write_text(text.replace('kind = "line_head"', 'kind = "place"'), encoding="utf-8")
    with replaying(answer()) as service, pytest.raises(TripError) as caught:
        download_forecast(trip, asked_of(service, tmp_path), NOW_S)
    (problem,) = caught.value.problems
    assert problem.file == str(trip)
    assert problem.line is not None
    assert service.asked == []


def test_answers_are_kept_in_the_cache_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HANDLINE_CACHE", str(tmp_path))
    service = live_service(NOW_S, "us@place.example")
    assert service.name == "MET Norway Locationforecast 2.0"
    assert vars(service)["folder"] == tmp_path / "forecasts"
    assert (vars(service)["contact"], vars(service)["now_s"]) == ("us@place.example", NOW_S)
