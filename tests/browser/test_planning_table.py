"""The planning table in a real browser: the whole job, long work, and two at once."""

from __future__ import annotations

import re
import threading
from datetime import date, timedelta
from pathlib import Path

import pytest

from handline.web import answers
from handline.web.work import StoppedError
from tests.browser.axe import serious
from tests.browser.looker import FEW_DATES, PETREL, Looker
from tests.web.opened_table import EXAMPLES, open_table

pytestmark = pytest.mark.browser


# --- the whole job -----------------------------------------------------------------------------------------------


def test_from_a_dropped_track_to_a_brief(browser, tmp_path):
    with open_table(tmp_path / "trips") as table, Looker(browser, table, accept_downloads=True) as looker:
        page = looker.go("/trips")
        assert "There is no trip in this folder yet" in page.inner_text("main")
        page.click("text=New trip")
        page.set_input_files("#track", EXAMPLES / "petrel-slab" / "track.gpx")
        page.fill("[name='trip.name']", "Petrel for two")
        page.fill("[name='trip.date']", (date.today() + timedelta(days=30)).isoformat())
        page.fill("[name='party.size']", "2")
        page.fill("[name='line.length']", "60 m")
        page.fill("[name='line.angle']", "45 deg")
        page.click("button:has-text('Make the trip')")
        page.wait_for_url(re.compile(r"/trips/petrel-for-two/"))
        page.goto(f"{table.address}/trips/petrel-for-two/day")
        page.locator("section.decision").wait_for()
        assert "Petrel for two" in page.inner_text("h1")
        page.locator("#day-strip .on-wide img").wait_for()
        page.click("text=Brief to carry")
        page.locator("ul.files").wait_for()
        with page.expect_download() as kept:
            page.click("a[download][href$='brief/brief.html']")
        brief = Path(kept.value.path()).read_text(encoding="utf-8")
        assert brief.startswith("<!doctype html>")
        assert "Petrel for two" in brief
        with page.expect_download() as kept:
            page.click("a[download][href$='brief/card.pdf']")
        assert Path(kept.value.path()).read_bytes().startswith(b"%PDF-")
        made = table.folder / "petrel-for-two"
        assert (made / "trip.toml").is_file()
        assert (made / "track.gpx").read_bytes() == (EXAMPLES / "petrel-slab" / "track.gpx").read_bytes()
        assert looker.complaints == []
        assert looker.elsewhere == []


def test_the_list_shows_the_next_date_first_and_what_there_is_to_act_on(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go("/trips")
        page.locator(".glance .sentence").wait_for()
        row = page.inner_text(".trips > li")
        assert "Petrel Slab" in row
        assert re.search(r"\d+ × (stop|heed|note)", row)
        assert page.title() == "Trips · Handline"


def test_a_brief_looked_at_here_can_ask_nothing_of_the_table(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/brief/brief.html?look")
        page.locator("#day-strip .live svg").wait_for()
        assert page.evaluate("window.origin") == "null"
        asked = page.evaluate("fetch('/trips.json').then(() => 'answered', () => 'refused')")
        assert asked == "refused"


def test_a_brief_looked_at_here_answers_where_the_party_is(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go(f"{PETREL}/brief/brief.html?look")
        page.select_option("#replan-at", "1")
        page.fill("#replan-time", "10:00")
        page.click("#replan-go")
        page.locator("#replan-answer").wait_for()
        assert page.inner_text("#replan-headline").endswith(".")
        assert page.url == f"{table.address}{PETREL}/brief/brief.html?look"
        assert looker.complaints == []
        assert looker.elsewhere == []


# --- long work ---------------------------------------------------------------------------------------------------


def test_long_work_is_told_and_can_be_stopped(browser, own_table, axe, monkeypatch):
    stopped = threading.Event()

    def endless(ask):
        """Work that tells how far it is until somebody stops it."""
        try:
            while True:
                ask.told("Counting stones", 0.4)
                stopped.wait(0.05)
        except StoppedError:
            stopped.set()
            raise

    monkeypatch.setitem(answers.SUBJECTS, "load", answers.Subject("Packs, water and food", endless))
    with Looker(browser, own_table) as looker:
        page = looker.page
        page.goto(f"{own_table.address}{PETREL}/load")
        page.locator(".working .doing:text('Counting stones')").wait_for()
        assert page.locator(".working progress").evaluate("one => one.value") == pytest.approx(0.4)
        assert serious(page, axe) == []
        page.click(".working button:has-text('Stop')")
        page.wait_for_url(re.compile("/trips$"))
        assert stopped.wait(20.0)
        assert looker.complaints == []


def test_without_script_pages_look_again_by_themselves(browser, table):
    with Looker(browser, table, java_script_enabled=False) as looker:
        page = looker.go(FEW_DATES)
        page.locator("section.decision").wait_for()
        page.goto(f"{table.address}{PETREL}/line")
        page.locator("section.decision").wait_for()
        page.select_option("#controls [name=rock]", "wet")
        page.click("#controls button")
        page.locator("#changed").wait_for()
        assert "Wet rock" in page.inner_text("#changed")


# --- two at once -------------------------------------------------------------------------------------------------


def test_two_windows_on_one_trip_lose_nothing(browser, own_table, axe):
    file = own_table.folder / "petrel-slab" / "trip.toml"
    with Looker(browser, own_table) as one, Looker(browser, own_table) as two:
        one.go(f"{PETREL}/edit").fill("[name='party.size']", "5")
        two.go(f"{PETREL}/edit").fill("[name='party.size']", "3")
        one.page.click("button.chief:has-text('Save the trip')")
        one.page.wait_for_url(re.compile("/edit"))
        assert re.search(r"^size = 5\b", file.read_text(encoding="utf-8"), re.MULTILINE)
        two.page.click("button.chief:has-text('Save the trip')")
        two.page.locator(".versions").wait_for()
        assert serious(two.page, axe) == []
        text = two.page.inner_text("main")
        assert "size = 3" in text
        assert "size = 5" in text
        assert re.search(r"^size = 5\b", file.read_text(encoding="utf-8"), re.MULTILINE)
        two.page.click("button:has-text('Keep what I typed')")
        two.page.wait_for_url(re.compile("/(edit|file)"))
        assert re.search(r"^size = 3\b", file.read_text(encoding="utf-8"), re.MULTILINE)


def test_what_is_saved_shows_on_the_next_page(browser, own_table):
    with Looker(browser, own_table) as looker:
        page = looker.go(f"{PETREL}/edit")
        page.fill("[name='party.size']", "2")
        page.click("button.chief:has-text('Save the trip')")
        page.wait_for_url(re.compile("/edit"))
        assert "party of 2" in looker.go(f"{PETREL}/day").inner_text("header")
