"""Whose brief a folder holds: a small file tells it, and no other trip writes over it unasked."""

from __future__ import annotations

import json
import os
from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from handline.day.plan import Plan
from handline.errors import OutputError
from handline.whole_file import write_all_whole

MANIFEST_NAME = "handline.json"
_WHAT = "a brief by Handline: files that belong together. Another trip writes over them only if asked to."
_GO_ON = "name another folder with --out, or write over it with --replace"


@dataclass(frozen=True)
class Held:
    """The brief a folder holds.

    ``trip_file`` is seen from the folder, so that it stays right where both are moved together; ``files`` are seen from
    the folder too, in POSIX's way.
    """

    trip_file: str
    name: str
    date: str
    version: str
    inputs_sha256: str
    files: tuple[str, ...]


def trip_from(folder: Path, trip_file: Path) -> str:
    """A trip file as it is seen from a folder; where no way leads there, as on another drive, by its whole path."""
    whole = os.path.realpath(trip_file)
    try:
        return Path(os.path.relpath(whole, os.path.realpath(folder))).as_posix()
    except ValueError:
        return Path(whole).as_posix()


def held_in(folder: Path) -> Held | None:
    """The brief a folder holds, or None where no such brief is told of."""
    try:
        told: Any = json.loads((folder / MANIFEST_NAME).read_text(encoding="utf-8"))
        if told["what"] != _WHAT:
            return None
        words = {key: told[key] for key in ("trip_file", "name", "date", "version", "inputs_sha256")}
        files = tuple(told["files"])
    except (OSError, ValueError, TypeError, KeyError):
        return None
    return Held(**words, files=files) if all(isinstance(word, str) for word in (*words.values(), *files)) else None


def refuse_another_trip(folder: Path, trip_file: str) -> None:
    """Refuse a folder that holds the brief of another trip, or that is no folder.

    Raises
    ------
    OutputError
        Naming the folder, whose brief it holds and how to go on.
    """
    if os.path.exists(folder) and not os.path.isdir(folder):
        raise OutputError(f"{folder} cannot be written to: it is a file\n    to mend: name a folder with --out")
    held = held_in(folder)
    if held is not None and held.trip_file != trip_file:
        raise OutputError(
            f"{folder} holds the brief of another trip: {held.name}, {held.date}\n"
            f"    planned from: {os.path.normpath(os.path.join(os.path.realpath(folder), held.trip_file))}\n"
            f"    to mend: {_GO_ON}"
        )


def write_to(
    folder: Path, plan: Plan, trip_file: str, contents: Mapping[str, bytes], *, replace: bool = False
) -> tuple[Path, ...]:
    """Write the files of a brief into a folder, all of them or none, with the file that tells whose they are.

    Parameters
    ----------
    folder : Path
        Made if need be.
    plan : Plan
    trip_file : str
        As ``trip_from`` sees it.
    contents : mapping of str to bytes
        The files by their names in the folder.
    replace : bool
        Whether to write over the brief of another trip, and over files nobody told of.

    Returns
    -------
    tuple of Path
        The files, in the order given, that which tells whose they are last. Those of the brief before that are no
        longer part of it are gone.

    Raises
    ------
    OutputError
        The folder holds another trip's brief or files that are not told of, or a file cannot be written.
    """
    if not replace:
        refuse_another_trip(folder, trip_file)
    held = held_in(folder)
    if not replace:
        _refuse_strangers(folder, (*contents, MANIFEST_NAME), () if held is None else (*held.files, MANIFEST_NAME))
    told = Held(
        trip_file=trip_file,
        name=plan.name,
        date=plan.date,
        version=plan.provenance.version,
        inputs_sha256=plan.provenance.inputs_sha256,
        files=tuple(contents),
    )
    manifest = json.dumps({"what": _WHAT} | asdict(told), indent=2, ensure_ascii=False) + "\n"
    # It takes its place first: were the rest cut short, the next try would find its own folder.
    write_all_whole({folder / MANIFEST_NAME: manifest} | {folder / name: content for name, content in contents.items()})
    if held is not None:
        _remove_old(folder, set(held.files) - set(contents))
    return (*(folder / name for name in contents), folder / MANIFEST_NAME)


def _refuse_strangers(folder: Path, wanted: Iterable[str], ours: Collection[str]) -> None:
    """Refuse to write over files that no brief told of."""
    strangers = [name for name in wanted if name not in ours and os.path.lexists(folder / name)]
    if strangers:
        raise OutputError(
            f"{folder} holds files that a brief would write over, and nothing tells whose they are: "
            f"{', '.join(strangers)}\n"
            f"    to mend: {_GO_ON}"
        )


def _remove_old(folder: Path, names: Iterable[str]) -> None:
    """Remove files of the brief before: old times beside new ones would mislead."""
    root = os.path.realpath(folder)
    left = []
    for name in sorted(names):
        # What a file tells is not trusted to lead out of the folder.
        if not Path(os.path.realpath((folder / name).parent)).is_relative_to(root):
            continue
        try:
            (folder / name).unlink(missing_ok=True)
        except OSError as error:
            left.append(f"{name} ({error.strerror})")
    if left:
        raise OutputError(
            f"The brief is in {folder}, but files of the one before cannot be removed; their times are old: "
            f"{', '.join(left)}\n    to mend: remove them by hand",
            written=(folder,),
        )
