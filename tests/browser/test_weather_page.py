"""The page of the weather in a real browser with the network off: silent, on a phone and on a desk, and on paper."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from handline.brief.weather_page import write_weather
from tests.brief.sample_weather import sample_weather_report
from tests.browser.test_brief_page import SIZES
from tests.browser.test_review_page import Opened

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    return write_weather(sample_weather_report(), tmp_path_factory.mktemp("weather"))


@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits_and_shows_each_picture_once(browser, page_file, size):
    with Opened(browser, page_file, SIZES[size]) as opened:
        width, window = opened.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        assert opened.asked == []
        assert opened.complaints == []
        assert width <= window
        for key in ("weather-hours", "rock-hours"):
            shown = [image for image in opened.page.locator(f"#{key} img").all() if image.is_visible()]
            assert len(shown) == 1
            box, frame = shown[0].bounding_box(), opened.page.locator(f"#{key} .frame").bounding_box()
            assert box["height"] > 200
            assert 0.85 * min(frame["width"], 718) < box["width"] <= frame["width"] + 1


def test_headings_go_down_one_step_at_a_time(browser, page_file):
    with Opened(browser, page_file, SIZES["desktop"]) as opened:
        levels = opened.page.evaluate("[...document.querySelectorAll('h1, h2, h3')].map(e => +e.tagName[1])")
        assert levels.count(1) == 1
        assert all(after - before <= 1 for before, after in pairwise(levels))


def test_prints(browser, page_file):
    with Opened(browser, page_file, SIZES["desktop"]) as opened:
        pages = max(int(count) for count in re.findall(rb"/Count (\d+)", opened.page.pdf(format="A4")))
        assert 2 <= pages <= 5
