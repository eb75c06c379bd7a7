"""The trip file itself in a page: the same checks, its lines, and nothing written that nobody asked for."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handline.web.file_pages import differing
from handline.web.saving import version_of
from tests.web.forms import form_in, send, words
from tests.web.opened_table import OpenTable, open_table

FILE, CHECK = "/trips/petrel-slab/file", "/trips/petrel-slab/check"


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with open_table(tmp_path_factory.mktemp("trips"), ("petrel-slab",)) as one:
        yield one


@pytest.fixture
def path(table: OpenTable) -> Path:
    """The trip file, as in the examples after each test."""
    path = table.folder / "petrel-slab" / "trip.toml"
    before = path.read_bytes()
    yield path
    path.write_bytes(before)


def typed(table: OpenTable, text: str, **more: str) -> list[tuple[str, str]]:
    return form_in(table.ask(FILE), FILE).changed({"text": text.replace("\n", "\r\n"), **more})


def test_the_page_has_the_text_as_it_is(table, path):
    form = form_in(table.ask(FILE), FILE)
    assert form.value("text").replace("\r\n", "\n") == path.read_text()
    assert form.value("version") == version_of(path.read_text())


@pytest.mark.parametrize(
    "text", ["\n\n[trip]\n", "<textarea></textarea>&amp;", "# x</textarea><script>alert(1)</script>"]
)
def test_any_text_comes_through_whole(table, path, text):
    assert send(table, FILE, typed(table, text, unfinished="yes")).status == 303
    assert path.read_text() == text
    assert form_in(table.ask(FILE), FILE).value("text").replace("\r\n", "\n") == text
    assert "<script>alert" not in table.ask(FILE).text


def test_a_good_text_is_saved_as_it_was_typed(table, path):
    text = path.read_text().replace("size = 4", "size = 3   # fewer") + "\n# the end"
    answer = send(table, FILE, typed(table, text))
    assert (answer.status, answer.headers["location"]) == (303, "/trips/petrel-slab/edit?said=saved")
    assert path.read_text() == text


def test_nothing_typed_is_nothing_written(table, path):
    stamp = path.stat().st_mtime_ns
    assert send(table, FILE, typed(table, path.read_text())).headers["location"].endswith("said=same")
    assert path.stat().st_mtime_ns == stamp


def test_windows_line_ends_stay(table, path):
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    send(table, FILE, typed(table, path.read_text().replace("size = 4", "size = 3")))
    assert path.read_bytes().count(b"\r\n") == path.read_bytes().count(b"\n") > 100


def test_a_text_that_cannot_be_planned_is_refused_with_its_lines(table, path):
    before = path.read_text()
    text = before.replace("size = 4", 'size = "four"').replace('angle = "38 deg"', 'angle = "99 deg"')
    answer = send(table, FILE, typed(table, text))
    assert (answer.status, path.read_text()) == (422, before)
    assert form_in(answer, FILE).value("text").replace("\r\n", "\n") == text
    for wrong in ('size = "four"', "99 deg"):
        line = next(i for i, one in enumerate(text.splitlines(), 1) if wrong in one)
        assert f'<a href="#L{line}" data-line="{line}">Line {line}</a>' in answer.text
        assert re.search(rf'<li id="L{line}" tabindex="-1" class="wrong-line">', answer.text)
    assert "2 things to mend" in words(answer)
    assert send(table, FILE, typed(table, text, unfinished="yes")).headers["location"] == f"{FILE}?said=saved"
    assert path.read_text() == text


def test_a_file_that_is_no_toml_opens_here_with_its_line(table, path):
    path.write_text(path.read_text().replace('body_mass = "85 kg"', "body_mass = 85 kg"))
    answer = table.ask("/trips/petrel-slab/edit")
    assert (answer.status, answer.headers["location"]) == (303, FILE)
    line = path.read_text().splitlines().index("body_mass = 85 kg") + 1
    shown = table.ask(FILE)
    assert f'data-line="{line}"' in shown.text
    assert "put a value with a unit in quotes" in words(shown)


def test_a_check_says_what_is_wrong_and_writes_nothing(table, path):
    before = path.read_bytes()
    text = path.read_text().replace("size = 4", "size = four")
    answer = send(table, CHECK, typed(table, text), HX_Request="true")
    assert (answer.status, path.read_bytes()) == (200, before)
    assert "this is not TOML" in words(answer).replace("This", "this")
    assert 'id="numbers"' in answer.text
    assert "hx-swap-oob" in answer.text
    assert "<html" not in answer.text
    whole = send(table, CHECK, typed(table, text))
    assert form_in(whole, FILE).value("text").replace("\r\n", "\n") == text


def test_a_text_over_somebody_elses_is_refused_with_both(table, path):
    sent = typed(table, path.read_text().replace("size = 4", "size = 3"))
    theirs = path.read_text() + "\n# theirs\n"
    path.write_text(theirs)
    answer = send(table, FILE, sent)
    assert (answer.status, path.read_text()) == (409, theirs)
    assert "size = 3" in form_in(answer, FILE).value("text")
    assert "# theirs" in words(answer)


def test_a_text_without_a_version_is_not_written_over_anything(table, path):
    before = path.read_text()
    assert send(table, FILE, [("text", before + "# x\n")]).status == 409
    assert path.read_text() == before


def test_a_file_that_is_no_text_is_said(table, path):
    path.write_bytes(b"[trip]\nname = '\xff\xfe'\n")
    answer = table.ask(FILE)
    assert answer.status == 422
    assert "not UTF-8" in words(answer)


def test_a_text_that_is_too_long_is_refused(table, path):
    before = path.read_bytes()
    answer = send(table, FILE, typed(table, path.read_text() + "# " + "x" * 1_000_001))
    assert (answer.status, path.read_bytes()) == (422, before)
    assert "too large" in words(answer)


def test_lines_that_differ_stand_side_by_side():
    ours = "a\nb\nc\nd\ne\nf\ng\nh\ni\nj\nk\n"
    parts = differing(ours, ours.replace("b\n", "B\nB2\n").replace("k\n", ""))
    assert [[(line.mine, line.now) for line in part if not line.same] for part in parts] == [
        [("b", "B"), (None, "B2")],
        [("k", None)],
    ]
    assert differing("same\n", "same\n") == []
