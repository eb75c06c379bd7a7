"""handline weather from the command line: on screen, on disk and as JSON."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from handline.quantity import show_share
from tests.cli.command_line import PETREL, TAMSIN, run_in_a_process, when_changed
from tests.cli.weather_asked import forecast_rows, in_one_line, run_weather, trip_with_forecast
from tests.day.downloads import a_trip

pytestmark = pytest.mark.usefixtures("hundred_columns")


def test_without_a_folder_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    beside = when_changed(TAMSIN.parent)
    code, text = run_weather(TAMSIN)
    said = in_one_line(text)
    assert code == 0
    for words in (
        "Tamsin Dome in one push 2027-07-17 clock: America/Denver", "From the forecast in forecast.csv for 2 places",
        "the sun over a level horizon 05:5", "Moon",
            "the Tamsin line 8,384 ft 09:01 21:05 40 deg its own slope, 49 deg facing 208 deg; from",
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
        return json.loads(run_weather(TAMSIN, "--units", "si", "--json")[1]), run_weather(TAMSIN, "--units", "si")[1]


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
    _, text = run_weather(TAMSIN)
    assert "…" not in text
    assert max(len(line) for line in text.splitlines() if "add --out" not in line) <= 60
    assert len(re.findall(r"^09:00 ", text, re.MULTILINE)) == 2, "weather and rock apart"


def test_months_are_told_as_such() -> None:
    code, text = run_weather(PETREL)
    said = in_one_line(text)
    assert code == 0
    assert "What is usual in January, from the months in the trip file: no forecast of this day." in said
    assert "6 % for one at some time of the day: from how many days of storm the months have" in said
    assert "Petrel Slab 1,166 m 06:28 20:06 16 deg its own slope, 55 deg facing 180 deg; as typed" in said


def test_with_no_weather_at_all_that_is_said(tmp_path: Path) -> None:
    code, text = run_weather(a_trip(tmp_path))
    said = in_one_line(text)
    assert code == 0
    assert "No forecast and no climate is given." in said
    assert "Nothing says how the rock will be" in said
    assert "Where you are" not in said
    assert "20 % for one at some time of the day: as typed" in said


def test_json_is_the_report_and_units_change_no_number(tamsin: tuple[dict[str, Any], str]) -> None:
    si, text = tamsin
    us = json.loads(run_weather(TAMSIN, "--units", "us", "--json")[1])
    assert (us["units"], si["units"]) == ("us", "si")
    assert us["weather"]["hours"] == si["weather"]["hours"]
    assert si["storm"]["chance"] == pytest.approx(0.302, abs=5e-4)
    assert "the Tamsin line 2,556 m" in in_one_line(text)
    assert "°C" in text
    assert "°F" not in text


def test_hours_nobody_forecast_are_shown_as_such(tmp_path: Path) -> None:
    """The forecast ends at 08:00: what is not known is no dry rock, no wet one and no air to feel."""
    code, text = run_weather(trip_with_forecast(tmp_path, forecast_rows(keep=lambda at: (at.day, at.hour) < (17, 9))))
    assert "The weather is not known when you are at " in in_one_line(text)
    (known,) = re.findall(r"^08:00 .*$", text, re.MULTILINE)
    (unknown,) = re.findall(r"^09:00 .*$", text, re.MULTILINE)
    assert "–" not in known
    assert unknown.replace("under ", "").split()[-5:-1] == ["–"] * 4
    assert "as the air" not in text
    assert code in (0, 1)


def test_it_writes_the_page(tmp_path: Path) -> None:
    _, text = run_weather(PETREL, "--out", tmp_path / "new")
    (page,) = (tmp_path / "new").glob("*.html")
    assert "Petrel Slab" in page.read_text(encoding="utf-8")
    assert f"Page: {page}" in text


def test_a_finding_at_stop_is_exit_code_1(tmp_path: Path) -> None:
    code, text = run_weather(trip_with_forecast(tmp_path, forecast_rows(thunder=30)))
    assert code == 1
    assert "STOP: On " in text, text
    assert "a storm begins before you are off the line" in in_one_line(text)


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    trip = trip_with_forecast(tmp_path, forecast_rows())
    one, other = (run_in_a_process(seed, "weather", trip, "--json") for seed in ("1", "2"))
    assert one == other
