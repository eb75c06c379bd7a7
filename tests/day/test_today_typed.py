"""A storm typed on the way keeps its chance for what is left of the day; what cannot be used is refused."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day.today_typed import StormToday, rock_all_day, storm_left, today_problems
from handline.errors import InputError
from handline.line.friction import ROCKS
from handline.weather.storms import storm_hazard

H = 3600.0


@pytest.mark.parametrize("now_h", [4.0, 11.0, 15.5, 20.0, 30.0])
@pytest.mark.parametrize(("chance", "from_h"), [(0.0, None), (0.3, None), (0.6, 13.0), (0.99, 12.0)])
def test_the_chance_is_that_of_what_is_left_of_the_day(now_h: float, chance: float, from_h: float | None) -> None:
    storm = storm_left(StormToday(chance, None if from_h is None else from_h * H), now_h * H)
    midnight_s = 24 * H if now_h < 24 else 48 * H
    assert 1.0 - storm.none_between_share(now_h * H, midnight_s) == pytest.approx(chance)
    if from_h is not None and from_h > now_h:
        assert storm.none_between_share(now_h * H, from_h * H) == 1.0


def test_before_the_day_begins_it_is_the_plans_storm() -> None:
    typed, plan = storm_left(StormToday(0.4), 0.0), storm_hazard(0.4)
    assert typed.hazard == pytest.approx(plan.hazard)


def test_late_in_the_evening_it_needs_an_hour() -> None:
    with pytest.raises(InputError) as refused:
        storm_left(StormToday(0.4), 22 * H)
    assert [problem.key for problem in refused.value.problems] == ["--storm"]
    assert "--storm-from" in str(refused.value)
    assert storm_left(StormToday(0.0), 22 * H).hazard.max() == 0.0
    late = storm_left(StormToday(0.4, 22.5 * H), 22 * H)
    assert 1.0 - late.none_between_share(22 * H, 24 * H) == pytest.approx(0.4)


def test_what_cannot_be_used_all_at_once() -> None:
    problems = list(today_problems(-1.0, StormToday(1.0, 25 * H), "slimy"))
    assert [problem.key for problem in problems] == ["--delay", "--storm", "--storm-from", "--rock"]
    assert "dry, damp, wet, iced" in str(problems[-1])
    assert [problem.key for problem in today_problems(np.nan, StormToday(-0.1), "damped")] == [
        "--delay",
        "--storm",
        "--rock",
    ]
    assert [problem.key for problem in today_problems(24 * H + 1, None, None)] == ["--delay"]
    assert list(today_problems(24 * H, StormToday(0.99, 0.0), "iced")) == []


def test_the_rock_stays_as_typed() -> None:
    for number, rock in enumerate(ROCKS):
        state = rock_all_day(rock).at(np.array([0.0, 50_000.0, 200_000.0]), np.zeros(3, np.int64))
        assert state.tolist() == [number] * 3
