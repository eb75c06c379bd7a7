"""What the line needs of the day, kept: the same question is looked into once, another one again."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.day.day_kept import DayOnLine, kept_day
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.day.setting import set_up
from tests.day.line_reports import tamsin_trip
from tests.day.skies import fair, weather_trip, write_forecast


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))


def test_the_same_question_is_looked_into_once() -> None:
    looks: list[str] = []

    def look(rock: str) -> DayOnLine:
        looks.append(rock)
        return DayOnLine(rock, (1.5, 7.25))

    assert kept_day("a", "", lambda: look("wet")) == DayOnLine("wet", (1.5, 7.25))
    assert kept_day("a", "", lambda: look("dry")) == DayOnLine("wet", (1.5, 7.25))
    assert kept_day("b", "", lambda: look("dry")).rock == "dry"
    assert kept_day("a", "lowered", lambda: look("iced")).rock == "iced"
    assert looks == ["wet", "dry", "iced"]


@pytest.mark.parametrize(
    "text", ["marble", '{"rock": "marble", "pack_kg": []}', '{"rock": "wet"}', '{"rock": "wet", "pack_kg": [-1]}', "[]"]
)
def test_what_is_kept_and_cannot_be_is_looked_into_again(tmp_path: Path, text: str) -> None:
    kept_day("a", "", lambda: DayOnLine("wet", ()))
    (file,) = (tmp_path / "cache" / "days").iterdir()
    file.write_text(text, encoding="utf-8")
    assert kept_day("a", "", lambda: DayOnLine("damp", ())).rock == "damp"


def test_line_and_plan_count_the_same_packs() -> None:
    """With a gear list packs come from the day; the second time they are only read."""
    trip, setting = tamsin_trip(), set_up(tamsin_trip())
    assert trip.gear.items
    for _ in range(2):
        assert line_report(trip).body_mass_kg == pytest.approx(setting.body_mass_kg, abs=1e-12)
    assert setting.body_mass_kg > max(trip.party.masses_kg) + 5.0


def test_another_forecast_is_another_rock(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (12.0, 97.0, 2.0, 100.0, 1.0, 100.0, 0.0))
    assert line_report(weather_trip(tmp_path)).line.rock == "wet"
    assert line_report(weather_trip(tmp_path)).line.rock == "wet"
    write_forecast(tmp_path, fair)
    trip = weather_trip(tmp_path)
    assert line_report(trip).line.rock == set_up(trip).rock.name == "dry"
    assert line_report(trip, WhatIf(mass="95 kg")).line.rock == "dry"
