"""Every error a user can meet, in one tree.

    HandlineError
    |-- InputError            what was given cannot be used; carries every Problem found, not just the first
    |   |-- TripError         the trip file
    |   |-- TrackError        a GPX or GeoJSON track
    |   `-- TerrainError      a terrain model (DEM)
    `-- OutputError           what was made could not be written

The command line prints these without a traceback and leaves with exit code 2.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path


@dataclass(frozen=True)
class Problem:
    """One thing wrong with one place of one file, and how to mend it.

    ``what`` says what is wrong, ``read`` is the value as it was read, ``allowed`` says what may stand there,
    ``mend`` says what to do. ``file``, ``key`` and ``line`` say where, as far as it is known.
    """

    what: str
    read: str | None = None
    allowed: str | None = None
    mend: str | None = None
    file: str | None = None
    key: str | None = None
    line: int | None = None

    def at(self, *, file: str | Path | None = None, key: str | None = None, line: int | None = None) -> Problem:
        """The same problem with the parts of its place that were not known yet."""
        return replace(
            self,
            file=self.file or (str(file) if file is not None else None),
            key=self.key or key,
            line=self.line or line,
        )

    def __str__(self) -> str:
        place = self.file or ""
        if self.line is not None:
            place += f":{self.line}" if place else f"line {self.line}"
        if self.key:
            place += f" [{self.key}]" if place else f"[{self.key}]"
        text = f"{place}: {self.what}" if place else self.what
        for label, value in (("read", self.read), ("allowed", self.allowed), ("to mend", self.mend)):
            if value:
                text += f"\n    {label}: {value}"
        return _shown(text)


def _shown(text: str) -> str:
    """Letters that no screen shows, or that would steer it, written out: what stands in a file is nobody's order."""
    if text.replace("\n", "").isprintable():
        return text
    return "".join(letter if letter.isprintable() or letter == "\n" else ascii(letter)[1:-1] for letter in text)


class HandlineError(Exception):
    """The root: something a user can mend."""


class InputError(HandlineError):
    """What was given cannot be used. ``problems`` holds all of them."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    def __reduce__(self) -> tuple[type[InputError], tuple[tuple[Problem, ...]]]:
        """As it travels from a worker process: by its problems, not by its text."""
        return type(self), (self.problems,)


class TripError(InputError):
    """The trip file cannot be used."""


class TrackError(InputError):
    """A recorded track cannot be used."""


class TerrainError(InputError):
    """A terrain model cannot be used."""


class OutputError(HandlineError):
    """What was made could not be written; ``written`` are those of several files that were all the same."""

    def __init__(self, text: str, written: Iterable[Path] = ()) -> None:
        self.written = tuple(written)
        super().__init__(text)


def near_miss(word: str, choices: Sequence[str]) -> str | None:
    """The choice somebody who typed ``word`` probably meant, or None."""
    lowered = {choice.lower(): choice for choice in choices}
    found = difflib.get_close_matches(word.lower(), list(lowered), n=1, cutoff=0.6)
    return lowered[found[0]] if found else None


def near_file(path: Path) -> str | None:
    """What to ask about a file that is not there: whether the one beside it with nearly that name was meant."""
    try:
        names = [entry.name for entry in path.parent.iterdir() if entry.is_file()]
    except (OSError, ValueError):
        return None
    guess = near_miss(path.name, names)
    return f'did you mean "{guess}"?' if guess else None


def unknown_choice(what: str, word: str, choices: Sequence[str]) -> Problem:
    """The Problem for a word that is not one of the choices, with the near miss where there is one."""
    guess = near_miss(word, choices)
    return Problem(
        what=f"unknown {what}",
        read=word,
        allowed=", ".join(choices),
        mend=f'did you mean "{guess}"?' if guess else "use one of those",
    )
