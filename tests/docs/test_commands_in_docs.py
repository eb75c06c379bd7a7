"""What the pages tell to type works, and says what the pages say it says."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

from docs.told import EXAMPLE, ROOT, commands, filled, pages, part_shown, run, told_blocks
from tests.docs.quick_trip import quick_folder, quick_text

TOLD = [page for page in pages() if any(told_blocks(page))]
ELSEWHERE = ("--download", "--dask", "--host")
"""Options that reach beyond this machine: what has one is only read, not run."""


def _plain() -> list[str]:
    """Every command once, but those whose answers are shown, which are run by themselves."""
    shown = {told.command for page in TOLD for told in told_blocks(page)}
    found = [one for page in pages() for one in commands(page) if one not in shown]
    return list(dict.fromkeys(one.text for one in found))


HANDLINE = [text for text in _plain() if text.startswith("handline ") and " serve" not in text]
SERVE = [text for text in _plain() if text.startswith("handline serve")]
MAKE = sorted({text.split()[1] for text in _plain() if text.startswith("make ")})


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return quick_folder(tmp_path_factory.mktemp("pages") / "trip")


def test_there_are_commands_to_try() -> None:
    assert len(HANDLINE) > 12
    assert len(SERVE) >= 2
    assert {"demo", "test"} <= set(MAKE)
    assert [page.name for page in TOLD] == ["tutorial.md"]


@pytest.mark.parametrize("text", HANDLINE)
def test_a_command_does_what_a_page_says(text: str, folder: Path) -> None:
    words = text.split('"')  # only to see whether quotes are closed
    assert len(words) % 2 == 1
    if any(option in text for option in ELSEWHERE):
        _read_only(text)
        return
    trip = folder / "trip.toml"
    if text.startswith("handline new"):
        trip.unlink()
    code, output = run(_words(text), folder)
    trip.write_text(quick_text(), encoding="utf-8")
    assert code in (0, 1), output
    assert output.strip()


@pytest.mark.parametrize("text", [text for text in SERVE if not any(option in text for option in ELSEWHERE)])
def test_the_planning_table_opens_and_closes(text: str, folder: Path) -> None:
    (folder / "FOLDER").mkdir(exist_ok=True)
    command = [sys.executable, "-m", *_words(text), "--no-browser", "--json"]
    with subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            address = json.loads(server.stdout.readline())["address"]
            with urllib.request.urlopen(address, timeout=20) as answer:
                assert b"Trips" in answer.read()
        finally:
            server.send_signal(signal.SIGINT)
    assert server.returncode == 0


@pytest.mark.parametrize("text", [text for text in SERVE if any(option in text for option in ELSEWHERE)])
def test_an_open_planning_table_is_asked_for_rightly(text: str) -> None:
    _read_only(text)


@pytest.mark.parametrize("target", MAKE)
def test_make_knows_its_targets(target: str) -> None:
    assert re.search(rf"^{re.escape(target)}:", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE)


@pytest.mark.parametrize("page", TOLD, ids=lambda page: page.name)
def test_answers_shown_are_those_of_today(page: Path, tmp_path: Path) -> None:
    """Where this fails, a number or a sentence moved: run `make docs`, and read the page again."""
    folder = tmp_path / "tamsin-dome"
    quick_folder(folder)
    (folder / "trip.toml").write_bytes((EXAMPLE / "trip.toml").read_bytes())
    assert filled(page, folder) == page.read_text(encoding="utf-8")


def test_a_part_that_is_no_longer_said_is_told() -> None:
    assert part_shown("a\nb\n\nc\n", ("a", "c")) == "a\nb\n"
    with pytest.raises(ValueError, match="no longer said"):
        part_shown("a\nb\n", ("a", "c"))


def _words(text: str) -> list[str]:
    import shlex

    return shlex.split(text)


def _read_only(text: str) -> None:
    """Read a command as click does, without running it."""
    from handline.cli import main

    words = _words(text)
    outer = main.make_context("handline", words[1:])
    command = main.get_command(outer, words[1])
    assert command is not None
    command.make_context(words[1], words[2:], parent=outer)
