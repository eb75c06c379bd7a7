"""What the line needs of the day, kept on disk: the rock it is judged by, and the packs at its foot.

It is kept for the very bytes of the trip file and of every file it names, this very program, and what was asked in
place of what the file says: the same always has the same day. A folder that cannot be written, or a file that cannot be
read, is no error: the day is looked at again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from handline.cache_folder import cache_folder, program_stamp
from handline.errors import OutputError
from handline.line.friction import ROCKS
from handline.whole_file import write_whole


@dataclass(frozen=True)
class DayOnLine:
    """The state of the rock, and what each carries at the foot [kg]; no packs where they are as typed."""

    rock: str
    pack_kg: tuple[float, ...]

    def __post_init__(self) -> None:
        if self.rock not in ROCKS or not all(pack_kg >= 0.0 for pack_kg in self.pack_kg):
            raise ValueError("no such rock, or a pack below 0")


def kept_day(inputs_sha256: str, asked: str, look: Callable[[], DayOnLine]) -> DayOnLine:
    """The day as the line needs it, as kept, or as ``look`` finds it now and then kept."""
    made_of = f"{program_stamp()} {inputs_sha256} {asked}".encode()
    file = cache_folder() / "days" / f"{hashlib.sha256(made_of).hexdigest()}.json"
    with suppress(OSError, ValueError, KeyError, TypeError):
        kept = json.loads(file.read_text(encoding="utf-8"))
        return DayOnLine(kept["rock"], tuple(float(pack_kg) for pack_kg in kept["pack_kg"]))
    day = look()
    with suppress(OutputError):
        write_whole(file, json.dumps({"rock": day.rock, "pack_kg": day.pack_kg}))
    return day
