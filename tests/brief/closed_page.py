"""What holds of every page without script: it runs nothing, asks for nothing from outside, and is in order."""

from __future__ import annotations

import html
import re
from itertools import pairwise


def assert_closed(page: str) -> None:
    """No script, no handler, no style of a tag's own, and no address but of the page and of pictures in it."""
    assert "<script" not in page
    policy = html.unescape(re.search(r'Content-Security-Policy" content="([^"]*)"', page)[1])
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "script-src" not in policy
    assert "unsafe" not in policy
    for address in re.findall(r"""(?:src|href|action|srcset|poster)\s*=\s*["']([^"']*)""", page):
        assert address.startswith(("#", "data:image/svg+xml")), address[:60]
    without_pictures = re.sub(r'src="data:[^"]*"', "", page)
    assert not re.search(r"url\(|@import", without_pictures)
    assert not re.findall(r"<[a-z][^>]*\s(?:on\w+|style)\s*=", without_pictures)


def assert_in_order(page: str) -> None:
    """Each id stands once, every label leads to one, and headings go down one step at a time."""
    body = page.partition("</style>")[2]
    ids = re.findall(r' id="([^"]+)"', body)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'aria-labelledby="([^"]+)"', body)) <= set(ids)
    levels = [int(level) for level in re.findall(r"<h([1-6])", body)]
    assert all(after - before <= 1 for before, after in pairwise(levels))
