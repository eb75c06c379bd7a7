"""One browser window on an open planning table."""

from __future__ import annotations

PHONE, DESK = {"width": 360, "height": 780}, {"width": 1200, "height": 900}
PETREL = "/trips/petrel-slab"
FEW_DATES = f"{PETREL}/dates?first=2027-01-10&last=2027-01-16&step=3+h"
WAIT_MS = 40_000


class Looker:
    """One browser window on a table, and everything it complained about or asked elsewhere."""

    def __init__(self, browser, table, viewport=DESK, **about):
        self.table = table
        self.complaints, self.elsewhere = [], []
        self.context = browser.new_context(viewport=viewport, **about)
        self.page = self.context.new_page()
        self.page.set_default_timeout(WAIT_MS)
        self.page.on("console", lambda message: self._complained(message.text))
        self.page.on("pageerror", lambda problem: self.complaints.append(str(problem)))
        self.page.on("request", lambda request: self._asked(request.url))

    def _complained(self, text: str) -> None:
        # The browser notes every answer that says what is wrong.
        if "the server responded with a status of 4" not in text:
            self.complaints.append(text)

    def _asked(self, address: str) -> None:
        if not address.startswith((self.table.address, "data:", "blob:")):
            self.elsewhere.append(address)

    def go(self, path: str):
        """Open a page and wait until what it shows is worked out."""
        self.page.goto(self.table.address + path)
        self.page.locator(".working").wait_for(state="detached")
        return self.page

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.context.close()
