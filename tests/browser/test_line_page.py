"""The page of the line in a real browser with the network off: read on a phone, on a desk and on paper, and silent."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from handline.brief.line_page import write_line
from handline.day.line_what_if import WhatIf
from tests.browser.test_brief_page import SIZES
from tests.browser.test_review_page import Opened
from tests.day.line_reports import tamsin_line

pytestmark = pytest.mark.browser

QUESTIONS = {"as planned": None, "asked": WhatIf(state="lowered", rock="wet", mass="95 kg", tether="friction hitch")}


@pytest.fixture(scope="module", params=QUESTIONS)
def page_file(request, tmp_path_factory):
    return write_line(tamsin_line(QUESTIONS[request.param]), tmp_path_factory.mktemp("line"))


@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits(browser, page_file, size):
    with Opened(browser, page_file, SIZES[size]) as opened:
        width, window = opened.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        assert opened.asked == []
        assert opened.complaints == []
        assert width <= window


@pytest.mark.parametrize("size", SIZES)
def test_each_picture_shows_once_at_the_width_that_fits(browser, page_file, size):
    with Opened(browser, page_file, SIZES[size]) as opened:
        for key in ("slab-section", "slip-ends", "force-trace"):
            shown = [image for image in opened.page.locator(f"#{key} img").all() if image.is_visible()]
            assert len(shown) == 1
            box, frame = shown[0].bounding_box(), opened.page.locator(f"#{key} .frame").bounding_box()
            assert box["height"] > 200
            assert 0.85 * min(frame["width"], 718) < box["width"] <= frame["width"] + 1
            assert shown[0].evaluate("image => image.naturalWidth") > 300


def test_headings_go_down_one_step_at_a_time(browser, page_file):
    with Opened(browser, page_file, SIZES["desktop"]) as opened:
        levels = opened.page.evaluate("[...document.querySelectorAll('h1, h2, h3')].map(e => +e.tagName[1])")
        assert levels.count(1) == 1
        assert all(after - before <= 1 for before, after in pairwise(levels))


def test_prints(browser, page_file):
    with Opened(browser, page_file, SIZES["desktop"]) as opened:
        pages = max(int(count) for count in re.findall(rb"/Count (\d+)", opened.page.pdf(format="A4")))
        assert 4 <= pages <= 14
