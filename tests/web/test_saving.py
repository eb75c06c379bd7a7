"""Saving: whole or not at all, never over somebody else's, and with what was there before kept."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from handline.errors import OutputError
from handline.web import saving
from handline.web.folder import TripFile, TripFolder
from handline.web.saving import (
    MOST_KEPT,
    NothingToUndoError,
    StaleError,
    can_redo,
    can_undo,
    redo,
    save,
    undo,
    version_of,
    with_line_ends_of,
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "north").mkdir()
    (tmp_path / "north" / "trip.toml").write_text("[trip]\nname = 'first'\n")
    (tmp_path / "north.toml").write_text("[trip]\nname = 'another'\n")
    return tmp_path


@pytest.fixture
def trip(folder: Path) -> TripFile:
    return next(one for one in TripFolder(folder).trips() if one.inside == "north/trip.toml")


def save_now(folder: Path, trip: TripFile, text: str) -> str:
    return save(folder, trip, text, version_of(trip.path.read_text()))


def test_what_was_there_before_comes_back_byte_for_byte(folder, trip):
    before = "[trip]\r\nname = 'ünï'\r\n"
    trip.path.write_bytes(before.encode())
    version = save(folder, trip, "[trip]\n", version_of(before))
    assert (trip.path.read_bytes(), version) == (b"[trip]\n", version_of("[trip]\n"))
    assert undo(folder, trip) == version_of(before)
    assert trip.path.read_bytes() == before.encode()
    assert not can_undo(folder, trip)
    with pytest.raises(NothingToUndoError, match="nothing to undo"):
        undo(folder, trip)


def test_the_last_saves_are_kept_and_the_oldest_goes(folder, trip):
    for i in range(MOST_KEPT + 5):
        save_now(folder, trip, f"[trip]\nname = '{i}'\n")
    seen = []
    while can_undo(folder, trip):
        undo(folder, trip)
        seen.append(trip.path.read_text())
    assert seen == [f"[trip]\nname = '{i}'\n" for i in reversed(range(4, MOST_KEPT + 4))]


def test_a_save_over_somebody_elses_is_refused_with_both_texts(folder, trip):
    version = version_of(trip.path.read_text())
    trip.path.write_text("[trip]\nname = 'theirs'\n")
    with pytest.raises(StaleError) as refused:
        save(folder, trip, "[trip]\nname = 'mine'\n", version)
    assert (refused.value.mine, refused.value.now) == ("[trip]\nname = 'mine'\n", "[trip]\nname = 'theirs'\n")
    assert trip.path.read_text() == "[trip]\nname = 'theirs'\n"
    assert not can_undo(folder, trip)


def test_an_undo_over_somebody_elses_is_refused_with_both_texts(folder, trip):
    before = trip.path.read_text()
    save_now(folder, trip, "[trip]\nname = 'mine'\n")
    trip.path.write_text("[trip]\nname = 'theirs'\n")
    with pytest.raises(StaleError) as refused:
        undo(folder, trip)
    assert (refused.value.mine, refused.value.now) == (before, "[trip]\nname = 'theirs'\n")
    assert trip.path.read_text() == "[trip]\nname = 'theirs'\n"
    assert can_undo(folder, trip)


def test_saving_the_same_keeps_nothing(folder, trip):
    save_now(folder, trip, trip.path.read_text())
    assert not can_undo(folder, trip)


def test_trips_with_alike_names_do_not_share_what_is_kept(folder, trip):
    other = next(one for one in TripFolder(folder).trips() if one.inside == "north.toml")
    save_now(folder, trip, "[trip]\nname = 'changed'\n")
    assert not can_undo(folder, other)


def test_what_was_undone_can_be_done_again_once(folder, trip):
    save_now(folder, trip, "[trip]\nname = 'second'\n")
    version = undo(folder, trip)
    assert can_redo(folder, trip, version)
    redo(folder, trip)
    assert trip.path.read_text() == "[trip]\nname = 'second'\n"
    assert not can_redo(folder, trip, version)
    undo(folder, trip)
    assert trip.path.read_text() == "[trip]\nname = 'first'\n"


def test_what_was_undone_is_not_done_again_over_something_newer(folder, trip):
    save_now(folder, trip, "[trip]\nname = 'second'\n")
    undo(folder, trip)
    save_now(folder, trip, "[trip]\nname = 'third'\n")
    with pytest.raises(NothingToUndoError, match="nothing to do again"):
        redo(folder, trip)
    assert trip.path.read_text() == "[trip]\nname = 'third'\n"


@pytest.mark.parametrize("version", ["../../north.toml", "", "0" * 63 + "/"])
def test_a_version_is_never_a_path(folder, trip, version):
    assert not can_redo(folder, trip, version)


def test_a_save_that_fails_half_way_leaves_all_as_it_was(folder, trip, monkeypatch):
    before = trip.path.read_text()

    def fails_at_the_trip(path: Path, content: str) -> None:
        if path == trip.path:
            raise OutputError("no space")
        written(path, content)

    written = saving.write_whole
    monkeypatch.setattr(saving, "write_whole", fails_at_the_trip)
    with pytest.raises(OutputError):
        save_now(folder, trip, "[trip]\nname = 'second'\n")
    assert trip.path.read_text() == before
    monkeypatch.undo()
    # The text kept for a save that never came to be is passed over.
    with pytest.raises(NothingToUndoError):
        undo(folder, trip)
    assert trip.path.read_text() == before


def test_of_many_that_save_over_one_version_one_wins_and_nothing_is_mixed(folder, trip):
    version = version_of(trip.path.read_text())
    texts = [f"[trip]\nname = '{i}'\n" * 400 for i in range(12)]
    outcomes: list[str] = []
    start = threading.Barrier(len(texts))

    def one(text: str) -> None:
        start.wait()
        try:
            save(folder, trip, text, version)
            outcomes.append(text)
        except StaleError:
            outcomes.append("")

    threads = [threading.Thread(target=one, args=(text,)) for text in texts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    winners = [text for text in outcomes if text]
    assert len(outcomes) == len(texts)
    assert [trip.path.read_text()] == winners


def test_a_link_out_of_the_folder_keeps_nothing_there(folder, trip, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside")
    (folder / ".handline").symlink_to(outside)
    before = trip.path.read_text()
    with pytest.raises(OutputError, match="leads out of the folder"):
        save_now(folder, trip, "[trip]\n")
    assert (trip.path.read_text(), list(outside.iterdir())) == (before, [])


def test_a_trip_that_is_a_link_inside_the_folder_stays_one(folder, trip):
    (folder / "spring.toml").symlink_to(trip.path)
    link = TripFolder(folder).trip("spring")
    save_now(folder, link, "[trip]\nname = 'new'\n")
    assert link.path.is_symlink()
    assert trip.path.read_text() == "[trip]\nname = 'new'\n"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [("a\nb\n", "a\r\nc\r\n", "a\nc\n"), ("a\r\nb\r\n", "a\r\nc\n", "a\r\nc\r\n"), ("", "a\rb", "a\nb")],
)
def test_line_ends_are_those_of_the_file(old, new, said):
    assert with_line_ends_of(old, new) == said
