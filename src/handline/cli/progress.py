"""A progress bar on stderr for work that takes over a second, on a terminal only."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

# Work that is done before this shows no bar at all.
QUIET_S = 0.5


@contextmanager
def progress() -> Iterator[Callable[[str, float], None]]:
    """A function to tell what is being worked on and how much of it is done; the bar is gone at the end."""
    if not sys.stderr.isatty():
        yield lambda what, share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    bar = Progress(
        TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(), console=Console(stderr=True), transient=True
    )
    started, task = time.monotonic(), bar.add_task("", total=1.0)

    def told(what: str, share: float) -> None:
        if not bar.live.is_started and time.monotonic() - started > QUIET_S:
            bar.start()
        bar.update(task, description=what, completed=share)

    try:
        yield told
    finally:
        bar.stop()
