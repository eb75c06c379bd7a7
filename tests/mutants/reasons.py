"""Why some numbers are not changed, and why some changes turn no test red: read from reasons.toml."""

from __future__ import annotations

import fnmatch
import tomllib
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.literals import Literal


@dataclass(frozen=True)
class Reason:
    """Why, for the numbers whose key or ``file:name`` fits one of the patterns."""

    numbers: tuple[str, ...]
    why: str

    def fits(self, literal: Literal) -> bool:
        """Whether it speaks of that number."""
        names = (literal.key.replace("[", "#").rstrip("]"), f"{literal.file}:{literal.name}", literal.file)
        return any(fnmatch.fnmatchcase(name, pattern) for name in names for pattern in self.numbers)


@dataclass(frozen=True)
class Reasons:
    """Numbers that are no coefficients, and coefficients whose change is not seen, each with its reason."""

    leave: tuple[Reason, ...]
    explain: tuple[Reason, ...]

    def left_out(self, literal: Literal) -> str:
        """Why it is not changed, or "" where it is."""
        return next((reason.why for reason in self.leave if reason.fits(literal)), "")

    def explained(self, literal: Literal) -> str:
        """Why its change turns no test red, or "" where nothing is known about that."""
        return next((reason.why for reason in self.explain if reason.fits(literal)), "")


def read_reasons() -> Reasons:
    """The two lists of reasons.toml; a key's place is written after a hash: ``line/arrest.py:plateau_stop#4``."""
    told = tomllib.loads(Path(__file__).with_name("reasons.toml").read_text(encoding="utf-8"))
    lists = (
        tuple(Reason(tuple(row["numbers"]), row["why"]) for row in told.get(part, ())) for part in ("leave", "explain")
    )
    return Reasons(*lists)
