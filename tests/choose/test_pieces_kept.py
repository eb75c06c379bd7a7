"""Finished pieces on disk: read back bit for bit, or not at all."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.choose import pieces_kept as module
from handline.choose.piece import plain_arrays
from handline.choose.pieces_kept import JOBS_KEPT, pieces_kept
from tests.choose.small_work import SHARED, as_bytes, draw, pieces

pytestmark = pytest.mark.usefixtures("cache")


FOUND = plain_arrays(draw(SHARED, pieces(1)[0]) | {"file": np.ones(2)})


def test_read_back_bit_for_bit() -> None:
    pieces_kept("job").write("day 0", FOUND)
    kept = pieces_kept("job").read("day 0")
    assert kept is not None
    assert as_bytes([kept]) == as_bytes([FOUND])


def test_of_this_job_this_piece_this_program_only(monkeypatch: pytest.MonkeyPatch) -> None:
    pieces_kept("job").write("day 0", FOUND)
    assert pieces_kept("job").read("day 1") is None
    assert pieces_kept("another job").read("day 0") is None
    monkeypatch.setattr(module, "program_stamp", lambda: "another program")
    assert pieces_kept("job").read("day 0") is None


def test_a_file_broken_anywhere_is_none(cache: Path) -> None:
    """Any one byte turned over, and any end cut off: never other numbers."""
    small = {"a": np.arange(3.0)}
    kept = pieces_kept("job")
    kept.write("day 0", small)
    (file,) = kept.folder.iterdir()
    whole = file.read_bytes()
    for at in range(len(whole)):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1 :])
        read = kept.read("day 0")
        assert read is None or as_bytes([read]) == as_bytes([small]), at
        file.write_bytes(whole[:at])
        assert kept.read("day 0") is None


def test_what_would_run_code_is_not_read() -> None:
    kept = pieces_kept("job")
    kept.write("day 0", FOUND)
    (file,) = kept.folder.iterdir()
    with file.open("wb") as opened:
        np.savez(opened, days=np.array([{"a": 1}], dtype=object))
    assert kept.read("day 0") is None


def test_a_folder_that_cannot_be_made_is_no_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv(CACHE_VARIABLE, str(blocked))
    kept = pieces_kept("job")
    kept.write("day 0", FOUND)
    assert kept.read("day 0") is None
    kept.delete()
    assert blocked.read_text(encoding="utf-8") == ""


def test_the_oldest_jobs_are_deleted_and_nothing_else(cache: Path) -> None:
    jobs = [pieces_kept(f"job {number}") for number in range(JOBS_KEPT)]
    for age, job in enumerate(jobs):
        job.write("day 0", FOUND)
        os.utime(job.folder, (1_000 + age, 1_000 + age))
    foreign = cache / "grids" / "photographs"
    foreign.mkdir()
    os.utime(foreign, (1, 1))
    pieces_kept("job 0")  # used again, so that the second is now the oldest
    pieces_kept("one more")
    assert foreign.is_dir()
    assert [number for number, job in enumerate(jobs) if job.read("day 0") is None] == [1]
    assert len(list((cache / "grids").iterdir())) == JOBS_KEPT + 1


def test_deleted_when_done(cache: Path) -> None:
    kept = pieces_kept("job")
    kept.write("day 0", FOUND)
    kept.delete()
    assert list((cache / "grids").iterdir()) == []
