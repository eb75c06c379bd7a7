"""What if, asked of the planning table in a real browser."""

from __future__ import annotations

import re

import pytest

from tests.browser.looker import PETREL, Looker

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("control", "value", "said"),
    [
        ("rock", "wet", "Wet rock"),
        ("state", "lowered", "The line lowered"),
        ("tether", "one sling", "Tied on with: one sling"),
        ("mass", "101 kg", "Everyone on the line weighs 101 kg"),
        ("reach", "0.7 m", "A reach of 0.7 m"),
    ],
)
def test_what_if_on_the_line(browser, table, control, value, said):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/line")
        before = page.get_attribute("#slab-section .on-wide img", "src")
        headline = page.inner_text("#answer")
        field = page.locator(f"#controls [name={control}]")
        if control in ("mass", "reach"):
            field.fill(value)
        else:
            field.select_option(value)
        page.locator("#changed").wait_for()
        assert said in page.inner_text("#changed")
        assert field.input_value() == value
        assert page.evaluate("document.querySelectorAll('#controls').length") == 1
        told = table.ask(f"{PETREL}/line.json?{control}={value.replace(' ', '+')}").json
        assert page.inner_text("#answer").startswith(told["headline"])
        if control != "state":  # a line without stanchions lies as it stands
            shown = (page.get_attribute("#slab-section .on-wide img", "src"), page.inner_text("#answer"))
            assert shown != (before, headline)
        assert looker.complaints == []


def test_what_if_the_party_starts_later(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/day")
        chance = page.inner_text("section.decision")
        page.fill("#controls [name=start]", "12:30")
        page.locator("#changed").wait_for()
        assert "A start at 12:30" in page.inner_text("#changed")
        later = table.ask(f"{PETREL}/day.json?start=12:30").json
        as_planned = table.ask(f"{PETREL}/day.json").json
        assert later["decision"]["start_clock_s"] == 12.5 * 3600
        assert _all(later) < _all(as_planned)
        assert page.inner_text("section.decision") != chance


def test_what_if_more_people_come(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/crowd")
        page.fill("#controls [name=people]", "150")
        page.press("#controls [name=people]", "Enter")
        page.wait_for_url(re.compile("people=150"))
        page.locator("section.decision").wait_for()
        assert "150 people a day" in page.inner_text("header")


@pytest.mark.parametrize(
    ("page_of", "control", "value", "words"),
    [
        ("line", "mass", "heavy", "This is not a mass"),
        ("line", "mass", "95", "The number has no unit"),
        ("line", "reach", "90 m", "This length is too large"),
        ("day", "start", "25:99", "There is no such time of day"),
        ("day", "date", "soon", "This is not a date"),
    ],
)
def test_what_cannot_be_asked_is_told_where_the_result_would_be(browser, table, page_of, control, value, words):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/{page_of}")
        page.fill(f"#controls [name={control}]", value)
        page.press(f"#controls [name={control}]", "Tab")
        page.locator("#result .problems").wait_for()
        assert words.lower() in page.inner_text("#result").lower()
        assert page.input_value(f"#controls [name={control}]") == value
        page.locator("#answered", has_text=re.compile(re.escape(words), re.IGNORECASE)).wait_for(state="attached")
        page.fill(f"#controls [name={control}]", "")
        page.locator("#result .decision").wait_for()


def _all(plan) -> float:
    return next(chance["share"] for chance in plan["chances"] if chance["key"] == "all")
