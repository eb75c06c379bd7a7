"""Saves a trip file over and over in processes that kill themselves in the middle, at moments drawn from a seed.

Run alone: ``python killed_saves.py FOLDER SEED KILLS``. After each kill it says, as one line of JSON, whether the
process was killed, before or after which call, how many saves it had done, and the text that the file then has.
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

MOST_SAVES = 60
"""How far a process may get; none should."""
LATEST_MOMENT = 1000
"""A save is some fifty moments, so it is ten saves to a kill."""
_CALLS = {"open", "write", "flush", "fsync", "close", "replace", "unlink", "chmod", "mkdir", "flock", "__exit__"}
"""Before and after each of these is a moment."""


def text_of(number: int) -> str:
    """A text of its own for each save, long enough to be written in parts."""
    return f"[trip]\nname = 'save {number}'\n" + f"# {number}\n" * 3000


def save_until_killed(folder: Path, first: int, moment: int, done: int) -> None:
    """Save one text after the other; die at a moment. ``done`` is where a mark goes for each save that is done."""
    moments = 0

    def count(_: object, event: str, called: object) -> None:
        nonlocal moments
        name = getattr(called, "__name__", "")
        if event in ("c_call", "c_return") and name in _CALLS:
            moments += 1
            if moments == moment:
                os.write(done, f" {event} {name}".encode())
                os.kill(os.getpid(), signal.SIGKILL)

    trip = TripFolder(folder).trips()[0]
    for i in range(MOST_SAVES):
        version = version_of(trip.path.read_text())
        sys.setprofile(count)
        save(folder, trip, text_of(first + i), version)
        sys.setprofile(None)
        os.write(done, b".")


def main(folder: Path, seed: int, kills: int) -> None:
    draw = random.Random(seed)
    path = folder / "trip.toml"
    path.write_text(text_of(0))
    for i in range(kills):
        moment, first = draw.randrange(1, LATEST_MOMENT), 1 + MOST_SAVES * i
        reads, writes = os.pipe()
        child = os.fork()
        if child == 0:
            save_until_killed(folder, first, moment, writes)
            os._exit(0)
        os.close(writes)
        with os.fdopen(reads) as told:
            done, _, call = told.read().partition(" ")
        _, status = os.waitpid(child, 0)
        killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
        said = {"killed": killed, "call": call, "first": first, "done": len(done), "text": path.read_text()}
        print(json.dumps(said), flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
