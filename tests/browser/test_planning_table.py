"""The planning table in a real browser: the whole job, what if, what goes wrong, two at once, and everyone in."""

from __future__ import annotations

import re
import threading
from datetime import date, timedelta
from importlib.resources import files
from pathlib import Path

import pytest

from handline.web import answers
from handline.web.work import StoppedError
from tests.web.opened_table import EXAMPLES, open_table

PHONE, DESK = {"width": 360, "height": 780}, {"width": 1200, "height": 900}
ZOOMED = {"width": 320, "height": 450}
"""A window of 640 by 900 at 200 %."""
PETREL = "/trips/petrel-slab"
FEW_DATES = f"{PETREL}/dates?first=2027-01-10&last=2027-01-16&step=3+h"
PAGES = (
    "/trips",
    "/trips/new",
    f"{PETREL}/edit",
    f"{PETREL}/file",
    f"{PETREL}/day",
    f"{PETREL}/line",
    f"{PETREL}/line-whole",
    f"{PETREL}/crowd",
    f"{PETREL}/crowd?people=60",
    f"{PETREL}/load",
    FEW_DATES,
    f"{PETREL}/options",
    f"{PETREL}/brief",
    "/sources",
    "/trips/nothing/day",
    f"{PETREL}/line?mass=heavy",
)
WAIT_MS = 40_000

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    """A table for pages that change nothing."""
    with open_table(tmp_path_factory.mktemp("trips") / "open", ("petrel-slab",)) as one:
        yield one


@pytest.fixture
def own_table(tmp_path):
    """A table for one test to change."""
    with open_table(tmp_path / "trips", ("petrel-slab",)) as one:
        yield one


class Looker:
    """One browser window on a table, and everything it complained about or asked elsewhere."""

    def __init__(self, browser, table, viewport=DESK, **about):
        self.table = table
        self.complaints, self.elsewhere = [], []
        self.context = browser.new_context(viewport=viewport, **about)
        self.page = self.context.new_page()
        self.page.set_default_timeout(WAIT_MS)
        self.page.on("console", lambda message: self._complained(message.text))
        self.page.on("pageerror", lambda problem: self.complaints.append(str(problem)))
        self.page.on("request", lambda request: self._asked(request.url))

    def _complained(self, text: str) -> None:
        # The browser notes every answer that says what is wrong.
        if "the server responded with a status of 4" not in text:
            self.complaints.append(text)

    def _asked(self, address: str) -> None:
        if not address.startswith((self.table.address, "data:", "blob:")):
            self.elsewhere.append(address)

    def go(self, path: str):
        """Open a page and wait until what it shows is worked out."""
        self.page.goto(self.table.address + path)
        self.page.locator(".working").wait_for(state="detached")
        return self.page

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.context.close()


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


# --- what if -----------------------------------------------------------------------------------------------------


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
        page.locator("#result .problems").wait_for()
        assert words.lower() in page.inner_text("#result").lower()
        assert page.input_value(f"#controls [name={control}]") == value
        page.fill(f"#controls [name={control}]", "")
        page.locator("#result .decision").wait_for()


def _all(plan) -> float:
    return next(chance["share"] for chance in plan["chances"] if chance["key"] == "all")


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
        assert _serious(page, axe) == []
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
        assert _serious(two.page, axe) == []
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


# --- everyone in -------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def axe() -> str:
    """axe-core, as the Python package of that name carries it."""
    return files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_no_serious_violation(browser, table, axe, path, scheme):
    viewport = DESK if scheme == "light" else PHONE
    with Looker(browser, table, viewport, color_scheme=scheme) as looker:
        page = looker.go(path)
        page.wait_for_load_state("networkidle")
        assert _serious(page, axe) == []
        assert looker.elsewhere == []


def test_axe_finds_what_is_wrong(browser, table, axe):
    """The check itself: an input without a name is found."""
    with Looker(browser, table) as looker:
        page = looker.go("/sources")
        page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<input type=text>')")
        assert "label" in {name for name, _ in _serious(page, axe)}


def _serious(page, axe: str) -> list[tuple[str, list[str]]]:
    """What axe-core finds that is serious or worse: the name of its rule, and where."""
    page.evaluate(axe)
    found = page.evaluate("axe.run(document, { resultTypes: ['violations'] })")
    assert found["testEngine"]["name"] == "axe-core"
    assert len(found["passes"]) > 5
    return [
        (one["id"], [node["html"][:120] for node in one["nodes"][:3]])
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


@pytest.mark.parametrize("viewport", [PHONE, ZOOMED, DESK], ids=["phone", "zoomed", "desk"])
@pytest.mark.parametrize("path", PAGES)
def test_nothing_sticks_out(browser, table, path, viewport):
    with Looker(browser, table, viewport) as looker:
        page = looker.go(path)
        wide, window = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        assert wide <= window


@pytest.mark.parametrize("path", ["/trips", f"{PETREL}/line", f"{PETREL}/edit", "/trips/new"])
def test_everything_to_press_is_big_enough(browser, table, path):
    with Looker(browser, table, PHONE) as looker:
        page = looker.go(path)
        small = page.evaluate(
            """() => [...document.querySelectorAll('button, select, .button, input:not([type=hidden]), .rail a')]
                 .filter((one) => one.offsetParent !== null && one.tabIndex >= 0)
                 .map((one) => (one.type === "checkbox" ? one.closest("label") : one))
                 .filter((one) => one.getBoundingClientRect().height < 43.5).map((one) => one.outerHTML.slice(0, 99))"""
        )
        assert small == []


def test_by_keyboard_alone_from_the_trips_to_an_answer(browser, table):
    with Looker(browser, table) as looker:
        page = looker.go("/trips")
        page.keyboard.press("Tab")
        assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "sheet"
        _tab_to(page, "Petrel Slab")
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile(f"{PETREL}/day"))
        page.locator("section.decision").wait_for()
        _tab_to(page, "The line")
        page.keyboard.press("Enter")
        page.wait_for_url(re.compile(f"{PETREL}/line"))
        page.locator("section.decision").wait_for()
        for _ in range(40):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.name") == "rock":
                break
        page.keyboard.type("wet")
        page.locator("#changed").wait_for()
        assert page.evaluate("document.activeElement.name") == "rock"
        outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        assert outline == "solid"


def _tab_to(page, words: str) -> None:
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent.trim()") == words:
            return
    pytest.fail(f"the keyboard does not reach {words}")


@pytest.mark.parametrize("path", [f"{PETREL}/day", f"{PETREL}/line"])
def test_prints_without_rail_and_controls(browser, table, path):
    with Looker(browser, table) as looker:
        page = looker.go(path)
        page.emulate_media(media="print")
        assert not page.locator(".rail").is_visible()
        assert not page.locator(".controls").is_visible()
        assert page.locator("section.decision").is_visible()
