"""The review in a real browser with the network off: read on a phone, on a desk and on paper, and silent."""

from __future__ import annotations

import pytest

from handline.brief.review_page import write_review
from tests.brief.sample_review import partial_review, sample_review
from tests.browser.opened_page import SIZES, OpenedPage

pytestmark = pytest.mark.browser

REVIEWS = {"whole": sample_review, "partial": partial_review}


@pytest.fixture(scope="module", params=REVIEWS)
def page_file(request, tmp_path_factory):
    return write_review(REVIEWS[request.param](), tmp_path_factory.mktemp("review"))


@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits(browser, page_file, size):
    with OpenedPage(browser, page_file, SIZES[size]) as opened:
        opened.assert_silent()
        opened.assert_fits()


@pytest.mark.parametrize("size", SIZES)
def test_each_picture_shows_once_at_the_width_that_fits(browser, page_file, size):
    with OpenedPage(browser, page_file, SIZES[size]) as opened:
        for key in ("recorded-day", "recorded-legs"):
            opened.assert_shown_once(key, least_height_px=150)


def test_headings_go_down_one_step_at_a_time(browser, page_file):
    with OpenedPage(browser, page_file, SIZES["desktop"]) as opened:
        opened.assert_headings_go_down_one_step_at_a_time()


def test_prints(browser, page_file):
    with OpenedPage(browser, page_file, SIZES["desktop"]) as opened:
        assert 2 <= opened.printed_pages() <= 6
