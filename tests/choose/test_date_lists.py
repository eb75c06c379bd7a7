"""Which dates to put on one application: held against every list, and against the exact draw of a few dates."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise, permutations

import pytest

from handline.choose.date_lists import draw_lists
from handline.choose.date_permits import permits_of_dates
from handline.choose.dates import dates_report
from handline.season.application_draw import Asking, exact_free_dates, list_chances
from handline.trip.model import Trip
from tests.choose.season_trips import MONTHS, PERMITS, SEASON, asked, season_report, season_trip

DATES = [dt.date(2027, 6, day) for day in range(1, 6)]
APPLICANTS = """
[[permits]]
name = "Line permit"
places_per_day = 6

[[permits.ways]]
way = "draw"
opens = "1 March"
closes = "31 March"
result = "12 April"
date_choices = 2
applicants = [{ applications = 4, people = 3 }]
"""


def _lists(trip: Trip, today: dt.date | None = None):
    report = dates_report(trip, asked(DATES[0], DATES[-1], ways="push", first_start="04:00", last_start="05:00"))
    permits = permits_of_dates(trip, dict.fromkeys(DATES, "raised"), ("push",), today)
    return report, draw_lists(trip, report.rows, permits, today)


def test_the_list_is_worth_most_of_all_lists_of_told_chances() -> None:
    """Referee: every list of three dates. All hang on one turn: a date of chance p is free at the turns below p."""
    report = season_report()
    found = next(one for one in report.lists if one.way == "push")
    worths = {row.date: row.ways[0].best_chance * row.worth for row in report.rows if row.raised}
    chances = {row.date: row.ways[0].permit_chance for row in report.rows if row.raised}

    def expected(dates) -> float:
        edges = sorted({0.0, *(chances[date] for date in dates)})
        return sum(
            (after - at) * max(worths[date] for date in dates if chances[date] > at) for at, after in pairwise(edges)
        )

    best = max(expected(dates) for dates in permutations(worths, 3))
    # Dates alike in two digits count alike.
    assert expected(found.dates) == pytest.approx(best, rel=0.01)
    assert found.value == pytest.approx(best, rel=0.01)
    assert found.chance == pytest.approx(0.3, abs=1e-3)
    assert found.proven
    # By hand: 1 - 0.9 x 0.7 x 0.7.
    assert found.by_themselves == pytest.approx(1.0 - 0.9 * 0.7**2)
    assert len(found.dates) == 3, "as many as an application may name"
    worth = [float(f"{worths[date]:.2g}") for date in found.dates]
    assert worth == sorted(worth, reverse=True)
    for words in ("Apply from 1 March 2027 to 31 March 2027", "told on 12 April 2027", "Any of them: 30 %",
                  "the first alone: 10 %", "it would be 56 %"):  # fmt: skip
        assert words in found.says


def test_the_chance_of_a_list_is_that_of_the_exact_draw() -> None:
    """Four others a date, for three each, six places: worked out for two dates by dynamic programming."""
    _, (found,) = _lists(season_trip(more=MONTHS + SEASON + APPLICANTS))
    met = exact_free_dates([6, 6], [Asking(4, 3, (date,)) for date in (0, 1)], 3)
    assert met is not None
    exact = list_chances(met, (0, 1))
    assert found.chance == pytest.approx(exact.any, abs=0.02)
    assert found.by_themselves == pytest.approx(1.0 - (1.0 - exact.by_choice[0]) ** 2, abs=0.01)
    assert len(found.dates) == 2


def test_no_list_where_the_file_does_not_say_how_many_dates_or_knows_no_chance() -> None:
    for text in (
        APPLICANTS.replace("date_choices = 2\n", ""),
        APPLICANTS.replace("applicants = [{ applications = 4, people = 3 }]\n", ""),
        "",
    ):
        _, found = _lists(season_trip(more=MONTHS + SEASON + text))
        assert found == ()


def test_a_draw_with_another_time_to_apply_for_each_date_is_another_application() -> None:
    by_day = APPLICANTS.replace('"1 March"', '"90 days before"').replace('"31 March"', '"60 days before"')
    _, found = _lists(season_trip(more=MONTHS + SEASON + by_day.replace('"12 April"', '"50 days before"')))
    assert found == ()


def test_dates_whose_draw_is_closed_are_left_out() -> None:
    trip = season_trip(more=MONTHS + SEASON + APPLICANTS)
    assert len(_lists(trip, dt.date(2027, 3, 31))[1]) == 1
    assert _lists(trip, dt.date(2027, 4, 1))[1] == ()


def test_a_date_that_needs_another_permit_too_is_worth_less() -> None:
    """The camp permit at one half: a list for the night brings half of one for the push."""
    camp = PERMITS.replace(
        "needed = { night_out = true }\n",
        "needed = { night_out = true }\n\n"
        '[[permits.ways]]\nway = "first come"\nopens = "90 days before"\nchance = 0.5\n',
    )
    trip = season_trip(more=MONTHS + SEASON + camp)
    report = dates_report(trip, asked(DATES[0], DATES[-1]))
    push, night = report.lists
    assert (push.way, night.way) == ("push", "night")
    push_best = max(row.ways[0].best_chance for row in report.rows if row.ways[0].permit_chance == 0.3)
    night_best = max(row.ways[1].best_chance for row in report.rows if row.ways[0].permit_chance == 0.3)
    assert night.value / push.value == pytest.approx(0.5 * night_best / push_best, rel=1e-3)


def test_a_list_names_the_dates_that_rank_best() -> None:
    """Alike in chance and worth, they come in the order of the best dates, and none on which the cables lie."""
    always = PERMITS.replace('needed = { state = "raised" }\n', "")
    same = "rates = [{ granted = 90, asked = 300 }]\n"
    start, end = always.index("rates = ["), always.index("]\n\n[[permits]]") + 2
    trip = season_trip(more=MONTHS + SEASON + always[:start] + same + always[end:])
    report = dates_report(trip, asked(dt.date(2027, 5, 24), dt.date(2027, 6, 6), ways="push"))
    (found,) = report.lists
    ranked = [one.date for one in report.best if one.raised]
    assert list(found.dates) == ranked[:3]
    lying = {row.date for row in report.rows if not row.raised}
    assert lying
    assert not lying & set(found.dates)
