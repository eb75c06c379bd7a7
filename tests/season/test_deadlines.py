"""Deadlines in order, and what is past: on permits made up for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.season.deadlines import deadlines, standings
from handline.season.permit_rules import ByDraw, DaysAfterResult, DaysBefore
from handline.season.rules import MissingDayError
from tests.season.permits import CAMP, LINE, SNOW, on

JULY = date(2026, 7, 17)
FOUND = deadlines((LINE, CAMP), JULY)
DAYS = st.dates(date(2026, 1, 1), date(2026, 12, 31))


def test_every_deadline_in_order() -> None:
    assert [(each.day, each.what, each.permit) for each in FOUND] == [
        (date(2026, 1, 30), "opens", "Camp permit"),
        (date(2026, 3, 1), "opens", "Line permit"),
        (date(2026, 3, 31), "closes", "Line permit"),
        (date(2026, 4, 13), "result", "Line permit"),
        (date(2026, 4, 27), "pay by", "Line permit"),
        (date(2026, 7, 16), "walk-up", "Line permit"),
        (date(2026, 7, 16), "pick up", "Line permit"),
    ]
    assert [each.clock_s for each in FOUND] == [25200.0, None, 57600.0, None, None, 25200.0, None]


def test_what_to_do_is_said() -> None:
    words = [each.words for each in FOUND]
    assert words[0] == '"Camp permit" opens: ask at once, who comes first gets it'
    assert words[2] == 'Last day to apply for "Line permit"; have ready: passport, list of names'
    assert words[3] == 'The draw for "Line permit" is told: look it up, and pay in time'
    assert words[4].endswith("; 10.00 USD per application and 10.00 USD per person")
    assert words[5].startswith('Stand in line for "Line permit" at the warden\'s hut; have ready')
    assert words[6].startswith('Pick up "Line permit" at the warden\'s hut by the end of this day')


def test_over_the_new_year_the_draw_is_the_same() -> None:
    december, january = (deadlines((SNOW,), day) for day in (date(2026, 12, 5), date(2027, 1, 10)))
    assert december == january
    assert [each.day for each in january] == [date(2026, 10, 1), date(2026, 10, 31), date(2026, 11, 10)]


def test_on_one_day_openings_come_first_and_then_by_the_clock() -> None:
    same = ByDraw(DaysBefore(2), DaysBefore(2), DaysBefore(2), closes_clock_s=16 * 3600.0)
    found = deadlines((replace(LINE, ways=(same,), pay_by=DaysAfterResult(0), pick_up=DaysBefore(2)),), JULY)
    assert [each.what for each in found] == ["opens", "closes", "result", "pay by", "pick up"]
    assert {each.day for each in found} == {date(2026, 7, 15)}


def test_what_cannot_be_dated_is_raised() -> None:
    with pytest.raises(MissingDayError, match="2026"):
        deadlines((replace(LINE, pick_up=on("29 February")),), JULY)
    with pytest.raises(ValueError, match="need a draw"):
        deadlines((replace(CAMP, pay_by=DaysAfterResult(1)),), JULY)


def test_seen_from_a_day() -> None:
    seen = standings(FOUND, date(2026, 4, 12))
    assert [each.past for each in seen] == [True, True, True, False, False, False, False]
    assert [each.missed for each in seen] == [False, False, True, False, False, False, False]
    assert [each.words for each in seen[:5]] == ["72 days ago", "42 days ago", "12 days ago", "in 1 day", "in 15 days"]
    assert seen[4].days_left == 15


def test_today_is_past_only_by_a_known_clock() -> None:
    last_day = date(2026, 3, 31)
    closes = FOUND[2:3]
    assert not standings(closes, last_day)[0].past
    assert not standings(closes, last_day, 57600.0)[0].past
    late = standings(closes, last_day, 57601.0)[0]
    assert (late.past, late.missed, late.words) == (True, True, "earlier today")
    assert standings(closes, last_day)[0].words == "today"
    assert not standings(FOUND[4:5], FOUND[4].day, 86000.0)[0].past
    assert standings(closes, last_day + timedelta(days=1), 0.0)[0].words == "1 day ago"


@given(DAYS)
@settings(deadline=None)
def test_always_in_order(day: date) -> None:
    found = deadlines((LINE, CAMP), day)
    assert [each.day for each in found] == sorted(each.day for each in found)
