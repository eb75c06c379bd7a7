"""The pages of the crowd and the quota in a real browser with the network off: silent, and they fit a phone."""

from __future__ import annotations

import pytest

from handline.brief.crowd_page import write_crowd
from handline.brief.quota_page import write_quota
from tests.browser.test_brief_page import SIZES
from tests.browser.test_review_page import Opened
from tests.day.crowd_reports import quota, tamsin_crowd

pytestmark = pytest.mark.browser

PICTURES = {"crowd": ("crowd-median", "crowd-long", "crowd-day"), "quota": ("quota-chance", "quota-passage")}


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    return {"crowd": write_crowd(tamsin_crowd(), folder), "quota": write_quota(quota(), folder)}


@pytest.mark.parametrize("which", PICTURES)
@pytest.mark.parametrize("size", SIZES)
def test_it_is_silent_and_fits_and_shows_each_picture_once(browser, pages, which, size):
    with Opened(browser, pages[which], SIZES[size]) as opened:
        width, window = opened.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        assert opened.asked == []
        assert opened.complaints == []
        assert width <= window
        for key in PICTURES[which]:
            shown = [image for image in opened.page.locator(f"#{key} img").all() if image.is_visible()]
            assert len(shown) == 1
            box, frame = shown[0].bounding_box(), opened.page.locator(f"#{key} .frame").bounding_box()
            assert box["height"] > 200
            assert 0.85 * min(frame["width"], 718) < box["width"] <= frame["width"] + 1
