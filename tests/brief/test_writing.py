"""Writing the brief: the page and what lies beside it, whole or not at all, and a plain reason when it cannot be."""

from __future__ import annotations

import os

import pytest

from handline.brief.calendar import calendar_of
from handline.brief.gpx_out import gpx_of
from handline.brief.tables_out import tables_of
from handline.brief.writing import write_brief
from handline.day.plan_json import plan_json
from handline.errors import OutputError
from tests.brief.written_plans import typed

PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20"/></svg>'
BESIDE = {"card.pdf", "home.pdf", "plan.gpx", "plan.ics", "plan.json", "handline.json"}


def _draw(specs):
    """Pictures in no time: what they show is tested elsewhere."""
    return iter([PICTURE] * len(specs))


def _there(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_writes_a_page_and_everything_beside_it_into_a_new_folder(tmp_path):
    folder, plan = tmp_path / "out" / "deeper", typed()
    page, *others = write_brief(plan, folder)
    assert page == folder / "brief.html"
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert (folder / "plan.ics").read_bytes() == calendar_of(plan)
    assert (folder / "plan.gpx").read_bytes() == gpx_of(plan)
    assert (folder / "plan.json").read_text(encoding="utf-8") == plan_json(plan)
    assert {f"tables/{path.name}" for path in (folder / "tables").iterdir()} == set(tables_of(plan))
    assert {path.relative_to(folder).as_posix() for path in others} == BESIDE | set(tables_of(plan))
    assert _there(folder) == {"brief.html"} | BESIDE | set(tables_of(plan))


def test_everything_is_made_before_anything_is_written(tmp_path, monkeypatch):
    def fail(_):
        raise KeyboardInterrupt

    monkeypatch.setattr("handline.brief.writing.tables_of", fail)
    with pytest.raises(KeyboardInterrupt):
        write_brief(typed(), tmp_path / "out", _draw)
    assert not (tmp_path / "out").exists()


def test_a_folder_that_is_a_file_is_an_output_error(tmp_path):
    blocked = tmp_path / "taken"
    blocked.write_text("mine")
    with pytest.raises(OutputError, match="cannot be written"):
        write_brief(typed(), blocked)
    assert blocked.read_text() == "mine"


def test_the_old_page_stays_when_the_new_one_cannot_be_put_in_place(tmp_path, monkeypatch):
    page, *_ = write_brief(typed(), tmp_path, _draw)
    before, names = page.read_bytes(), _there(tmp_path)

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(OutputError, match="No space left on device"):
        write_brief(typed(), tmp_path, _draw)
    assert page.read_bytes() == before
    assert _there(tmp_path) == names


def test_a_folder_knows_its_trip_by_the_file(tmp_path):
    folder = tmp_path / "brief"
    write_brief(typed(), folder, _draw, trip_file=tmp_path / "one.toml")
    write_brief(typed(), folder, _draw, trip_file=tmp_path / "one.toml")
    with pytest.raises(OutputError, match="another trip"):
        write_brief(typed(), folder, _draw, trip_file=tmp_path / "two.toml")
    write_brief(typed(), folder, _draw, trip_file=tmp_path / "two.toml", replace=True)
    with pytest.raises(OutputError, match="another trip"):
        write_brief(typed(), folder, _draw, trip_file=tmp_path / "one.toml")
