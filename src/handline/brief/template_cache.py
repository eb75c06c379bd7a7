"""Compiled templates kept beside the script bundle: compiling one takes longer than filling it.

What is kept is used only for the very text it was compiled from. A folder that cannot be written is no error.
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from handline.cache_folder import cache_folder

if TYPE_CHECKING:
    from jinja2 import BytecodeCache


def template_cache() -> BytecodeCache | None:
    """Where templates are kept compiled; None where no folder can be made."""
    from jinja2 import FileSystemBytecodeCache
    from jinja2.bccache import Bucket

    class Kept(FileSystemBytecodeCache):
        def dump_bytecode(self, bucket: Bucket) -> None:
            with suppress(OSError):
                super().dump_bytecode(bucket)

    folder = cache_folder() / "templates"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return Kept(str(folder))
