"""Writing a file whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from handline.errors import OutputError


def write_whole(path: Path, text: str) -> None:
    """Write a text file so that either the old content or the whole new one is there, whatever happens.

    A missing folder is made. Permissions of a file that was there are kept; a link stays a link.

    Raises
    ------
    OutputError
        It could not be written; the old file is as it was.
    """
    try:
        target = path.resolve()
        target.parent.mkdir(parents=True, exist_ok=True)
        mode = target.stat().st_mode & 0o7777 if target.exists() else 0o666 & ~_umask()
        descriptor, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    except (OSError, ValueError, RuntimeError) as error:
        raise OutputError(_cannot(path, error)) from None
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException as error:
        with contextlib.suppress(OSError):
            os.unlink(name)
        if isinstance(error, OSError | ValueError):
            raise OutputError(_cannot(path, error)) from None
        raise


def _umask() -> int:
    """The mask of permissions for new files; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _cannot(path: Path, error: Exception) -> str:
    mend = "name a folder that can be written to, or free this one"
    return f"{path} cannot be written: {_reason(error)}\n    to mend: {mend}"


def _reason(error: Exception) -> str:
    return error.strerror or str(error) if isinstance(error, OSError) else str(error)
