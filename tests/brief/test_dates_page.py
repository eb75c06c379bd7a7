"""The page of a season of dates shows what the report holds, in words and pictures, and needs no script."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from handline.brief.dates_page import dates_sheet, write_dates
from handline.brief.dates_words import (
    best_words,
    date_words,
    list_words,
    months_of,
    numbers_words,
    permit_words,
    start_words,
)
from handline.brief.still_page import still_page
from handline.choose.date_rock import best_rock
from handline.choose.dates_report import DatesInARow, RockFrom
from handline.quantity import show_chance, show_clock, show_share
from tests.brief.closed_page import assert_closed, assert_in_order
from tests.brief.read_page import plain, text_of
from tests.choose.season_trips import push_report, season_report

REPORT = season_report()


@pytest.mark.parametrize("report", [REPORT, push_report()])
def test_everything_stands_on_the_page(report):
    text = text_of(still_page(dates_sheet(report)))
    said = [report.headline, report.why, report.dates_say, report.line_name]
    said += [finding.sentence for finding in report.findings] + [finding.detail for finding in report.findings]
    said += [*report.cautions, *report.notes]
    for one in report.best:
        said += [best_words(one), numbers_words(one), *one.reasons]
    for found in report.lists:
        said += [f"{found.permit}, ", show_share(found.chance), found.says, *map(date_words, found.dates)]
    for month in months_of(report):
        said += [f"Every date of {month.words}", f"{month.words} {month.open_dates}"]
    for row in report.rows:
        said.append(date_words(row.date))
        said.append(row.holiday)
        for on_date in row.ways:
            said.append(f"{start_words(on_date)} {show_share(on_date.best_chance)} {permit_words(on_date)}")
    for words in said:
        assert plain(words) in text, words
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


def test_ice_on_the_recommended_date_stands_among_its_facts():
    first = replace(REPORT.best[0], rock=RockFrom(36_000.0, 0.22, 0.4, 0.9), planned_rock=None)
    iced = replace(REPORT, best=(first, *REPORT.best[1:]), findings=(*best_rock([first]), *REPORT.findings))
    text = text_of(still_page(dates_sheet(iced)))
    assert plain("Iced rock on tying on 22 % of days; how it holds is in no chance here") in text
    assert "Iced rock on tying on" not in text_of(still_page(dates_sheet(REPORT)))


def test_days_in_a_row_stand_on_the_page():
    row = DatesInARow("Line permit", "push", True, ("2027-06-01", "2027-06-02"), (0.3, 0.51), 0.3, 0.6, "Drawn anew.")
    text = text_of(still_page(dates_sheet(replace(REPORT, in_a_row=(row,)))))
    assert "Asking again day by day" in text
    assert "Line permit, in one push: 51 %" in text
    assert plain("Tue 1 June 2027 30 % Wed 2 June 2027 51 %") in text
    assert "Asking again day by day" not in text_of(still_page(dates_sheet(replace(REPORT, in_a_row=()))))


def test_the_page_asks_for_nothing_and_runs_nothing(tmp_path):
    page = still_page(dates_sheet(REPORT))
    assert_closed(page)
    assert page.count("<img") == 4
    assert_in_order(page)
    assert len(page) < 600_000
    assert write_dates(REPORT, tmp_path / "new").read_text(encoding="utf-8") == page


def test_without_best_dates_or_pictures_there_is_still_a_page():
    rows = tuple(replace(row, closed=True, ways=()) for row in REPORT.rows)
    page = still_page(dates_sheet(replace(REPORT, rows=rows, best=(), lists=(), headline="None of these dates.")))
    assert "<img" not in page
    assert "None of these dates." in text_of(page)


def test_every_swatch_of_the_keys_is_drawn():
    page = still_page(dates_sheet(REPORT))
    assert '<svg class="swatch" viewBox="0 0 16 12" aria-hidden="true" focusable="false"></svg>' not in page


def test_months_have_the_middle_of_their_dates():
    may, june = months_of(REPORT)
    assert (may.words, may.open_dates, june.open_dates) == ("May 2027", 8, 6)
    starts_s = sorted(row.ways[1].start_clock_s for row in REPORT.rows[:8])
    assert starts_s[3] == starts_s[4]
    assert may.ways[1].start_by == show_clock(starts_s[3])
    assert may.ways[1].meeting == 8
    july = months_of(push_report())[1]
    assert (july.open_dates, july.ways[0].meeting, july.ways[0].start_by) == (4, 0, "no start")
    only_closed = replace(push_report(), rows=push_report().rows[-3:])
    assert months_of(only_closed)[0].ways[0].start_by == "closed"


def test_words():
    push, night = REPORT.rows[-1].ways
    assert date_words("2027-07-17") == "Sat 17 July 2027"
    assert permit_words(push) == "10 %"
    assert permit_words(night) == "at most 10 %"
    assert permit_words(replace(night, known_permit_chance=1.0)) == "not known"
    assert permit_words(REPORT.rows[0].ways[0]) == "none to get"
    first = REPORT.best[0]
    assert numbers_words(first) == (
        f"Start by 10:00, then {show_chance(first.start_chance)} of days · from the surest start over 99 % of days · "
        "permits 30 % · worth to you 50 % · in all 15 %"
    )
    assert numbers_words(replace(first, way="night", meets=False, worth=1.0)).startswith("No start meets your limits ·")
    assert list_words(REPORT.lists[0]).startswith("1. Sat 29 May 2027; 2. Mon 31 May 2027")
