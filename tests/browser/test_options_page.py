"""The page of ways side by side in a real browser with the network off: silent, and it fits a phone and a desk."""

from __future__ import annotations

import pytest

from handline.brief.options_page import write_options
from handline.choose.options import options_report
from handline.choose.options_asked import Asked
from tests.browser.opened_page import SIZES, OpenedPage
from tests.choose.option_trips import a_permit, camp_trip

pytestmark = pytest.mark.browser

WINDOWS = {**SIZES, "between": (900, 900)}
ALL = ("none", "one sling", "two slings", "rope lanyard", "friction hitch", "absorbing lanyard")


@pytest.fixture(scope="module")
def report():
    trip = camp_trip(storm=True, limits='home_by = "14:00"', more=a_permit("night_out = true"))
    return options_report(trip, Asked("planned", ALL, 300))


@pytest.fixture(scope="module")
def page_file(report, tmp_path_factory):
    return write_options(report, tmp_path_factory.mktemp("options"))


@pytest.mark.parametrize("size", WINDOWS)
def test_it_is_silent_and_fits_and_shows_the_picture_once(browser, page_file, size):
    with OpenedPage(browser, page_file, WINDOWS[size]) as opened:
        opened.assert_silent()
        opened.assert_fits()
        opened.assert_shown_once("option-map")


CELLS = """[...document.querySelectorAll(".options tbody tr")].map(row => ({
  key: row.id,
  boxes: [row, ...row.children].map(part => part.getBoundingClientRect()).map(box => [box.left, box.right]),
  said: [...row.querySelectorAll("td")].map(cell => [cell.dataset.label, getComputedStyle(cell, "::before").content]),
}))"""


def test_on_a_phone_each_way_is_a_card_whose_values_say_what_they_are(browser, page_file, report):
    with OpenedPage(browser, page_file, WINDOWS["phone"]) as opened:
        rows = opened.page.evaluate(CELLS)
        assert [row["key"] for row in rows] == [option.key for option in report.options]
        for row in rows:
            assert all(left >= 0.0 and right <= 360.0 for left, right in row["boxes"])
            assert row["said"]
            assert all(said == f'"{label}"' for label, said in row["said"])
        assert not opened.page.locator(".options thead").first.is_visible()


def test_on_a_desk_each_way_is_a_row_under_its_headings(browser, page_file, report):
    with OpenedPage(browser, page_file, WINDOWS["between"]) as opened:
        table = opened.page.locator(".options").first
        heads = [head.bounding_box() for head in table.locator("thead th").all()]
        for row in table.locator("tbody tr").all():
            cells = [cell.bounding_box() for cell in row.locator("th, td").all()]
            assert len(cells) == len(heads)
            for cell, head in zip(cells, heads, strict=True):
                assert cell["x"] == pytest.approx(head["x"], abs=1.0)
        assert opened.page.locator("h2#answer").inner_text() == report.headline
