"""What is asked and typed at the planning table is kept: in the address, and by a question before it is left."""

from __future__ import annotations

import pytest

from tests.browser.looker import PETREL, Looker

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("path", "name", "value"), [(f"{PETREL}/day", "start", "12:30"), (f"{PETREL}/line", "mass", "101 kg")]
)
def test_what_is_asked_stands_in_the_address(browser, table, path, name, value):
    with Looker(browser, table) as looker:
        page = looker.go(path)
        page.fill(f"#controls [name={name}]", value)
        page.locator("#changed").wait_for()
        said = page.inner_text("#changed")
        assert name in page.url.partition("?")[2]
        page.reload()
        page.locator("#changed").wait_for()
        assert page.inner_text("#changed") == said
        assert page.input_value(f"#controls [name={name}]") == value
        assert looker.complaints == []


def test_back_from_what_was_asked_leads_to_the_page_before(browser, table):
    with Looker(browser, table) as looker:
        looker.go("/trips")
        page = looker.go(f"{PETREL}/line")
        for value in ("101 kg", "95 kg"):
            page.fill("#controls [name=mass]", value)
            page.locator(f"#changed:has-text('{value}')").wait_for()
        assert page.inner_text("#answered") == page.inner_text("#answer")
        page.go_back()
        page.wait_for_url("**/trips")
        page.go_forward()
        page.locator("#changed:has-text('95 kg')").wait_for()
        assert looker.complaints == []


def test_a_time_half_typed_is_asked_only_when_it_is_whole(browser, table):
    asked = []
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/day")
        page.on("request", lambda request: asked.append(request.url))
        field = page.locator("#controls [name=start]")
        field.press_sequentially("12:3", delay=250)
        page.wait_for_timeout(600)
        assert asked == []
        field.press_sequentially("0")
        page.locator("#changed").wait_for()
        assert any("start=12" in url for url in asked)


@pytest.mark.parametrize(("path", "field"), [("edit", "[name='party.size']"), ("file", "#text")])
def test_what_is_not_saved_is_not_left_without_a_question(browser, table, path, field):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/{path}")
        questions = []

        def stay(dialog):
            questions.append(dialog.type)
            dialog.dismiss()

        page.on("dialog", stay)
        typed = page.locator(field).first
        typed.fill(typed.input_value() + "1")
        page.locator(f"a[href='{PETREL}/day']").first.click()
        page.wait_for_timeout(500)
        assert questions == ["beforeunload"]
        assert page.url.endswith(path)


def test_what_came_back_unsaved_is_not_left_without_a_question(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/edit")
        questions = []
        page.on("dialog", lambda dialog: (questions.append(dialog.type), dialog.accept()))
        page.fill("[name='party.size']", "99")
        page.click("button.chief:has-text('Save the trip')")
        page.locator("[name='unfinished']").wait_for()
        assert questions == []
        page.locator(f"a[href='{PETREL}/day']").first.click()
        page.wait_for_url(f"**{PETREL}/day")
        assert questions == ["beforeunload"]


@pytest.mark.parametrize("path", ["edit", "file"])
def test_saved_or_typed_back_it_is_left_at_once(browser, own_table, path):
    with Looker(browser, own_table) as looker:
        page = looker.go(f"{PETREL}/{path}")
        questions = []
        page.on("dialog", lambda dialog: (questions.append(dialog.type), dialog.accept()))
        typed = page.locator("[name='trip.name']" if path == "edit" else "#text")
        before = typed.input_value()
        typed.fill(before + "x")
        typed.fill(before)
        page.locator(f"a[href='{PETREL}/day']").first.click()
        page.wait_for_url(f"**{PETREL}/day")
        page = looker.go(f"{PETREL}/{path}")
        typed.fill(before + ("x" if path == "edit" else "# a word\n"))
        page.click(".savebar button.chief")
        page.locator(".said:has-text('Saved.')").wait_for()
        page.locator(f"a[href='{PETREL}/day']").first.click()
        page.wait_for_url(f"**{PETREL}/day")
        assert questions == []
        assert looker.complaints == []


def test_untouched_it_is_left_at_once(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/edit")
        page.locator(f"a[href='{PETREL}/day']").first.click()
        page.wait_for_url(f"**{PETREL}/day")
