"""Writing the brief: whole or not at all, and a plain reason when it cannot be."""

from __future__ import annotations

import os

import pytest

from handline.brief.calendar import calendar_of
from handline.brief.writing import write_brief
from handline.errors import OutputError
from tests.brief.sample_plan import sample_plan


def test_writes_a_page_and_a_calendar_into_a_new_folder(tmp_path):
    folder = tmp_path / "out" / "deeper"
    page, calendar = write_brief(sample_plan(), folder)
    assert page == folder / "brief.html"
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert calendar.read_bytes() == calendar_of(sample_plan())
    assert sorted(path.name for path in folder.iterdir()) == ["brief.html", "plan.ics"]


def test_a_folder_that_is_a_file_is_an_output_error(tmp_path):
    blocked = tmp_path / "taken"
    blocked.write_text("mine")
    with pytest.raises(OutputError, match="cannot be written"):
        write_brief(sample_plan(), blocked)
    assert blocked.read_text() == "mine"


def test_the_old_page_stays_when_the_new_one_cannot_be_put_in_place(tmp_path, monkeypatch):
    page, _ = write_brief(sample_plan(), tmp_path)
    before = page.read_bytes()

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(OutputError, match="No space left on device"):
        write_brief(sample_plan(), tmp_path)
    assert page.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["brief.html", "plan.ics"]
