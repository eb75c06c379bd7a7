"""Saving a trip file so that nothing is lost: whole or not at all, never over what somebody else wrote meanwhile,
and with what was there before kept for undoing.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from handline.errors import OutputError, Problem, TripError
from handline.trip.reading import trip_text
from handline.web.folder import TripFile
from handline.whole_file import write_whole

MOST_KEPT = 20
"""Texts of a file that are kept for undoing."""
_HOME = ".handline"
_UNDONE = "undone-"
_VERSION = re.compile(r"[0-9a-f]{64}")

_locks: dict[Path, threading.Lock] = {}
_locks_lock = threading.Lock()


class StaleError(Exception):
    """The file is not what a change was made from: ``mine`` was to be written, ``now`` is there."""

    def __init__(self, mine: str, now: str) -> None:
        super().__init__("the file was changed meanwhile")
        self.mine, self.now = mine, now


class NothingToUndoError(TripError):
    """No earlier text of the file is kept."""


@dataclass(frozen=True)
class _Kept:
    """An earlier text of a file, kept when it was saved over; ``after`` is the version that took its place."""

    path: Path
    number: int
    after: str


def version_of(text: str) -> str:
    """Which text this is."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def with_line_ends_of(old: str, new: str) -> str:
    """A text that came from a browser, which has its own line ends, with those of the file."""
    new = new.replace("\r\n", "\n").replace("\r", "\n")
    return new.replace("\n", "\r\n") if "\r\n" in old else new


def save(folder: Path, trip: TripFile, text: str, version: str) -> str:
    """Write a text over the version it was made from, which is kept for undoing.

    Parameters
    ----------
    folder : Path
        The folder of trip files; what is kept lies in ``.handline/undo`` in it.
    version : str
        Of the text that was read when the change began.

    Returns
    -------
    str
        The version that is there now.

    Raises
    ------
    StaleError
        Somebody else wrote the file meanwhile; it is as they wrote it.
    TripError, OutputError
        The file cannot be read or written; it is as it was.
    """
    with _alone(folder, trip):
        now = trip_text(trip.path)
        if version_of(now) != version:
            raise StaleError(text, now)
        after = version_of(text)
        if text == now:
            return after
        kept = _all_kept(folder, trip)
        number = kept[-1].number + 1 if kept else 1
        # Kept first: a crash between the two leaves one text too many, never one too few.
        write_whole(_undo_folder(folder, trip) / f"{number:06d}-{after}.toml", now)
        write_whole(trip.path, text)
        for old in kept[: max(len(kept) + 1 - MOST_KEPT, 0)]:
            old.path.unlink(missing_ok=True)
        return after


def undo(folder: Path, trip: TripFile) -> str:
    """Put back what was there before the last save, once.

    Returns
    -------
    str
        The version that is there now.

    Raises
    ------
    NothingToUndoError
        Nothing is kept.
    StaleError
        Somebody else wrote the file since; it is as they wrote it.
    TripError, OutputError
        The file cannot be read or written; it is as it was.
    """
    with _alone(folder, trip):
        now = trip_text(trip.path)
        for kept in reversed(_all_kept(folder, trip)):
            before = trip_text(kept.path)
            if kept.after != version_of(now) and before == now:
                kept.path.unlink()  # that save was kept but never came to be
                continue
            if kept.after != version_of(now):
                raise StaleError(before, now)
            _keep_undone(folder, trip, now, version_of(before))
            write_whole(trip.path, before)
            kept.path.unlink()
            return version_of(before)
        raise NothingToUndoError(Problem("there is nothing to undo", file=str(trip.path)))


def redo(folder: Path, trip: TripFile) -> str:
    """Do again what was undone last, as a save like any other; only once, and only right after the undoing.

    Raises
    ------
    NothingToUndoError
        Nothing was undone, or something was saved since.
    StaleError, TripError, OutputError
        As ``save``.
    """
    now = trip_text(trip.path)
    kept = _undo_folder(folder, trip) / f"{_UNDONE}{version_of(now)}.toml"
    if not kept.is_file():
        raise NothingToUndoError(Problem("there is nothing to do again", file=str(trip.path)))
    version = save(folder, trip, trip_text(kept), version_of(now))
    kept.unlink(missing_ok=True)
    return version


def can_redo(folder: Path, trip: TripFile, version: str) -> bool:
    """Whether this version came of undoing another, which is kept."""
    return (
        _VERSION.fullmatch(version) is not None and (_undo_folder(folder, trip) / f"{_UNDONE}{version}.toml").is_file()
    )


def _keep_undone(folder: Path, trip: TripFile, text: str, version: str) -> None:
    """Keep a text that is about to be undone, by the version that takes its place."""
    undo_folder = _undo_folder(folder, trip)
    old = list(undo_folder.glob(f"{_UNDONE}*.toml"))
    write_whole(undo_folder / f"{_UNDONE}{version}.toml", text)
    for path in old:
        if path.name != f"{_UNDONE}{version}.toml":
            path.unlink(missing_ok=True)


def can_undo(folder: Path, trip: TripFile) -> bool:
    """Whether anything is kept of a file."""
    return bool(_all_kept(folder, trip))


def _all_kept(folder: Path, trip: TripFile) -> list[_Kept]:
    """What is kept of a file, the oldest first."""
    kept = []
    for path in _undo_folder(folder, trip).glob("*-*.toml"):
        number, _, after = path.stem.partition("-")
        if number.isdecimal() and path.is_file() and not path.is_symlink():
            kept.append(_Kept(path, int(number), after))
    return sorted(kept, key=lambda one: one.number)


def _undo_folder(folder: Path, trip: TripFile) -> Path:
    """Where earlier texts of a file are kept: named after where the file lies, so that no two trips share one.

    Raises OutputError where a link leads it out of the folder.
    """
    undo_folder = folder / _HOME / "undo" / trip.inside
    if not undo_folder.resolve().is_relative_to(folder.resolve()):
        raise OutputError(f"{_HOME} is a link that leads out of the folder. To mend: take it away.")
    return undo_folder


@contextlib.contextmanager
def _alone(folder: Path, trip: TripFile) -> Iterator[None]:
    """Nobody else saves this file meanwhile: no other request, and no other server on the same folder."""
    with _locks_lock:
        lock = _locks.setdefault(trip.path.resolve(), threading.Lock())
    with lock, _locked_file(_undo_folder(folder, trip)):
        yield


@contextlib.contextmanager
def _locked_file(undo_folder: Path) -> Iterator[None]:
    try:
        import fcntl
    except ImportError:  # where there are no such locks, requests of this server still wait for each other
        yield
        return
    try:
        undo_folder.mkdir(parents=True, exist_ok=True)
        descriptor = os.open(undo_folder / "lock", os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o600)
    except OSError as error:
        raise OutputError(
            f"{undo_folder} cannot be written: {error.strerror}\n    to mend: serve a folder that can be written to"
        ) from None
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        yield
    finally:
        os.close(descriptor)
