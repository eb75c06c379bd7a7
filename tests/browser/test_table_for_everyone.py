"""Everyone in: the planning table by keyboard, on a phone, zoomed, on paper, and as axe-core sees it."""

from __future__ import annotations

import re

import pytest

from tests.browser.axe import serious
from tests.browser.looker import DESK, FEW_DATES, PETREL, PHONE, Looker

ZOOMED = {"width": 320, "height": 450}
"""A window of 640 by 900 at 200 %."""
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

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", PAGES)
def test_no_serious_violation(browser, table, axe, path, scheme):
    viewport = DESK if scheme == "light" else PHONE
    with Looker(browser, table, viewport, color_scheme=scheme) as looker:
        page = looker.go(path)
        page.wait_for_load_state("networkidle")
        assert serious(page, axe) == []
        assert looker.elsewhere == []


def test_axe_finds_what_is_wrong(browser, table, axe):
    """The check itself: an input without a name is found."""
    with Looker(browser, table) as looker:
        page = looker.go("/sources")
        page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<input type=text>')")
        assert "label" in {name for name, _ in serious(page, axe)}


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
