"""The rock of a day, kept on disk for commands that need nothing else of the day.

It is kept for the very bytes of the trip file and of every file it names, this very program, and what was asked in
place of what the file says: the same always has the same rock. A folder that cannot be written, or a file that cannot
be read, is no error: the day is looked at again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from contextlib import suppress

from handline.cache_folder import cache_folder, program_stamp
from handline.errors import OutputError
from handline.line.friction import ROCKS, Rock
from handline.whole_file import write_whole


def kept_rock(inputs_sha256: str, asked: str, look: Callable[[], Rock]) -> Rock:
    """The rock the line is judged by, as kept, or as ``look`` finds it now and then kept."""
    made_of = f"{program_stamp()} {inputs_sha256} {asked}".encode()
    file = cache_folder() / "rock" / hashlib.sha256(made_of).hexdigest()
    with suppress(OSError, ValueError, KeyError):
        return ROCKS[file.read_text(encoding="utf-8")]
    rock = look()
    with suppress(OutputError):
        write_whole(file, rock.name)
    return rock
