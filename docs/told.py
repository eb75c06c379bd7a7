"""The commands that the pages show, found in their fenced blocks; and what they say, put below them.

In a block of plain commands each line that begins with ``handline`` or ``make`` is one. In a console block a command
stands after ``$ `` and what it said below it; ``<!-- from "..." until "..." -->`` above such a block says which part of
that is shown. ``python docs/told.py`` fills such blocks anew.
"""

from __future__ import annotations

import re
import shlex
import shutil
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import chdir
from dataclasses import dataclass
from pathlib import Path

DOCS = Path(__file__).parent
ROOT = DOCS.parent
EXAMPLE = ROOT / "examples" / "tamsin-dome"
_FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_CUT = re.compile(r'<!-- from "([^"]+)" until "([^"]+)" -->\n\Z')


@dataclass(frozen=True)
class Command:
    """A command as a page shows it, without its comment."""

    page: str
    text: str

    @property
    def words(self) -> list[str]:
        return shlex.split(self.text)


@dataclass(frozen=True)
class Told:
    """A block with a command and what it said: where it stands in the page, and which part is shown."""

    command: Command
    start: int
    end: int
    shown: str
    cut: tuple[str, str] | None


def pages() -> list[Path]:
    """README, and every page of docs."""
    return [ROOT / "README.md", *sorted(DOCS.glob("*.md"))]


def commands(page: Path) -> list[Command]:
    """Every command in the fenced blocks of a page, in their order."""
    found = []
    for block in _FENCE.finditer(page.read_text(encoding="utf-8")):
        for line in block[2].splitlines():
            text = line.removeprefix("$ ") if block[1] == "console" else line
            if block[1] == "console" and not line.startswith("$ "):
                continue
            text = re.split(r"\s+#\s", text)[0].strip()
            if text.split(" ")[0] in ("handline", "make"):
                found.append(Command(page.name, text))
    return found


def told_blocks(page: Path) -> Iterator[Told]:
    """The blocks of a page that show what a command says."""
    text = page.read_text(encoding="utf-8")
    for block in _FENCE.finditer(text):
        if block[1] == "console":
            first, _, shown = block[2].partition("\n")
            cut = _CUT.search(text[: block.start()])
            yield Told(
                Command(page.name, first.removeprefix("$ ").strip()),
                block.start(2) + len(first) + 1,
                block.end(2),
                shown,
                (cut[1], cut[2]) if cut else None,
            )


def run(words: Sequence[str], folder: Path) -> tuple[int, str]:
    """Run a handline command in a folder: its exit code and all that it says."""
    from click.testing import CliRunner

    from handline.cli import main

    with chdir(folder):
        result = CliRunner(env={"COLUMNS": "80"}).invoke(main, list(words[1:]))
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code, "\n".join(line.rstrip() for line in result.output.splitlines()) + "\n"


def part_shown(output: str, cut: tuple[str, str] | None) -> str:
    """The lines from the first that begins with one text to before the next that begins with the other.

    Raises
    ------
    ValueError
        No line begins with the one, or none after it with the other.
    """
    if cut is None:
        return output
    lines = output.splitlines(keepends=True)
    starts = [i for i, line in enumerate(lines) if line.startswith(cut[0])]
    ends = [i for i, line in enumerate(lines) if line.startswith(cut[1]) and starts and i > starts[0]]
    if not ends:
        raise ValueError(f"what is shown from {cut[0]!r} until {cut[1]!r} is no longer said:\n{output}")
    return "".join(lines[starts[0] : ends[0]]).rstrip("\n") + "\n"


def filled(page: Path, folder: Path) -> str:
    """The text of a page with every told block as its command says it now, all run in one folder in their order."""
    text, shift = page.read_text(encoding="utf-8"), 0
    for told in told_blocks(page):
        code, output = run(told.command.words, folder)
        if code not in (0, 1):
            raise ValueError(f"{told.command.text} leaves with {code}:\n{output}")
        now = part_shown(output, told.cut)
        text = text[: told.start + shift] + now + text[told.end + shift :]
        shift += len(now) - (told.end - told.start)
    return text


def main() -> int:
    """Fill the blocks of every page that has some."""
    for page in pages():
        if any(told_blocks(page)):
            with tempfile.TemporaryDirectory() as name:
                folder = Path(shutil.copytree(EXAMPLE, Path(name) / "tamsin-dome"))
                page.write_text(filled(page, folder), encoding="utf-8")
            print(f"filled: {page.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
