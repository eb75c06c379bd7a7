"""A text changed as a slip of the hand, a bad copy or a broken program would: lines, numbers, units, words, letters."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping

from hypothesis import strategies as st

from tests.fuzz.nasty import DATES, LETTERS, NUMBERS, UNITS, WORDS

Mutation = tuple[str, int, int]
"""Its name, where in the text, and which of the nasty things."""

_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")
_UNIT = re.compile(r'(?<=\d )(?:km/h|m/min|[A-Za-z%]+)(?=")')
_QUOTED = re.compile(r'"[^"\n]*"')
_DATE = re.compile(r"\d{4}-\d\d-\d\d")


def _replaced(pattern: re.Pattern[str], by: tuple[str, ...], quoted: bool = False) -> Callable[[str, int, int], str]:
    def change(text: str, where: int, which: int) -> str:
        found = list(pattern.finditer(text))
        if not found:
            return text
        one, new = found[where % len(found)], by[which % len(by)]
        return text[: one.start()] + (f'"{new}"' if quoted else new) + text[one.end() :]

    return change


def _lines(change: Callable[[list[str], int, int], None]) -> Callable[[str, int, int], str]:
    def changed(text: str, where: int, which: int) -> str:
        lines = text.splitlines(keepends=True) or [""]
        change(lines, where % len(lines), which % len(lines))
        return "".join(lines)

    return changed


def _delete(lines: list[str], at: int, other: int) -> None:
    del lines[at]


def _delete_many(lines: list[str], at: int, other: int) -> None:
    del lines[min(at, other) : max(at, other)]


def _duplicate(lines: list[str], at: int, other: int) -> None:
    lines.insert(other, lines[at])


def _swap(lines: list[str], at: int, other: int) -> None:
    lines[at], lines[other] = lines[other], lines[at]


def _insert(text: str, where: int, which: int) -> str:
    at = where % (len(text) + 1)
    return text[:at] + LETTERS[which % len(LETTERS)] + text[at:]


def _overwrite(text: str, where: int, which: int) -> str:
    at = where % (len(text) + 1)
    return text[:at] + LETTERS[which % len(LETTERS)] + text[at + 1 :]


def _cut(text: str, where: int, which: int) -> str:
    return text[: where % (len(text) + 1)]


MUTATIONS: Mapping[str, Callable[[str, int, int], str]] = {
    "delete a line": _lines(_delete),
    "duplicate a line": _lines(_duplicate),
    "swap lines": _lines(_swap),
    "another number": _replaced(_NUMBER, NUMBERS),
    "another unit": _replaced(_UNIT, UNITS),
    "other words": _replaced(_QUOTED, WORDS, quoted=True),
    "a bare value": _replaced(_QUOTED, (*NUMBERS, "true", "[]", "{}", "x", "", "[[1]]", "''", "2027-07-17")),
    "another date": _replaced(_DATE, DATES),
    "a letter more": _insert,
    "another letter": _overwrite,
    "delete many lines": _lines(_delete_many),
    "cut off": _cut,
}

_WHERE = st.integers(0, 1_000_000)


def mutated(text: str, mutations: list[Mutation]) -> str:
    """A text with mutations made one after the other."""
    for name, where, which in mutations:
        text = MUTATIONS[name](text, where, which)
    return text


def lists_of_mutations(most: int = 4) -> st.SearchStrategy[list[Mutation]]:
    """One to four mutations; the gentle ones more often, for a text that still reads is looked at further."""
    gentle = ("another number", "another unit", "delete a line", "another date", "duplicate a line", "swap lines")
    names = st.sampled_from((*gentle, *gentle, *MUTATIONS))
    return st.lists(st.tuples(names, _WHERE, _WHERE), min_size=1, max_size=most)


def broken_bytes(content: bytes, seed: int, count: int) -> bytes:
    """The same with some bytes flipped, the same ones for the same seed."""
    drawn, changed = random.Random(seed), bytearray(content)
    for _ in range(count if changed else 0):
        changed[drawn.randrange(len(changed))] = drawn.randrange(256)
    return bytes(changed)
