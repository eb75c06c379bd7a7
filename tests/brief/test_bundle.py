"""The script bundle: made once, kept whole, made again when it is not."""

from __future__ import annotations

import pytest

from handline.brief import bundle as bundle_module
from handline.brief.bundle import bundle
from handline.cache_folder import cache_folder


@pytest.fixture
def made(monkeypatch, tmp_path):
    """An empty cache, and a maker that counts instead of taking seconds."""
    calls = []

    def make() -> str:
        calls.append(1)
        return "(() => {\nlet drawn = 'ü';\n})();"

    monkeypatch.setenv("HANDLINE_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(bundle_module, "_make", make)
    return calls


def test_is_made_once(made):
    first, second = bundle(), bundle()
    assert first == second
    assert len(made) == 1


@pytest.mark.parametrize("harm", [lambda text: text[:-9], lambda text: "", lambda text: text.replace("let", "new")])
def test_a_harmed_copy_is_made_again(made, harm):
    whole = bundle()
    (kept,) = cache_folder().iterdir()
    kept.write_text(harm(kept.read_text(encoding="utf-8")), encoding="utf-8")
    assert bundle() == whole
    assert len(made) == 2
    assert bundle() == whole
    assert len(made) == 2


def test_bytes_that_are_no_text_are_made_again(made):
    whole = bundle()
    (kept,) = cache_folder().iterdir()
    kept.write_bytes(b"\xff\xfe\x00")
    assert bundle() == whole
    assert len(made) == 2


def test_a_cache_that_cannot_be_written_is_no_error(made, monkeypatch, tmp_path):
    blocked = tmp_path / "a file, not a folder"
    blocked.write_text("")
    monkeypatch.setenv("HANDLINE_CACHE", str(blocked))
    assert "drawn" in bundle()


def test_the_real_bundle_can_stand_in_a_page():
    script = bundle()
    assert "handlineEmbed" in script
    assert "</script" not in script.lower()
    assert "import(" not in script


def test_it_carries_the_licences_of_what_it_is_made_of(made):
    """BSD-3-Clause and ISC ask that their notice goes with every copy; words from the packages' own LICENSE files."""
    script = bundle()
    head = script[: script.index("*/")]
    assert head.startswith("/*!")
    for words in (
        "Copyright (c) 2015-2023, University of Washington Interactive Data Lab",
        "Redistributions in binary form must reproduce the above copyright notice",
        "Copyright 2010-2026 Mike Bostock",
        "provided that the above copyright notice",
    ):
        assert words in head
