"""Writing files whole or not at all, one or several that belong together."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from handline.errors import OutputError

# A disk takes several files at once in little more than the time of one.
_AT_ONCE = 8


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file, text as UTF-8, so that either the old content or the whole new one is there, whatever happens.

    A missing folder is made. Permissions of a file that was there are kept; a link stays a link.

    Raises
    ------
    OutputError
        It could not be written; the old file is as it was.
    """
    write_all_whole({path: content})


def write_all_whole(files: Mapping[Path, str | bytes]) -> None:
    """Write several files, each as ``write_whole`` does.

    All of them are on the disk before the first takes its place, in the order given: a full disk or a folder that
    cannot be written to leaves everything as it was, and no folder that was not there before.

    Raises
    ------
    OutputError
        One of them could not be written. Nothing was, but for ``written`` of the error: then it says which and which
        not.
    """
    parts: list[_Part] = []
    made: list[Path] = []
    put: list[Path] = []
    try:
        for path, content in files.items():
            with _plainly(path):
                parts.append(_part_beside(path, made))
                parts[-1].file.write(content.encode("utf-8") if isinstance(content, str) else content)
                parts[-1].file.flush()
        _onto_the_disk(parts)
        for part in parts:
            with _plainly(part.path, put, [*files]):
                os.replace(part.name, part.target)
            put.append(part.path)
    except BaseException:
        _take_away(parts, made)
        raise


@dataclass(frozen=True)
class _Part:
    """A new file beside the place it will take."""

    path: Path
    target: Path
    name: str
    mode: int
    file: BinaryIO


def _part_beside(path: Path, made: list[Path]) -> _Part:
    """Begin a file; folders that had to be made for it are added to ``made``."""
    target = path.resolve()
    if target.is_dir():
        raise IsADirectoryError(0, "there is a folder of that name")
    missing = [folder for folder in target.parents if not folder.exists()]
    made.extend(reversed(missing))
    target.parent.mkdir(parents=True, exist_ok=True)
    mode = target.stat().st_mode & 0o7777 if target.exists() else 0o666 & ~_umask()
    descriptor, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    return _Part(path, target, name, mode, os.fdopen(descriptor, "wb"))


def _onto_the_disk(parts: Sequence[_Part]) -> None:
    """Wait until what was written is on the disk."""

    def wait(part: _Part) -> None:
        with _plainly(part.path):
            os.fsync(part.file.fileno())
            part.file.close()
            os.chmod(part.name, part.mode)

    if len(parts) == 1:
        wait(parts[0])
        return
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(_AT_ONCE) as pool:
        list(pool.map(wait, parts))


def _take_away(parts: Sequence[_Part], made: Sequence[Path]) -> None:
    """Remove what is not in its place yet, and folders made for nothing."""
    for part in parts:
        with contextlib.suppress(OSError):
            part.file.close()
        with contextlib.suppress(OSError):
            os.unlink(part.name)
    for folder in reversed(made):
        with contextlib.suppress(OSError):
            folder.rmdir()


def _umask() -> int:
    """The mask of permissions for new files; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


@contextlib.contextmanager
def _plainly(path: Path, written: Sequence[Path] = (), of: Sequence[Path] = ()) -> Iterator[None]:
    """Turn what keeps a file from being written into words, with those of several that are ``written`` already."""
    try:
        yield
    except (OSError, ValueError, RuntimeError) as error:
        told = [f"{path} cannot be written: {_reason(error)}"]
        if written:
            told.append(f"new: {_names(written, of)}")
            told.append(f"as before: {_names([one for one in of if one not in written], of)}")
        told.append("to mend: name a folder that can be written to, or free this one")
        raise OutputError("\n    ".join(told), written) from None


def _names(paths: Sequence[Path], of: Sequence[Path]) -> str:
    """Files as they are called in the folder they all lie in."""
    folder = os.path.commonpath([one.parent for one in of])
    return ", ".join(os.path.relpath(path, folder) for path in paths)


def _reason(error: Exception) -> str:
    if isinstance(error, FileExistsError | NotADirectoryError):
        return "there is a file where its folder should be"
    return error.strerror or str(error) if isinstance(error, OSError) else str(error)
