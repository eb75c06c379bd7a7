"""Periods that lie over each other in [season]: told at their key with the days that belong to both."""

from __future__ import annotations

import datetime as dt

import pytest

from handline.day.file_checks import subject_problems

NO_YEAR_BESIDE = (dt.date(1583, 6, 1), dt.date(9990, 6, 1))


def _found(date: object, **season: list[object]) -> list[tuple[tuple[str | int, ...], str]]:
    typed = {"trip": {"date": date}, "season": season}
    return [(place, problem.what) for place, problem in subject_problems(typed)]


@pytest.mark.parametrize("key", ["open", "raised"])
def test_the_later_of_the_two_is_told(key: str) -> None:
    ((place, said),) = _found(dt.date(2027, 6, 20), **{key: ["1 June to 31 July", 7, "15 July to 30 September"]})
    assert place == ("season", key, 2)
    assert "lie over each other (15 July 2026 to 31 July 2026 belongs to both)" in said
    assert "write one period for both, or let one end before the other begins" in said


def test_over_the_new_year_and_only_in_some_years() -> None:
    assert len(_found(dt.date(2027, 1, 5), open=["1 December to 31 March", "20 March to 1 May"])) == 1
    # The first Monday of June is the 7th in 2027 and the 1st in 2026: looked at are the years next to the date too.
    early = ["1 May to 5 June", "first Monday of June to 31 July"]
    assert len(_found(dt.date(2027, 6, 1), raised=early)) == 1
    assert _found(dt.date(2032, 6, 1), raised=early[:1]) == []


def test_periods_that_lie_apart_are_fine_and_so_is_one_that_is_no_period() -> None:
    assert _found(dt.date(2027, 6, 20), open=["1 May to 30 June", "1 July to 31 August"]) == []
    assert [place for place, _ in _found(dt.date(2027, 6, 20), open=["summer", "1 June to 31 July"])] == [
        ("season", "open", 0)
    ]


@pytest.mark.parametrize("date", [*NO_YEAR_BESIDE, None, "soon"])
def test_a_date_at_the_end_of_all_years_or_none_is_no_fault_here(date: object) -> None:
    found = _found(date, open=["1 May to 30 September", "1 June to 31 July"])
    assert all("is outside" in said for _, said in found)
