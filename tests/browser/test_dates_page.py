"""The page of a season of dates in a real browser with the network off: silent, it fits a phone, no words overlap."""

from __future__ import annotations

import pytest

from handline.brief.dates_page import write_dates
from handline.brief.figures.date_grid import date_grid_picture
from handline.brief.stills import draw_here
from tests.browser.opened_page import SIZES, OpenedPage
from tests.choose.season_trips import push_report, season_report

pytestmark = pytest.mark.browser

KEYS = ("date-grid-push", "date-grid-night")
WORDS = """() => [...document.querySelectorAll("svg text")].filter(text => text.textContent.trim()).map(text => {
  const box = text.getBoundingClientRect();
  return {words: text.textContent, left: box.left, top: box.top, right: box.right, bottom: box.bottom};
})"""


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    return write_dates(season_report(), tmp_path_factory.mktemp("pages"))


@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits_and_shows_each_picture_once(browser, page, size):
    with OpenedPage(browser, page, SIZES[size]) as opened:
        opened.assert_silent()
        opened.assert_fits()
        for key in KEYS:
            opened.assert_shown_once(key)
        opened.page.locator("details summary").last.click()
        opened.assert_fits()


@pytest.mark.parametrize("report", [season_report(), push_report()], ids=["season", "push"])
@pytest.mark.parametrize(("width", "window"), [("narrow", 360), ("wide", 900)])
def test_no_two_words_of_a_picture_overlap(browser, tmp_path, report, width, window):
    """As the browser sets them. A halo and its words stand at one place."""
    svg = next(draw_here([date_grid_picture(report, "push").complete(width)]))
    path = tmp_path / "picture.html"
    path.write_text(f"<!doctype html><meta charset=utf-8><body style='margin:0'>{svg}", encoding="utf-8")
    with OpenedPage(browser, path, (window, 800)) as opened:
        boxes = opened.page.evaluate(WORDS)
        edge = opened.page.locator("svg").bounding_box()["width"]
    seen = {(box["words"], round(box["left"]), round(box["top"])): box for box in boxes}
    assert len(seen) >= 12
    placed = list(seen.values())
    for number, one in enumerate(placed):
        assert one["left"] >= -0.5, one["words"]
        assert one["right"] <= edge + 0.5, one["words"]
        for other in placed[number + 1 :]:
            across = min(one["right"], other["right"]) - max(one["left"], other["left"])
            down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
            assert across <= 0.5 or down <= 2.5, (one["words"], other["words"])
