"""The list of trips: each row says what there is to act on, or why its trip cannot be planned."""

from __future__ import annotations

import html
import re

import pytest

from handline.web import trips_pages
from tests.web.edited_trip import EDIT, FILE, beside, typed_over
from tests.web.forms import send
from tests.web.opened_table import OpenTable

TRIP = "/trips/tamsin-dome"
ANOTHER_DATE = "2027-07-24"
"""A Saturday as well, a week later: the forecast says nothing of it."""


@pytest.fixture
def another_date(table: OpenTable, path) -> OpenTable:
    """A table on whose trip the date is one that its forecast does not reach."""
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("date = 2027-07-17", f"date = {ANOTHER_DATE}", 1), encoding="utf-8")
    return table


def test_the_row_of_a_trip_that_cannot_be_planned_says_why(another_date):
    answer = another_date.ask(f"{TRIP}/glance")
    (problem,) = another_date.ask(f"{TRIP}/day.json").json["problems"]
    (row,) = re.findall(r'<div class="glance">(.*?)</div>', answer.text, re.DOTALL)
    assert answer.status == 422
    assert "It cannot be planned." in row
    assert problem["what"][1:] in html.unescape(row)
    assert f'href="{TRIP}/edit"' in row


def test_a_row_says_as_well_that_its_trip_is_gone_or_the_program_wrong(table, monkeypatch):
    assert "There is no trip of this name in the folder." in table.ask("/trips/nobody/glance").text
    monkeypatch.setattr(trips_pages, "asked_of", lambda *_: 1 / 0)
    answer = table.ask(f"{TRIP}/glance")
    assert answer.status == 500
    assert '<div class="glance">' in answer.text
    assert "a mistake of the program" in answer.text


def test_a_forecast_of_other_days_is_told_before_it_is_saved(table, path):
    before = path.read_bytes()
    typed = typed_over(table, {"trip.date": ANOTHER_DATE})
    answer = send(table, EDIT, typed)
    assert answer.status == 422
    assert "says nothing of this date" in beside(answer, "weather.forecast")
    assert path.read_bytes() == before
    assert send(table, EDIT, [*typed, ("unfinished", "yes")]).status == 303
    (problem,) = table.ask(f"{FILE}.json").json["problems"]
    assert problem["key"] == "weather.forecast"
