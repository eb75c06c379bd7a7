"""Pages that are written by hand name what is in the code: sources, limits, pages, endings of names."""

from __future__ import annotations

import re

import pytest

from docs.formulas import ROOMS, formulas, parts_of
from docs.names import ENDINGS, names_in_code
from docs.told import DOCS
from handline.sources import sources

METHODS = (DOCS / "methods.md").read_text(encoding="utf-8")
WEB = (DOCS / "web.md").read_text(encoding="utf-8")


def _cited(text: str) -> set[str]:
    """What stands in brackets as keys of sources do, and is no key of the trip file."""
    found = {
        key for inside in re.findall(r"\[([a-z0-9_,\s]+)\](?!\()", text) for key in re.split(r",\s*", inside.strip())
    }
    return {key for key in found if "_" in key or key in sources()}


def test_methods_cites_sources_that_are_there() -> None:
    cited = _cited(METHODS)
    assert len(cited) > 80
    assert cited <= set(sources())


def test_every_paper_that_a_formula_rests_on_is_told_in_methods_or_known_by_name() -> None:
    known = (DOCS / "known-by-name.md").read_text(encoding="utf-8") + (DOCS / "forecast-file.md").read_text(
        encoding="utf-8"
    )
    resting = {key for formula in formulas() for key in formula.keys}
    untold = {
        key for key in resting - _cited(METHODS)
        if sources()[key].kind not in ("ours", "common practice", "from memory") and sources()[key].title not in known
    }  # fmt: skip
    assert untold == set()


def test_every_formula_names_a_room_and_a_source() -> None:
    found = list(formulas())
    assert len(found) > 200
    assert {formula.room for formula in found} <= set(ROOMS)
    for formula in found:
        assert formula.what, formula.name
        assert formula.keys or formula.rests_on, formula.name


def test_a_docstring_comes_apart() -> None:
    told = parts_of(
        "What it is.\n\nF = m a\n\nParameters\n----------\nmass : float\n    [kg]\n\n"
        "Validity: 0 to 1. Sources: wexler_1950."
    )
    assert told["what"] == "What it is."
    assert told["equation"] == "F = m a"
    assert told["Validity"] == "0 to 1."
    assert told["Sources"] == "wexler_1950."


def test_names_in_the_page_of_names_are_names_in_the_code() -> None:
    names = names_in_code()
    for ending, (_, name) in ENDINGS.items():
        assert name.endswith(f"_{ending}")
        assert name in names


def test_the_page_of_the_planning_table_has_its_pages_and_limits() -> None:
    from handline.web.folder import MOST_TRIPS
    from handline.web.guard import LARGEST_BODY_BYTES, SHORTEST_TOKEN
    from handline.web.saving import MOST_KEPT as TEXTS_KEPT
    from handline.web.serving import MOST_CONNECTIONS, USUAL_PORT
    from handline.web.shell import PAGES
    from handline.web.work import AT_ONCE, MOST_KEPT, MOST_WAITING

    for key, words in PAGES.items():
        assert f"| {words} | `/trips/NAME/{key}` |" in WEB
    for row in (
        f"one request, a track | {LARGEST_BODY_BYTES // 1_000_000} MB",
        f"trips in a folder | {MOST_TRIPS}",
        f"pieces of work at once; waiting | {AT_ONCE}; {MOST_WAITING}",
        f"results kept | {MOST_KEPT}",
        f"connections | {MOST_CONNECTIONS}",
        f"texts kept for undo, each file | {TEXTS_KEPT}",
    ):
        assert f"| {row} |" in WEB
    assert f"port {USUAL_PORT}" in WEB
    assert f"at least {SHORTEST_TOKEN} letters" in WEB


@pytest.mark.parametrize("status", [401, 403, 404, 405, 409, 413, 421, 422, 503, 507])
def test_the_page_of_the_planning_table_has_its_statuses(status: int) -> None:
    assert re.search(rf"^\| {status} \|", WEB, re.MULTILINE)
