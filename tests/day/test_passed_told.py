"""Places and times as a leader tells them: which passing, on which date, and what cannot be right."""

from __future__ import annotations

import re

import numpy as np
import pytest

from handline.day.passed_told import PassedAt, order_problems, passings_told
from handline.day.simulation import Days
from handline.errors import InputError
from handline.route.unrolling import Point

NAMES = ("Gate", "Foot", "Head", "Top", "Head", "Foot", "Gate")
WAYS = ("up", "up", "up", "up", "down", "down", "down")
POINTS = tuple(
    Point(name, "place", way, 1000.0 * i, 1000.0, np.nan, np.nan)
    for i, (name, way) in enumerate(zip(NAMES, WAYS, strict=True))
)
# Three days each: the passings come about at these hours, give or take an hour.
HOURS = (6.0, 9.0, 10.0, 10.5, 11.0, 12.0, 14.0)


def _days(later_h: float = 0.0) -> Days:
    return Days(
        tuple(3600.0 * (later_h + hour + np.array([-1.0, 0.0, 1.0]) * (i > 0)) for i, hour in enumerate(HOURS)), ()
    )


def _told(*pairs: tuple[str, str], later_h: float = 0.0) -> list[tuple[int, float]]:
    at, time = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
    return [(one.passing, one.clock_s / 3600.0) for one in passings_told(POINTS, _days(later_h), at, time)]


def _refused(*pairs: tuple[str, str]) -> list[tuple[str | None, str]]:
    with pytest.raises(InputError) as refused:
        _told(*pairs)
    return [(problem.key, str(problem)) for problem in refused.value.problems]


def test_the_first_passing_still_to_come_counts() -> None:
    assert _told(("Foot", "09:10")) == [(1, pytest.approx(9 + 1 / 6))]
    assert [passing for passing, _ in _told(("Foot", "09:10"), ("Top", "10:40"), ("Foot", "12:20"))] == [1, 3, 5]
    assert [passing for passing, _ in _told((" foot ", "09:10"), ("Foot", "12:20"))] == [1, 5]


def test_a_way_in_the_name_counts() -> None:
    assert _told(("Foot (down)", "12:00"))[0][0] == 5
    assert _told(("foot (UP)", "12:00"))[0][0] == 1
    assert _told(("Gate", "06:30"))[0][0] == 0


@pytest.mark.parametrize(
    ("later_h", "time", "hour"),
    [(0.0, "05:10", 5 + 1 / 6), (16.0, "01:30", 25.5), (16.0, "23:00", 23.0), (-12.0, "21:30", -2.5)],
)
def test_a_time_of_day_is_on_the_date_nearest_to_the_plan(later_h: float, time: str, hour: float) -> None:
    assert _told(("Foot", time), later_h=later_h)[0][1] == pytest.approx(hour)


def test_a_time_that_fits_the_way_down_better_asks_which_way() -> None:
    ((key, words),) = _refused(("Foot", "11:30"))
    assert key == "--at"
    assert '"Foot (up)" or "Foot (down)"' in words
    # On the edges: the slowest day comes up at 10:00, the quickest day down at 11:00.
    assert _told(("Foot", "10:59"))[0][0] == 1
    assert _told(("Foot (up)", "11:30"))[0][0] == 1


@pytest.mark.parametrize(
    ("pairs", "key", "words"),
    [
        ((("Fot", "09:00"),), "--at", 'did you mean "Foot"'),
        ((("Summit hut", "09:00"),), "--at", "Gate, Foot, Head, Top"),
        ((("Top (down)", "10:30"),), "--at", "does not pass this place that way"),
        ((("Head", "10:00"), ("Top", "10:30"), ("Top", "10:40")), "--at", "not passed again"),
        ((("Foot (down)", "12:00"), ("Foot (up)", "12:10")), "--at", "not passed again"),
        ((("Foot", "9.10"),), "--time", "not a clock time"),
        ((("Foot", "25:10"),), "--time", "no such time of day"),
    ],
)
def test_what_cannot_be_used(pairs: tuple[tuple[str, str], ...], key: str, words: str) -> None:
    found = _refused(*pairs)
    assert [one[0] for one in found] == [key]
    assert words in found[0][1]


def test_all_problems_at_once() -> None:
    assert [key for key, _ in _refused(("Fot", "9.10"), ("Top", "99:99"))] == ["--at", "--time", "--time"]


@pytest.mark.parametrize(
    ("at", "time", "key"), [([], [], "--at"), (["Foot"], [], "--time"), (["Foot"], ["09:00", "10:00"], "--at")]
)
def test_pairs(at: list[str], time: list[str], key: str) -> None:
    # The option that is short of one is named.
    with pytest.raises(InputError) as refused:
        passings_told(POINTS, _days(), at, time)
    assert [problem.key for problem in refused.value.problems] == [key]


def _order(*passed: tuple[int, float]) -> list[tuple[str | None, str]]:
    told = [PassedAt(passing, hour * 3600.0) for passing, hour in passed]
    return [(problem.key, str(problem)) for problem in order_problems(POINTS, told, 6 * 3600.0)]


def test_the_order_of_the_day() -> None:
    assert _order((1, 9.0), (3, 10.5)) == []
    assert _order((0, 5.0), (1, 9.0)) == []
    assert [key for key, _ in _order((1, 6.0))] == ["--time"]
    assert "say so first" in _order((1, 5.5))[0][1]
    assert [key for key, _ in _order((1, 9.0), (2, 9.0))] == ["--time"]
    assert "09:00 at Foot (up), then 08:30 at Head (up)" in _order((1, 9.0), (2, 8.5))[0][1]
    assert [key for key, _ in _order((3, 9.0), (2, 9.5))] == ["--at"]
    assert [key for key, _ in _order((2, 9.0), (2, 9.5))] == ["--at"]
    assert [key for key, _ in _order((5, 12.0), (6, 14.0))] == ["--at"]
    assert [key for key, _ in _order()] == ["--at"]
    assert [key for key, _ in _order((7, 9.0), (-1, 9.0), (1, np.nan))] == ["--at"] * 3


def test_a_name_that_has_a_way_in_it_is_found_whole() -> None:
    points = (*POINTS[:3], Point("Ramp (up)", "place", "up", 2500.0, 1.0, np.nan, np.nan), *POINTS[3:])
    days = Days((*_days().arrive_clock_s[:3], np.full(3, 37_000.0), *_days().arrive_clock_s[3:]), ())
    assert passings_told(points, days, ["Ramp (up)"], ["10:20"])[0].passing == 3
    assert re.fullmatch(r"Ramp \(up\)", points[3].name)
