"""Templates kept compiled: used again, never for another text, and no error where they cannot be kept."""

from __future__ import annotations

from pathlib import Path

import jinja2
import pytest

from handline.brief.template_cache import template_cache
from handline.cache_folder import CACHE_VARIABLE


def rendered(texts: dict[str, str]) -> str:
    environment = jinja2.Environment(loader=jinja2.DictLoader(texts), bytecode_cache=template_cache())
    return environment.get_template("page").render()


def test_it_is_kept_and_follows_the_text(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path))
    assert rendered({"page": "one {{ 1 + 1 }}"}) == "one 2"
    kept = list((tmp_path / "templates").iterdir())
    assert len(kept) == 1
    before = kept[0].read_bytes()
    assert rendered({"page": "one {{ 1 + 1 }}"}) == "one 2"
    assert kept[0].read_bytes() == before
    assert rendered({"page": "another {{ 2 + 1 }}"}) == "another 3"


def test_a_spoiled_one_is_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path))
    rendered({"page": "one"})
    (kept,) = (tmp_path / "templates").iterdir()
    kept.write_bytes(b"nonsense")
    assert rendered({"page": "one"}) == "one"


def test_no_folder_is_no_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "a-file").write_text("in the way", encoding="utf-8")
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "a-file"))
    assert template_cache() is None
    assert rendered({"page": "one"}) == "one"
