"""The page of the weather in a real browser with the network off: silent, on a phone and on a desk, and on paper."""

from __future__ import annotations

import pytest

from handline.brief.weather_page import write_weather
from tests.brief.sample_weather import sample_weather_report
from tests.browser.opened_page import SIZES, OpenedPage

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    return write_weather(sample_weather_report(), tmp_path_factory.mktemp("weather"))


@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits_and_shows_each_picture_once(browser, page_file, size):
    with OpenedPage(browser, page_file, SIZES[size]) as opened:
        opened.assert_silent()
        opened.assert_fits()
        for key in ("weather-hours", "rock-hours"):
            opened.assert_shown_once(key)


def test_headings_go_down_one_step_at_a_time(browser, page_file):
    with OpenedPage(browser, page_file, SIZES["desktop"]) as opened:
        opened.assert_headings_go_down_one_step_at_a_time()


def test_prints(browser, page_file):
    with OpenedPage(browser, page_file, SIZES["desktop"]) as opened:
        assert 2 <= opened.printed_pages() <= 5
