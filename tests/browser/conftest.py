"""A real browser for the tests of pages.

Needs Debian's chromium. Where it is missing the tests skip with the reason, unless HANDLINE_REQUIRE_BROWSER=1.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

# Its assertions say what they compared, like those of the tests.
pytest.register_assert_rewrite("tests.browser.opened_page")

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@pytest.fixture(scope="module")
def browser():
    """One for each file: while it is open its event loop runs, and no other may begin in this process."""
    if not CHROMIUM.exists():
        if os.environ.get("HANDLINE_REQUIRE_BROWSER") == "1":
            pytest.fail(f"{CHROMIUM} is missing and HANDLINE_REQUIRE_BROWSER=1")
        pytest.skip(f"{CHROMIUM} is missing: install Debian's chromium to run the browser tests")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(ARGUMENTS))
        yield opened
        opened.close()
