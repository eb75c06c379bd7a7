"""A first run, with nothing compiled and nothing kept, says on a terminal what it is at, and never long nothing."""

from __future__ import annotations

import os
import pty
import re
import select
import sys
import time
from pathlib import Path

import pytest

TAMSIN = Path(__file__).parents[2] / "examples" / "tamsin-dome" / "trip.toml"
# By the clock of a machine that others use too, where 11 s were seen; alone it is a tenth of a second.
LONGEST_SILENCE_S = 20.0


def _on_a_terminal(command: list[str], environment: dict[str, str]) -> tuple[str, float]:
    """What a command writes on a terminal, and for how long at most it writes nothing while it works [s]."""
    process, terminal = pty.fork()
    if process == 0:
        os.execvpe(command[0], command, environment)
    said, last_s, silence_s = b"", time.monotonic(), 0.0
    try:
        while True:
            ready, _, _ = select.select([terminal], [], [], 120.0)
            assert ready, "it says nothing for two minutes"
            try:
                read = os.read(terminal, 65536)
            except OSError:  # how Linux says that the other end is closed
                break
            if not read:
                break
            silence_s = max(silence_s, time.monotonic() - last_s)
            last_s = time.monotonic()
            said += read
    finally:
        os.close(terminal)
        os.waitpid(process, 0)
    return re.sub(rb"\x1b\[[0-9;?]*[A-Za-z]", b"", said).decode("utf-8", "replace"), silence_s


@pytest.mark.parametrize(
    ("command", "at"),
    [
        (("crowd", str(TAMSIN), "--days", "20"), ("Waiting at the line",)),
    ],
)
def test_the_first_run_shows_what_it_is_at(command: tuple[str, ...], at: tuple[str, ...], tmp_path: Path) -> None:
    compiled = tmp_path / "compiled"
    environment = {**os.environ, "NUMBA_CACHE_DIR": str(compiled), "HANDLINE_CACHE": str(tmp_path / "kept")}
    environment |= {"TERM": "xterm", "COLUMNS": "100"}
    said, silence_s = _on_a_terminal([sys.executable, "-m", "handline", *command], environment)
    assert list(compiled.rglob("*.nbc")), "nothing was compiled: this was no first run"
    for words in at:
        assert words in said
    # The clock beside the bar goes on while something is compiled.
    assert len(set(re.findall(r"\d:\d\d:\d\d", said))) > 1
    assert silence_s < LONGEST_SILENCE_S
