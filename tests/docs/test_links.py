"""Every page is found from README, and no link leads nowhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from docs.told import DOCS, ROOT, pages

LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
BESIDE = [ROOT / "CONTRIBUTING.md", ROOT / "CHANGELOG.md"]


def _without_code(page: Path) -> str:
    return re.sub(r"^```.*?^```$|`[^`\n]*`", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL)


def _links(page: Path) -> list[str]:
    return LINK.findall(_without_code(page))


def _anchors(page: Path) -> set[str]:
    """Headings as links reach them: small letters, figures, hyphens."""
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("page", [*pages(), *BESIDE], ids=lambda page: page.name)
def test_no_link_leads_nowhere(page: Path) -> None:
    for link in _links(page):
        assert not link.startswith(("http:", "https:", "/")), f"{link}: pages stand by themselves"
        file, _, anchor = link.partition("#")
        target = page if not file else (page.parent / file).resolve()
        assert target.is_file(), f"{page.name}: {link}"
        if anchor:
            assert anchor in _anchors(target), f"{page.name}: {link}"


def test_every_page_is_found_from_readme() -> None:
    found, ahead = set[Path](), [ROOT / "README.md"]
    while ahead:
        page = ahead.pop()
        found.add(page)
        near = {(page.parent / link.partition("#")[0]).resolve() for link in _links(page) if link.partition("#")[0]}
        ahead += [other for other in near if other.suffix == ".md" and other not in found]
    assert set(DOCS.glob("*.md")) <= found


def test_readme_names_every_page_that_is_written_by_hand_or_made() -> None:
    named = {link.removeprefix("docs/") for link in _links(ROOT / "README.md")}
    assert {page.name for page in DOCS.glob("*.md")} <= named


@pytest.mark.parametrize("page", [ROOT / "README.md", *DOCS.glob("*.md")], ids=lambda page: page.name)
def test_no_page_promises_that_nothing_happens(page: Path) -> None:
    assert not re.search(r"\b(un)?safe(ly|ty)?\b", page.read_text(encoding="utf-8"), re.IGNORECASE)
