"""A real browser for the tests of pages.

Needs Debian's chromium. Where it is missing the tests skip with the reason, unless HANDLINE_REQUIRE_BROWSER=1.
"""

from __future__ import annotations

import os
from importlib.resources import files
from pathlib import Path

import pytest

from tests.web.opened_table import open_table

# Its assertions say what they compared, like those of the tests.
pytest.register_assert_rewrite("tests.browser.axe", "tests.browser.opened_page")

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


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    """A table for pages that change nothing."""
    with open_table(tmp_path_factory.mktemp("trips") / "open", ("petrel-slab",)) as one:
        yield one


@pytest.fixture
def own_table(tmp_path):
    """A table for one test to change."""
    with open_table(tmp_path / "trips", ("petrel-slab",)) as one:
        yield one


@pytest.fixture(scope="module")
def axe() -> str:
    """axe-core, as the Python package of that name carries it."""
    return files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
