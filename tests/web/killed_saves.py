"""Saves a trip file over and over in processes that kill themselves in the middle, at moments drawn from a seed.

Run alone: ``python killed_saves.py FOLDER SEED KILLS``. Says one line of JSON for each kill: what was being done, how many
saves were done before, and the text that the file then has. Each moment is a call into the system: opening, writing
through, renaming, taking away.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
from pathlib import Path

from handline.web.folder import TripFolder
from handline.web.saving import save, version_of

SAVES_EACH = 10
"""How far a process gets at most."""
MOMENTS_OF_A_SAVE = 30
_EVENTS = ("open", "os.rename", "os.remove", "os.chmod", "tempfile.mkstemp", "fcntl.flock")


def text_of(number: int) -> str:
    """A text of its own for each save, long enough to be written in parts."""
    return f"[trip]\nname = 'save {number}'\n" + f"# {number}\n" * 3000


def saves_until_killed(folder: Path, first: int, moment: int) -> None:
    """Save one text after the other; die at a moment, counted over all calls into the system."""
    left = moment

    def count(event: str, _: object) -> None:
        nonlocal left
        if event in _EVENTS:
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)

    trip = TripFolder(folder).trips()[0]
    real_fsync = os.fsync

    def counted_fsync(descriptor: int) -> None:
        count("open", None)
        real_fsync(descriptor)
        count("open", None)

    os.fsync = counted_fsync
    sys.addaudithook(count)
    for i in range(SAVES_EACH):
        save(folder, trip, text_of(first + i), version_of(trip.path.read_text()))


def main(folder: Path, seed: int, kills: int) -> None:
    draw = random.Random(seed)
    path = folder / "trip.toml"
    path.write_text(text_of(0))
    for i in range(kills):
        child = os.fork()
        if child == 0:
            saves_until_killed(folder, 1 + SAVES_EACH * i, draw.randrange(1, SAVES_EACH * MOMENTS_OF_A_SAVE))
            os._exit(0)
        draw.random()
        _, status = os.waitpid(child, 0)
        killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
        print(json.dumps({"killed": killed, "first": 1 + SAVES_EACH * i, "text": path.read_text()}), flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
