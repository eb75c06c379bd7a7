"""Setting pages: data stay data, and letters that our fonts lack are looked for elsewhere and told."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from handline.brief.home_copy import home_pdf
from handline.brief.typesetting import beyond_our_fonts
from tests.brief.pdf_read import info_of, text_of
from tests.brief.sample_plan import sample_plan

NOTICE = "Letters shown as boxes have no shape in the fonts of the machine that made this"


@pytest.mark.parametrize("words", ["Ærøskøbing", "Jiří ¾ ×6 “–” ± −3 °C", "Ελλάδα", "Ужгород", "", "a\u00a0b"])
def test_letters_of_europe_are_in_our_fonts(words: str) -> None:
    assert not beyond_our_fonts({"a": [words, {"b": (words, 3, None, True)}]})


@pytest.mark.parametrize("words", ["槍ヶ岳", "북한산", "ดอย", "दून", "🏔"])
def test_other_letters_are_not(words: str) -> None:
    assert beyond_our_fonts({"a": [1, {"b": ("fine", words)}]})


def test_letters_that_may_be_boxes_are_told() -> None:
    plan = sample_plan()
    pdf = home_pdf(replace(plan, contacts=replace(plan.contacts, leader="槍ヶ岳 555")))
    assert info_of(pdf)["Pages"] == "1"
    assert NOTICE in text_of(pdf)
    assert NOTICE not in text_of(home_pdf(plan))


def test_it_needs_no_folder_to_work_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = home_pdf(sample_plan())
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    os.rmdir(gone)
    assert home_pdf(sample_plan()) == wanted
