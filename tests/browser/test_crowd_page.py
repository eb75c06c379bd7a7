"""The pages of the crowd and the quota in a real browser with the network off: silent, and they fit a phone."""

from __future__ import annotations

import pytest

from handline.brief.crowd_page import write_crowd
from handline.brief.quota_page import write_quota
from tests.browser.opened_page import SIZES, OpenedPage
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
    with OpenedPage(browser, pages[which], SIZES[size]) as opened:
        opened.assert_silent()
        opened.assert_fits()
        for key in PICTURES[which]:
            opened.assert_shown_once(key)
