"""Asking again day by day: the best days in a row held against every run, and against days drawn one by one."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from handline.choose.daily_draws import MOST_IN_A_ROW, days_in_a_row
from handline.choose.date_permits import permits_of_dates
from handline.choose.dates import dates_report
from handline.trip.model import Trip
from tests.choose.season_trips import MONTHS, SEASON, asked, season_trip

FIRST = dt.date(2027, 6, 1)
DATES = [FIRST + dt.timedelta(days=number) for number in range(14)]
DAILY = """
[[permits]]
name = "Line permit"
places_per_day = 60

[[permits.ways]]
way = "draw"
opens = "4 days before"
closes = "2 days before"
result = "the day before"
rates = [
  { weekdays = ["Saturday", "Sunday"], granted = 30, asked = 300 },
  { weekdays = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday"], granted = 90, asked = 300 },
]
"""
IN_LINE = """
[[permits]]
name = "Line permit"

[[permits.ways]]
way = "walk-up"
given_out = "07:00"
days_before = 1
chance = "40 %"
"""


def _found(trip: Trip, today: dt.date | None = None):
    report = dates_report(trip, asked(DATES[0], DATES[-1], ways="push", first_start="04:00", last_start="05:00"))
    permits = permits_of_dates(trip, dict.fromkeys(DATES, "raised"), ("push",), today)
    return report, days_in_a_row(trip, report.rows, permits, today)


def test_the_run_brings_most_of_all_runs() -> None:
    """Referee: every run of up to a week, each day drawn by itself, by hand."""
    report, (found,) = _found(season_trip(more=MONTHS + SEASON + DAILY))
    assert report.in_a_row == (found,)
    rows = [row for row in report.rows if not row.closed]

    def value(first: int, count: int) -> float:
        left, total = 1.0, 0.0
        for row in rows[first : first + count]:
            chance = row.ways[0].permit_chance or 0.0
            total += left * chance * row.ways[0].best_chance * row.worth
            left *= 1.0 - chance
        return total

    runs = [
        (first, count)
        for first in range(len(rows))
        for count in range(2, MOST_IN_A_ROW + 1)
        if first + count <= len(rows)
    ]
    best = max(value(*run) for run in runs)
    places = [row.date for row in rows]
    assert value(places.index(found.dates[0]), len(found.dates)) == pytest.approx(best, rel=0.01)
    assert len(found.dates) == MOST_IN_A_ROW
    assert (found.permit, found.way, found.drawn) == ("Line permit", "push", True)


def test_chances_are_those_of_days_drawn_one_by_one() -> None:
    """Referee: a hundred thousand stays of a week, drawn."""
    report, (found,) = _found(season_trip(more=MONTHS + SEASON + DAILY))
    chances = [next(r.ways[0].permit_chance for r in report.rows if r.date == date) for date in found.dates]
    drawn = np.random.default_rng(1).random((100_000, len(chances))) < np.array(chances)
    assert found.chance_by_day == pytest.approx(np.maximum.accumulate(drawn, axis=1).mean(axis=0).tolist(), abs=0.006)
    # By hand: five weekdays at 0.3 and a weekend at 0.1; the best single day bounds it from below.
    assert found.chance_by_day[-1] == pytest.approx(1.0 - 0.7**5 * 0.9**2)
    assert (found.low, found.high) == (pytest.approx(0.3), 1.0)
    for words in (
        "drawn anew for each date",
        "each of 7 days in a row",
        "86 %",
        "where who loses once loses again, 30 %",
    ):
        assert words in found.says


def test_where_people_stand_in_line_every_day_is_anew() -> None:
    _, (found,) = _found(season_trip(more=MONTHS + SEASON + IN_LINE))
    assert not found.drawn
    assert found.chance_by_day[1] == pytest.approx(1.0 - 0.6**2)
    assert "given out anew for each date" in found.says


def test_dates_whose_drawing_is_closed_are_left_out() -> None:
    trip = season_trip(more=MONTHS + SEASON + DAILY)
    _, (found,) = _found(trip, dt.date(2027, 6, 9))
    assert found.dates == ("2027-06-11", "2027-06-12", "2027-06-13", "2027-06-14")
    assert _found(trip, dt.date(2027, 6, 12))[1] == ()


@pytest.mark.parametrize(
    "text",
    [
        "",
        IN_LINE.replace('chance = "40 %"\n', ""),
        DAILY.replace('"4 days before"', '"1 March"')
        .replace('"2 days before"', '"31 March"')
        .replace('"the day before"', '"12 April"'),
    ],
)
def test_no_days_where_nothing_is_drawn_anew_or_no_chance_is_known(text: str) -> None:
    assert _found(season_trip(more=MONTHS + SEASON + text))[1] == ()
