"""The command line, asked in this process or in one of its own, and the trips it is asked about."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from click.testing import CliRunner

from handline.cli import main

EXAMPLES = Path(__file__).parents[2] / "examples"
TAMSIN = EXAMPLES / "tamsin-dome" / "trip.toml"
PETREL = EXAMPLES / "petrel-slab" / "trip.toml"


def run(*args: object) -> tuple[int, str]:
    """The exit code and all that is said; what nobody planned for is raised."""
    result = CliRunner().invoke(main, [str(arg) for arg in args])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, result.output


def assert_refused(told: tuple[int, str], says: Iterable[str], folder: Path) -> None:
    """What was told is a plain refusal that says these words, and nothing was written into the folder."""
    code, text = told
    assert code == 2, text
    for words in (*says, "Nothing was written."):
        assert words in text, f"{words!r} not in:\n{text}"
    assert "Traceback" not in text
    assert not folder.exists()


def run_in_a_process(hash_seed: str, *args: object) -> bytes:
    """What is told on stdout by a process of its own, in which hashes begin from a seed."""
    command = [sys.executable, "-m", "handline", *(str(arg) for arg in args)]
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed}
    return subprocess.run(command, capture_output=True, check=True, env=environment).stdout


def when_changed(folder: Path) -> dict[Path, int]:
    """When each file in a folder was changed last."""
    return {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
