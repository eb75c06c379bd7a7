"""The rock kept for the line: the same question is looked into once, another one again."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.day.rock_kept import kept_rock
from handline.day.setting import set_up
from handline.line.friction import ROCKS
from tests.day.skies import fair, weather_trip, write_forecast


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))


def test_the_same_question_is_looked_into_once() -> None:
    looks: list[str] = []

    def look(name: str) -> object:
        looks.append(name)
        return ROCKS[name]

    assert kept_rock("a", "", lambda: look("wet")).name == "wet"  # type: ignore[arg-type,return-value]
    assert kept_rock("a", "", lambda: look("dry")).name == "wet"  # type: ignore[arg-type,return-value]
    assert kept_rock("b", "", lambda: look("dry")).name == "dry"  # type: ignore[arg-type,return-value]
    assert kept_rock("a", "lowered", lambda: look("iced")).name == "iced"  # type: ignore[arg-type,return-value]
    assert looks == ["wet", "dry", "iced"]


def test_a_kept_word_that_is_no_rock_is_looked_into_again(tmp_path: Path) -> None:
    kept_rock("a", "", lambda: ROCKS["wet"])
    (file,) = (tmp_path / "cache" / "rock").iterdir()
    file.write_text("marble", encoding="utf-8")
    assert kept_rock("a", "", lambda: ROCKS["damp"]).name == "damp"


def test_another_forecast_is_another_rock(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (12.0, 97.0, 2.0, 100.0, 1.0, 100.0, 0.0))
    assert line_report(weather_trip(tmp_path)).line.rock == "wet"
    assert line_report(weather_trip(tmp_path)).line.rock == "wet"
    write_forecast(tmp_path, fair)
    trip = weather_trip(tmp_path)
    assert line_report(trip).line.rock == set_up(trip).rock.name == "dry"
    assert line_report(trip, WhatIf(mass="95 kg")).line.rock == "dry"
