"""The page of the line in a real browser with the network off: read on a phone, on a desk and on paper, and silent."""

from __future__ import annotations

import pytest

from handline.brief.line_page import write_line
from handline.day.line_what_if import WhatIf
from tests.browser.opened_page import SIZES, OpenedPage
from tests.day.line_reports import tamsin_line

pytestmark = pytest.mark.browser

QUESTIONS = {"as planned": None, "asked": WhatIf(state="lowered", rock="wet", mass="95 kg", tether="friction hitch")}


@pytest.fixture(scope="module", params=QUESTIONS)
def page_file(request, tmp_path_factory):
    return write_line(tamsin_line(QUESTIONS[request.param]), tmp_path_factory.mktemp("line"))


@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits(browser, page_file, size):
    with OpenedPage(browser, page_file, SIZES[size]) as opened:
        opened.assert_silent()
        opened.assert_fits()


@pytest.mark.parametrize("size", SIZES)
def test_each_picture_shows_once_at_the_width_that_fits(browser, page_file, size):
    with OpenedPage(browser, page_file, SIZES[size]) as opened:
        for key in ("slab-section", "slip-ends", "force-trace"):
            opened.assert_shown_once(key)


def test_headings_go_down_one_step_at_a_time(browser, page_file):
    with OpenedPage(browser, page_file, SIZES["desktop"]) as opened:
        opened.assert_headings_go_down_one_step_at_a_time()


def test_prints(browser, page_file):
    with OpenedPage(browser, page_file, SIZES["desktop"]) as opened:
        assert 4 <= opened.printed_pages() <= 14
