"""On which line of a TOML text each key and each list item stands.

The standard reader keeps no lines. This one keeps nothing else: it walks a text that the standard reader has
already accepted, so it need not judge it.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from collections import Counter

Place = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}(?!")'  # multi-line basic: may end in up to two quotes of its own
    r"|'''.*?'{3,5}(?!')"
    r'|"(?:\\.|[^"\\])*"'
    r"|'[^']*'",
    re.DOTALL,
)
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^,\]}#\n]+")


def key_lines(text: str) -> dict[Place, int]:
    """The line, from 1, of each key and list item; a place is the way to it, ("line", "sections", 2, "angle")."""
    walk = _Walk(text)
    walk.document()
    return walk.lines


def nearest_line(lines: dict[Place, int], place: Place) -> int | None:
    """The line of a place or, where it is not in the text, of the nearest thing around it."""
    for length in range(len(place), 0, -1):
        if place[:length] in lines:
            return lines[place[:length]]
    return None


class _Walk:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Place, int] = {}
        self._ends = [match.start() for match in re.finditer("\n", text)]
        self._tables_in: Counter[Place] = Counter()

    def document(self) -> None:
        section: Place = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            section = self._header() if self.text[self.at] == "[" else self._key_value(section)
            self._skip(_BLANK)

    def _header(self) -> Place:
        array = self.text.startswith("[[", self.at)
        line = self._line()
        self.at += 2 if array else 1
        *around, last = self._key()
        self.at = self.text.index("]", self.at) + (2 if array else 1)
        place: Place = ()
        for part in around:
            place = self._inside((*place, part))
            self.lines.setdefault(place, line)
        place = (*place, last)
        self.lines.setdefault(place, line)
        if array:
            self._tables_in[place] += 1
            place = self._inside(place)
            self.lines[place] = line
        return place

    def _inside(self, place: Place) -> Place:
        """The last table of an array of tables, or the place itself."""
        return (*place, self._tables_in[place] - 1) if place in self._tables_in else place

    def _key_value(self, around: Place) -> Place:
        line = self._line()
        place = around
        for part in self._key():
            place = (*place, part)
            self.lines.setdefault(place, line)
        self._skip(_SPACE)
        self.at += 1  # "="
        self._skip(_SPACE)
        self._value(place)
        return around

    def _key(self) -> list[str]:
        parts = []
        while True:
            self._skip(_SPACE)
            if string := _STRING.match(self.text, self.at):
                self.at = string.end()
                parts.append(tomllib.loads(f"key = {string[0]}")["key"])
            else:
                start = self.at
                self._skip(_BARE_KEY)
                parts.append(self.text[start : self.at])
            self._skip(_SPACE)
            if self.text[self.at] != ".":
                return parts
            self.at += 1

    def _value(self, place: Place) -> None:
        if self.text[self.at] == "[":
            self._items(place, "]")
        elif self.text[self.at] == "{":
            self._items(place, "}")
        elif string := _STRING.match(self.text, self.at):
            self.at = string.end()
        else:
            self._skip(_SCALAR)

    def _items(self, place: Place, end: str) -> None:
        """The items of a list, or the keys of an inline table."""
        self.at += 1
        index = 0
        self._skip(_BLANK)
        while self.text[self.at] != end:
            if end == "}":
                self._key_value(place)
            else:
                self.lines[(*place, index)] = self._line()
                self._value((*place, index))
            index += 1
            self._skip(_BLANK)
            if self.text[self.at] == ",":
                self.at += 1
                self._skip(_BLANK)
        self.at += 1

    def _skip(self, pattern: re.Pattern[str]) -> None:
        if found := pattern.match(self.text, self.at):
            self.at = found.end()

    def _line(self) -> int:
        return bisect_left(self._ends, self.at) + 1
