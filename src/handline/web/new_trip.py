"""Making a new trip: a folder of its own with a track and a file that can be planned, or nothing at all."""

from __future__ import annotations

import datetime as dt
import re
import tempfile
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from handline.errors import InputError, OutputError, Problem
from handline.route.reading import READERS
from handline.trip.reading import typed_values
from handline.trip.starter import starter_text
from handline.trip.writing import Value
from handline.web.file_problems import problems_in
from handline.web.folder import TripFile
from handline.web.form_changes import Changes
from handline.web.form_saved import changed_text
from handline.whole_file import write_all_whole

TRIP_FILE = "trip.toml"
LONGEST_NAME = 40
MOST_OF_ONE_NAME = 1000
TRACK = "track"
"""What problems of the track are about."""


@dataclass(frozen=True)
class Recorded:
    """A track as it was sent: the ending of its name, one that we read, and its bytes."""

    ending: str
    content: bytes

    @property
    def file(self) -> str:
        """What it is called beside the trip file; the name it came with is of no use."""
        return f"track{self.ending}"


def recorded(name: str, content: bytes) -> Recorded:
    """A track that was sent. Raises InputError where the ending of its name is none that we read."""
    ending = Path(name.replace("\\", "/").rpartition("/")[2]).suffix.lower()
    if ending not in READERS:
        raise InputError(
            Problem(
                "this ending is not one of a track file",
                read=ending[:20] or "no ending",
                allowed=", ".join(READERS),
                mend="export the track as GPX 1.1",
                key=TRACK,
            )
        )
    return Recorded(ending, content)


def make_trip(folder: Path, values: Mapping[str, Value], track: Recorded | None) -> Path:
    """Make a trip in a folder of its own.

    Parameters
    ----------
    folder : Path
        Where the new folder goes.
    values : mapping
        What was typed, by key; "trip.name" names the folder as well.
    track : Recorded or None
        None for typed legs to be changed.

    Returns
    -------
    Path
        The new trip file.

    Raises
    ------
    InputError
        Everything that keeps it from being planned; nothing was made.
    OutputError
        It could not be written; nothing was made.
    """
    text = _text(values, track)
    _check(text, track)
    made = _new_folder(folder, slug(str(values.get("trip.name") or "")))
    files: dict[Path, str | bytes] = {} if track is None else {made / track.file: track.content}
    try:
        write_all_whole({**files, made / TRIP_FILE: text})
    except BaseException:
        made.rmdir()
        raise
    return made / TRIP_FILE


def field_problems(values: Mapping[str, Value], track: Recorded | None) -> list[Problem]:
    """What is wrong with the track and with what was typed, where that is not all yet; nothing is made."""
    try:
        _check(_text(values, track), track)
    except InputError as error:
        return [one for one in error.problems if one.key == TRACK or one.key in values]
    return []


def slug(name: str) -> str:
    """A name as a folder can have it: small letters, figures and hyphens."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain)[:LONGEST_NAME].strip("-") or "trip"


def _text(values: Mapping[str, Value], track: Recorded | None) -> str:
    """The starter file with what was typed in it."""
    path = Path(TRIP_FILE)
    day = values.get("trip.date")
    text = starter_text("trip", track.file if track else None, day if isinstance(day, dt.date) else dt.date(2000, 1, 1))
    said, _ = typed_values(text, path)
    return changed_text(text, said, Changes(dict(values)), path)


def _check(text: str, track: Recorded | None) -> None:
    """Raise InputError with everything that keeps a trip from being planned, its track with it."""
    with tempfile.TemporaryDirectory() as name:
        at = Path(name)
        if track is not None:
            (at / track.file).write_bytes(track.content)
        (at / TRIP_FILE).write_text(text, encoding="utf-8")
        problems = list(problems_in(text, TripFile(TRIP_FILE, at / TRIP_FILE, TRIP_FILE, at)))
        if track is not None and not any(_is_of_track(one, track) for one in problems):
            problems += _track_problems(at / track.file)
        if problems:
            raise InputError([_without_place(one, at, track) for one in problems])


def _track_problems(path: Path) -> Sequence[Problem]:
    """What keeps a track from being read at all, where the rest of the file did not let it come to that."""
    from handline.route.reading import read_track

    try:
        read_track(path)
    except InputError as error:
        return error.problems
    return ()


def _is_of_track(problem: Problem, track: Recorded | None) -> bool:
    return problem.key == "route.track" or (track is not None and Path(problem.file or "").name == track.file)


def _without_place(problem: Problem, folder: Path, track: Recorded | None) -> Problem:
    """A problem without the file and line of a text that nobody has seen; of a track the line tells something."""
    if _is_of_track(problem, track):
        problem = replace(problem, key=TRACK)

    def told(words: str | None) -> str | None:
        return words and words.replace(f"{folder}/", "").replace(str(folder), "the new folder")

    line = problem.line if problem.key == TRACK else None
    return replace(problem, file=None, line=line, what=str(told(problem.what)), mend=told(problem.mend))


def _new_folder(folder: Path, name: str) -> Path:
    """A folder that was not there before; never one that was."""
    for number in range(1, MOST_OF_ONE_NAME):
        made = folder / (name if number == 1 else f"{name}-{number}")
        try:
            made.mkdir()
        except FileExistsError:
            continue
        except OSError as error:
            raise OutputError(
                f"{made} cannot be made: {error.strerror}\n    to mend: serve a folder that can be written to"
            ) from None
        return made
    raise OutputError(f"there are {MOST_OF_ONE_NAME} trips of the name {name} already. Name this one differently.")
