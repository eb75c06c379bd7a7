"""Several files that belong together: all of them or none, and the truth where a disk does neither."""

from __future__ import annotations

import errno
import os
import pickle
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from handline.errors import OutputError
from handline.whole_file import write_all_whole

NAMES = ("page.html", "tables/one.csv", "tables/two.csv")
MANY_BYTES = 200_000


def _files(folder: Path, content: str) -> dict[Path, str | bytes]:
    return {folder / name: f"{content} {name}" for name in NAMES}


def _there(folder: Path) -> dict[str, str]:
    return {path.relative_to(folder).as_posix(): path.read_text() for path in folder.rglob("*") if path.is_file()}


def _said(content: str) -> dict[str, str]:
    return {name: f"{content} {name}" for name in NAMES}


def _full(*_: Any) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_all_are_written_into_folders_made_for_them(tmp_path: Path) -> None:
    folder = tmp_path / "out" / "deeper"
    write_all_whole({**_files(folder, "new"), folder / "bytes": b"\x00\xff"})
    assert (folder / "bytes").read_bytes() == b"\x00\xff"
    (folder / "bytes").unlink()
    assert _there(folder) == _said("new")


@pytest.mark.parametrize("step", ["fsync", "chmod"])
def test_a_full_disk_leaves_everything_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str) -> None:
    write_all_whole(_files(tmp_path, "old"))
    monkeypatch.setattr(os, step, _full)
    with pytest.raises(OutputError, match="cannot be written: No space left on device") as caught:
        write_all_whole(_files(tmp_path, "new"))
    assert caught.value.written == ()
    assert _there(tmp_path) == _said("old")


def test_nothing_is_left_of_folders_made_for_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "mine").mkdir()
    monkeypatch.setattr(os, "fsync", _full)
    with pytest.raises(OutputError):
        write_all_whole(_files(tmp_path / "mine" / "out" / "deeper", "new"))
    assert [path.name for path in tmp_path.rglob("*")] == ["mine"]


def test_what_is_new_and_what_is_as_before_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All are on the disk beside their places, and then one of them cannot take its place."""
    write_all_whole(_files(tmp_path, "old"))
    replace = os.replace

    def fail_at_the_second(part: str, target: Path) -> None:
        if Path(target).name == "one.csv":
            raise OSError(errno.EACCES, "Permission denied")
        replace(part, target)

    monkeypatch.setattr(os, "replace", fail_at_the_second)
    with pytest.raises(OutputError) as caught:
        write_all_whole(_files(tmp_path, "new"))
    text = str(caught.value)
    assert "one.csv cannot be written: Permission denied" in text
    assert f"\n    new: page.html\n    as before: {Path('tables', 'one.csv')}, {Path('tables', 'two.csv')}\n" in text
    assert caught.value.written == (tmp_path / "page.html",)
    assert _there(tmp_path) == _said("old") | {"page.html": "new page.html"}
    assert pickle.loads(pickle.dumps(caught.value)).written == caught.value.written


def test_all_are_on_the_disk_before_the_first_takes_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    order: list[str] = []
    fsync, replace = os.fsync, os.replace
    monkeypatch.setattr(os, "fsync", lambda descriptor: (order.append("disk"), fsync(descriptor)))
    monkeypatch.setattr(os, "replace", lambda part, target: (order.append(target.name), replace(part, target)))
    write_all_whole(_files(tmp_path, "new"))
    assert order == ["disk"] * 3 + ["page.html", "one.csv", "two.csv"]


def test_an_interrupt_is_passed_on_and_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_all_whole(_files(tmp_path / "out", "new"))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("in_the_way", ["tables", "page.html"])
def test_something_in_the_way_is_told_and_stays(tmp_path: Path, in_the_way: str) -> None:
    """A file where the folder should be, a folder where a file should be."""
    if in_the_way == "tables":
        (tmp_path / "tables").write_text("mine")
        says = "there is a file where its folder should be"
    else:
        (tmp_path / "page.html").mkdir()
        says = "there is a folder of that name"
    with pytest.raises(OutputError, match=says):
        write_all_whole(_files(tmp_path, "new"))
    assert [path.name for path in tmp_path.iterdir()] == [in_the_way]


@pytest.fixture
def tiny_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 128 kB, where one may be made."""
    place = tmp_path / "tiny"
    place.mkdir()
    mount = shutil.which("mount")
    made = mount is not None and subprocess.run(
        [mount, "-t", "tmpfs", "-o", "size=128k", "tmpfs", str(place)], capture_output=True, check=False
    )
    if not made or made.returncode != 0:
        pytest.skip("no small disk can be made here; a full one is acted above")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def test_a_disk_that_is_really_full(tiny_disk: Path) -> None:
    write_all_whole(_files(tiny_disk, "old"))
    with pytest.raises(OutputError, match="No space left on device"):
        write_all_whole({**_files(tiny_disk, "new"), tiny_disk / "large.bin": b"\x01" * MANY_BYTES})
    assert _there(tiny_disk) == _said("old")
