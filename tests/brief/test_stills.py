"""Still pictures: drawn in another process as they are drawn here, and here where that process fails."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest

from handline.brief import stills

SPECS = [
    {"data": {"values": [{"a": value}]}, "mark": mark, "encoding": {"x": {"field": "a", "type": "quantitative"}}}
    for value, mark in ((1, "point"), (2, "bar"), (3, "tick"))
]


def test_another_process_draws_the_same() -> None:
    here = list(stills.draw_here(SPECS))
    with stills.drawing_apart() as draw:
        apart = list(draw(SPECS))
    assert apart == here
    assert all(svg.startswith("<svg") for svg in here)


def test_a_process_that_fails_is_no_loss(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", shutil.which("false"))
    with stills.drawing_apart() as draw:
        assert list(draw(SPECS)) == list(stills.draw_here(SPECS))


def test_what_a_process_leaves_undone_is_drawn_here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    stopped = tmp_path / "stopped"
    stopped.write_text("#!/bin/sh\necho '\"one\"'\nprintf '\"two'\n", encoding="utf-8")
    stopped.chmod(0o755)
    monkeypatch.setattr(sys, "executable", str(stopped))
    with stills.drawing_apart() as draw:
        assert list(draw(SPECS)) == ["one", *stills.draw_here(SPECS[1:])]


def test_nothing_asked_leaves_no_process() -> None:
    with stills.drawing_apart():
        pass


def test_a_picture_is_an_address_inside_the_page() -> None:
    uri = stills.data_uri('<svg a="1">#</svg>')
    assert uri.startswith("data:image/svg+xml")
    assert '"' not in uri
    assert "#" not in uri
