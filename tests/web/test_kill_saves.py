"""kill -9 in the middle of 200 saves: the file is whole each time, and what was kept can be undone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from handline.web.folder import TripFolder
from handline.web.saving import can_undo, undo
from tests.web import killed_saves
from tests.web.killed_saves import text_of

KILLS = 24


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are forked")
def test_a_kill_leaves_a_whole_file_each_time(tmp_path: Path) -> None:
    command = [sys.executable, killed_saves.__file__, str(tmp_path), "1", str(KILLS)]
    told = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    kills = [json.loads(line) for line in told.stdout.splitlines()]
    assert [one["killed"] for one in kills] == [True] * KILLS
    # Moments really differ: before and after opening, writing, writing through, renaming.
    assert len({one["call"] for one in kills}) >= 6
    assert sum(one["done"] for one in kills) >= 200
    before = 0
    for one in kills:
        tomllib.loads(one["text"])
        # The last that was done, or the one it was killed in; where none was done, the one before all of them.
        last = one["first"] + one["done"] - 1 if one["done"] else before
        under_way = one["first"] + one["done"]
        assert one["text"] in (text_of(last), text_of(under_way))
        before = under_way if one["text"] == text_of(under_way) else last


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are forked")
def test_after_kills_the_folder_has_its_trip_and_undoing_still_works(tmp_path: Path) -> None:
    command = [sys.executable, killed_saves.__file__, str(tmp_path), "3", "6"]
    subprocess.run(command, capture_output=True, timeout=120, check=True)
    trips = TripFolder(tmp_path).trips()
    assert [trip.inside for trip in trips] == ["trip.toml"]
    seen = [trips[0].path.read_text()]
    while can_undo(tmp_path, trips[0]) and len(seen) < 8:
        undo(tmp_path, trips[0])
        seen.append(trips[0].path.read_text())
    numbers = [int(text.split("'")[1].removeprefix("save ")) for text in seen]
    assert len(seen) == 8
    assert numbers == sorted(numbers, reverse=True)
    assert len(set(numbers)) == len(numbers)
