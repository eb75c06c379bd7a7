"""The ranks of dates: the stated order, and the answer it gives."""

from __future__ import annotations

from dataclasses import replace

import pytest

from handline.choose.date_ranks import best_dates, headline
from handline.choose.dates_report import DatesReport, WayOnDate
from tests.choose.dates_found import levels, row_on
from tests.choose.season_trips import push_report, season_report


def test_ranks_follow_the_stated_order() -> None:
    report = season_report()
    assert [one.rank for one in report.best] == list(range(1, 12))
    assert [one.raised for one in report.best] == [True] * 8 + [False] * 3
    standing = [float(f"{one.value:.2g}") for one in report.best[:8]]
    assert standing == sorted(standing, reverse=True)
    for one in report.best:
        row = row_on(report, one.date)
        on_date = next(on_date for on_date in row.ways if on_date.way == one.way)
        assert one.value == pytest.approx(on_date.best_chance * on_date.known_permit_chance * row.worth)
    # By hand: a weekday has 0.3 of a permit and counts a half, a weekend 0.1 and counts whole.
    assert [one.weekday in ("Saturday", "Sunday") for one in report.best[:8]] == [False] * 5 + [True] * 3
    assert {one.way for one in report.best} == {"push"}, "a night out needs a permit of unknown chance"
    assert levels(report)["permit_unknown"] == "heed"
    assert levels(report)["lying"] == "note"


def _ranked(report: DatesReport, change) -> list[str]:
    rows = tuple(replace(row, ways=tuple(change(row, on_date) for on_date in row.ways)) for row in report.rows)
    return [one.date for one in best_dates(rows, report.ways, report.starts_clock_s[-1], preferring=False)]


def test_a_date_that_does_not_meet_the_limits_comes_last_whatever_its_permit() -> None:
    report, odd = season_report(), "2027-06-02"

    def change(row, on_date: WayOnDate) -> WayOnDate:
        if row.date == odd:
            sure = {"permit_chance": 1.0, "known_permit_chance": 1.0, "permits_unknown": (), "both_chance": 1.0}
            return replace(on_date, window_clock_s=None, **sure)
        return on_date

    assert odd in [one.date for one in report.best]
    assert odd not in _ranked(report, change)


def test_of_alike_dates_the_later_start_comes_first() -> None:
    report, late = season_report(), "2027-06-03"

    def change(row, on_date: WayOnDate) -> WayOnDate:
        return replace(on_date, start_clock_s=on_date.start_clock_s + (1800.0 if row.date == late else 0.0))

    assert _ranked(report, change)[0] == late


def test_where_no_date_meets_the_limits_it_is_a_stop_and_the_surest_come_first() -> None:
    report = push_report()
    assert levels(report)["none_meets"] == "stop"
    assert report.headline == "No date meets your limits."
    assert not any(one.meets for one in report.best)
    surest = max(on_date.best_chance for row in report.rows for on_date in row.ways)
    assert float(f"{report.best[0].best_chance:.2g}") == float(f"{surest:.2g}")
    assert report.best[0].reasons[0].startswith("No start meets your limits: the surest start, ")


def test_the_answer_names_date_way_and_start() -> None:
    report = season_report()
    words, why = headline(report.rows, report.best, report.wanted_chance)
    first = report.best[0]
    assert words == "Monday 31 May 2027, in one push: start by 10:00."
    assert first.start_clock_s == 10 * 3600.0
    assert why.startswith("14 of 14 dates have a start that meets your limits in 90 % of days")
    assert why.endswith("The chance of its permits is 30 %.")
    partly = replace(first, permit_chance=None, permits_unknown=("Camp permit",))
    assert headline(report.rows, (partly,), 0.9)[1].endswith("The chance of its permits is 30 % at most.")
    unknown = replace(partly, known_permit_chance=1.0)
    assert headline(report.rows, (unknown,), 0.9)[1].endswith("The chance of its permits is not known.")
    night = replace(first, way="night", permit_chance=1.0, known_permit_chance=1.0)
    words, why = headline(report.rows, (night,), 0.9)
    assert "with a night out: leave the camp by 10:00." in words
    assert why.endswith("ranks first.")
