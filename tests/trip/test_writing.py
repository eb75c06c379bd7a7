"""Writing: whole or not at all, comments kept, nothing unusable."""

from __future__ import annotations

import datetime as dt
import os
import stat
from pathlib import Path
from typing import Any

import pytest

from handline.errors import OutputError, TripError
from handline.trip.reading import read_trip
from handline.trip.writing import set_values
from handline.whole_file import write_whole

COMMENTED = """\
# Our trip. ünïcode stays.
[trip]   # about
date = 2027-07-17           # a Saturday
start = "05:00"             # early

[route]
track = "track.gpx"

[[waypoints]]
name = "Base"               # under the slab
kind = "line_foot"
at = "3 km"
# the next section is about the cables

[line]
sections = [                # from the foot up
  { length = "18 m", angle = "34 deg" },   # easy
  { length = "24 m", angle = "41 deg" },
]

[party]
size = 4                    # with me
body_mass = "85 kg"         # the heaviest

# --- the end ---
"""


@pytest.fixture
def commented(trip_file: Path) -> Path:
    trip_file.write_text(COMMENTED, encoding="utf-8")
    return trip_file


def leftovers(folder: Path) -> set[str]:
    return {entry.name for entry in folder.iterdir()} - {"trip.toml", "track.gpx"}


# --- whole or not at all -------------------------------------------------------------------------------------------


def test_a_new_file_has_the_usual_permissions(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        write_whole(tmp_path / "trip.toml", "é\n")
    finally:
        os.umask(mask)
    assert (tmp_path / "trip.toml").read_bytes() == "é\n".encode()
    assert stat.S_IMODE((tmp_path / "trip.toml").stat().st_mode) == 0o640
    assert leftovers(tmp_path) == set()


def test_permissions_of_an_old_file_are_kept(commented: Path) -> None:
    commented.chmod(0o604)
    write_whole(commented, "new")
    assert (commented.read_text(), stat.S_IMODE(commented.stat().st_mode)) == ("new", 0o604)


def test_a_link_stays_a_link(tmp_path: Path, commented: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(commented)
    write_whole(link, "new")
    assert link.is_symlink()
    assert commented.read_text() == "new"


@pytest.mark.parametrize("step", ["replace", "fsync", "chmod"])
def test_a_failure_leaves_the_old_file_and_nothing_else(
    commented: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    def fail(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, fail)
    with pytest.raises(OutputError, match=r"trip\.toml cannot be written: No space left"):
        write_whole(commented, "new")
    assert commented.read_text(encoding="utf-8") == COMMENTED
    assert leftovers(commented.parent) == set()


def test_an_interrupt_leaves_the_old_file_and_is_passed_on(commented: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_whole(commented, "new")
    assert commented.read_text(encoding="utf-8") == COMMENTED
    assert leftovers(commented.parent) == set()


def test_the_new_text_is_on_the_disk_before_the_old_one_goes(commented: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    order: list[str] = []
    fsync, replace = os.fsync, os.replace

    def noted_fsync(descriptor: int) -> None:
        order.append("fsync")
        fsync(descriptor)

    def noted_replace(old: str, new: Path) -> None:
        order.append("replace")
        replace(old, new)

    monkeypatch.setattr(os, "fsync", noted_fsync)
    monkeypatch.setattr(os, "replace", noted_replace)
    write_whole(commented, "new")
    assert order == ["fsync", "replace"]


@pytest.mark.parametrize("place", ["track.gpx/trip.toml", "a\x00b", "folder"])
def test_a_place_that_cannot_be_written_is_told(commented: Path, place: str) -> None:
    (commented.parent / "folder").mkdir()
    with pytest.raises(OutputError, match="cannot be written"):
        write_whole(commented.parent / place, "new")
    assert leftovers(commented.parent) == {"folder"}


# --- setting values ------------------------------------------------------------------------------------------------


def test_only_the_values_change(commented: Path) -> None:
    trip = set_values(
        commented,
        {
            "party.size": 5,
            "trip.start": "04:30",
            "trip.date": dt.date(2027, 7, 18),
            "waypoints[0].at": "3.1 km",
            "line.sections[1].angle": "42 deg",
        },
    )
    expected = (
        COMMENTED.replace("size = 4 ", "size = 5 ")
        .replace('"05:00"', '"04:30"')
        .replace("07-17", "07-18")
        .replace('"3 km"', '"3.1 km"')
        .replace("41 deg", "42 deg")
    )
    assert commented.read_text(encoding="utf-8") == expected
    assert trip.party.size == 5
    assert trip.sha256 == read_trip(commented).sha256


def test_a_new_key_goes_below_the_last_one_of_its_section(commented: Path) -> None:
    set_values(commented, {"waypoints[0].stop": "10 min", "line.cables": 2})
    expected = COMMENTED.replace('at = "3 km"\n', 'at = "3 km"\nstop = "10 min"\n').replace(
        "]\n\n[party]", "]\ncables = 2\n\n[party]"
    )
    assert commented.read_text(encoding="utf-8") == expected


def test_a_new_section_goes_to_the_end(commented: Path) -> None:
    trip = set_values(commented, {"season.open": ["1 May to 31 October"], "season.raised": ["1 June to 1 September"]})
    text = commented.read_text(encoding="utf-8")
    assert text.startswith(COMMENTED)
    assert text.endswith('[season]\nopen = ["1 May to 31 October"]\nraised = ["1 June to 1 September"]\n')
    assert trip.season.open == ("1 May to 31 October",)


def test_none_takes_a_key_away(commented: Path) -> None:
    set_values(commented, {"party.body_mass": None, "weather.rock": None, "trip.units": None, "waypoints[0]": None})
    text = commented.read_text(encoding="utf-8")
    assert "85 kg" not in text
    assert "weather" not in text
    assert "Base" not in text
    assert read_trip(commented).party.body_mass_kg == 80.0


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"party.size": 0}, "party has at least one person"),
        ({"party.size": 5, "line.foot": "Bass"}, 'did you mean "Base"'),
        ({"party.sise": 5}, 'did you mean "size"'),
        ({"party.size": None}, "size is needed"),
        ({"party.size.x": 5}, "no such place"),
        ({"waypoints[1].at": "1 km"}, "no such place"),
        ({"waypoints.at": "1 km"}, "no such place"),
        ({"trip[0]": 1}, "no such place"),
        ({"": 1}, "not a key"),
        ({"party..size": 1}, "not a key"),
        ({"party.": 1}, "not a key"),
        ({"party size": 1}, "not a key"),
        ({"waypoints[x].at": 1}, "not a key"),
    ],
)
def test_an_unusable_file_is_never_written(commented: Path, values: dict[str, Any], said: str) -> None:
    with pytest.raises(TripError) as refused:
        set_values(commented, values)
    assert said in str(refused.value)
    assert commented.read_text(encoding="utf-8") == COMMENTED
    assert leftovers(commented.parent) == set()


def test_values_may_mend_a_file_that_was_unusable(commented: Path) -> None:
    commented.write_text(COMMENTED.replace("size = 4", "size = 400"), encoding="utf-8")
    assert set_values(commented, {"party.size": 40}).party.size == 40


def test_broken_toml_is_refused_as_in_reading(commented: Path) -> None:
    commented.write_text("[trip\n")
    with pytest.raises(TripError, match="this is not TOML"):
        set_values(commented, {"party.size": 5})


def test_windows_line_ends_stay(commented: Path) -> None:
    commented.write_bytes(COMMENTED.replace("\n", "\r\n").encode())
    set_values(commented, {"party.size": 5})
    assert commented.read_bytes() == COMMENTED.replace("size = 4", "size = 5").replace("\n", "\r\n").encode()
