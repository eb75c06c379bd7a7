"""A page from the disk in one window with the network off, and what holds of every such page."""

from __future__ import annotations

import re
from itertools import pairwise

SIZES = {"phone": (360, 780), "tablet": (640, 900), "desktop": (1280, 900)}


class OpenedPage:
    """A page in one window, and everything it complained about or asked for."""

    def __init__(self, browser, page_file, size=SIZES["desktop"], **about):
        self.address = page_file.as_uri()
        self.complaints, self.asked = [], []
        self.context = browser.new_context(viewport={"width": size[0], "height": size[1]}, offline=True, **about)
        self.context.route("**/*", self._pass_own_file_only)
        self.page = self.context.new_page()
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda problem: self.complaints.append(str(problem)))
        self.prepare()
        self.page.goto(self.address)

    def prepare(self):
        """What is done to the window before it goes to the page."""

    def _pass_own_file_only(self, route):
        if route.request.url == self.address or route.request.url.startswith("data:"):
            route.continue_()
        else:
            self.asked.append(route.request.url)
            route.abort()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.context.close()

    def assert_silent(self):
        assert self.asked == []
        assert self.complaints == []

    def assert_fits(self):
        width, window = self.page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
        assert width <= window

    def assert_shown_once(self, picture, least_height_px=200):
        """A still picture stands there once, at the width that fits, and is really drawn."""
        shown = [image for image in self.page.locator(f"#{picture} img").all() if image.is_visible()]
        assert len(shown) == 1
        box, frame = shown[0].bounding_box(), self.page.locator(f"#{picture} .frame").bounding_box()
        assert box["height"] > least_height_px
        assert 0.85 * min(frame["width"], 718) < box["width"] <= frame["width"] + 1
        assert shown[0].evaluate("image => image.naturalWidth") > 300

    def assert_headings_go_down_one_step_at_a_time(self):
        levels = self.page.evaluate("[...document.querySelectorAll('h1, h2, h3')].map(e => +e.tagName[1])")
        assert levels[0] == 1
        assert levels.count(1) == 1
        assert all(after - before <= 1 for before, after in pairwise(levels))

    def printed_pages(self, paper="A4"):
        """On how many pages of paper it prints."""
        return max(int(count) for count in re.findall(rb"/Count (\d+)", self.page.pdf(format=paper)))
