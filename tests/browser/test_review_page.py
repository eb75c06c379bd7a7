"""The review in a real browser with the network off: read on a phone, on a desk and on paper, and silent."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from handline.brief.review_page import write_review
from tests.brief.sample_review import partial_review, sample_review
from tests.browser.test_brief_page import SIZES

pytestmark = pytest.mark.browser

REVIEWS = {"whole": sample_review, "partial": partial_review}


@pytest.fixture(scope="module", params=REVIEWS)
def page_file(request, tmp_path_factory):
    return write_review(REVIEWS[request.param](), tmp_path_factory.mktemp("review"))


class Opened:
    """The review in one window, and everything it complained about or asked for."""

    def __init__(self, browser, page_file, size):
        self.complaints, self.asked = [], []
        address = page_file.as_uri()
        self.context = browser.new_context(viewport={"width": size[0], "height": size[1]}, offline=True)

        def pass_own_only(route):
            if route.request.url == address or route.request.url.startswith("data:"):
                route.continue_()
            else:
                self.asked.append(route.request.url)
                route.abort()

        self.context.route("**/*", pass_own_only)
        self.page = self.context.new_page()
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda problem: self.complaints.append(str(problem)))
        self.page.goto(address)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.context.close()


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
        for key in ("recorded-day", "recorded-legs"):
            shown = [image for image in opened.page.locator(f"#{key} img").all() if image.is_visible()]
            assert len(shown) == 1
            box, frame = shown[0].bounding_box(), opened.page.locator(f"#{key} .frame").bounding_box()
            assert box["height"] > 150
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
        assert 2 <= pages <= 6
