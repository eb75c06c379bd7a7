"""The form of one trip as it is shown: each field with its text and what is wrong with it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from handline.errors import Problem
from handline.web.form_changes import REMOVE, Posted, is_list_of_tables, rows_posted
from handline.web.form_fields import Field, Fields, Part, Rows
from handline.web.form_groups import Group, groups
from handline.web.form_values import can_show, shown

_LONGEST_TOLD = 300


def anchor_of(key: str) -> str:
    """The id of a key on the page: "waypoints[1].stop" is "waypoints-1-stop"."""
    return re.sub(r"[\[\].]+", "-", key).strip("-")


@dataclass
class ShownPart:
    """What every part of the form has; ``words`` say where it is, for the list of problems."""

    key: str
    words: str
    problems: list[Problem] = field(default_factory=list)
    anchor: str = ""
    """Its id on the page where that is not made from its key: a section that is in two groups."""

    @property
    def id(self) -> str:
        return self.anchor or anchor_of(self.key)

    @property
    def wrong(self) -> bool:
        """Whether anything is wrong with it or inside it."""
        return bool(self.problems)


@dataclass
class ShownField(ShownPart):
    """A field. ``untouched`` is what the file has where the field has no way to show it."""

    spec: Field = field(kw_only=True)
    texts: tuple[str, ...] = ()
    untouched: str | None = None
    suggested: str | None = None
    """The id of the list of words that are offered."""

    @property
    def said(self) -> bool:
        """Whether anything stands in it."""
        return self.untouched is not None or any(self.texts)

    @property
    def extra(self) -> tuple[str, ...]:
        """Texts that are none of the choices, and must not be lost."""
        known = {str(choice) for choice in self.spec.choices} if self.spec.kind != "yes_no" else {"yes", "no"}
        return tuple(text for text in self.texts if text and text not in known)


@dataclass
class ShownFields(ShownPart):
    """A table: what is shown at once, and what is folded away because it is as usual."""

    label: str = ""
    help: str = ""
    inside: list[ShownPart] = field(default_factory=list)
    untouched: str | None = None
    open: bool = False

    @property
    def wrong(self) -> bool:
        return bool(self.problems) or any(part.wrong for part in self.inside)

    @property
    def said(self) -> bool:
        return self.untouched is not None or any(_is_said(part) for part in self.inside)

    @property
    def first(self) -> list[ShownPart]:
        return [part for part in self.inside if _comes_first(part)]

    @property
    def more(self) -> list[ShownPart]:
        return [part for part in self.inside if not _comes_first(part)]

    @property
    def more_words(self) -> str:
        return ", ".join(_label(part).lower() for part in self.more)


@dataclass
class ShownRows(ShownPart):
    """A list of tables."""

    rows: Rows = field(kw_only=True)
    shown: list[ShownRow] = field(default_factory=list)
    in_file: int = 0
    untouched: str | None = None

    @property
    def wrong(self) -> bool:
        return bool(self.problems) or any(row.wrong for row in self.shown)

    @property
    def another(self) -> str:
        """The button that adds one."""
        return f"Add {'an' if self.rows.one[:1] in 'aeiou' else 'a'} {self.rows.one}"


@dataclass
class ShownRow(ShownPart):
    """One table of a list."""

    title: str = ""
    name: str = ""
    removed: bool = False
    added: bool = False
    table: ShownFields = field(kw_only=True)

    @property
    def remove(self) -> str:
        return REMOVE + self.key

    @property
    def wrong(self) -> bool:
        return bool(self.problems) or self.table.wrong


@dataclass
class ShownForm:
    """The whole form; ``parts`` has every part by its key."""

    groups: list[tuple[Group, list[ShownFields | ShownRows]]]
    parts: dict[str, ShownPart]

    def place(self, problems: Sequence[Problem]) -> list[tuple[Problem, ShownPart | None]]:
        """Put problems beside what they are about; each is given back with its place, None where it has none."""
        placed = []
        for problem in problems:
            part = self.at(problem.key or "")
            if part is not None:
                part.problems.append(problem)
            placed.append((problem, part))
        return placed

    def at(self, key: str) -> ShownPart | None:
        """The part of a key, or the nearest part around it."""
        while key and key not in self.parts:
            key = key[: max(key.rfind("."), key.rfind("["), 0)]
        return self.parts.get(key)


def shown_form(typed: Mapping[str, Any], posted: Posted, add: str = "") -> ShownForm:
    """The form for what a file says, with what was typed over it; ``add`` is the list that gets an empty row."""
    maker = _Maker(posted, add)
    found: list[tuple[Group, list[ShownFields | ShownRows]]] = []
    for group in groups():
        inside: list[ShownFields | ShownRows] = []
        for key, part in group.parts:
            there = key in maker.parts
            made = maker.part(part, key, typed.get(key), "")
            made.anchor = f"{key}-{group.anchor}" if there else ""
            if isinstance(made, ShownFields | ShownRows):
                inside.append(made)
        found.append((group, inside))
    return ShownForm(found, maker.parts)


class _Maker:
    def __init__(self, posted: Posted, add: str) -> None:
        self._posted = posted
        self._sent = rows_posted(posted)
        self._add = add
        self.parts: dict[str, ShownPart] = {}

    def part(self, part: Part, key: str, value: Any, around: str) -> ShownPart:
        made: ShownPart
        if isinstance(part, Field):
            made = self._field(part, key, value, around)
        elif isinstance(part, Rows):
            made = self._rows(part, key, value, around)
        else:
            made = self._fields(part, key, value, around)
        self.parts.setdefault(key, made)
        return made

    def _field(self, spec: Field, key: str, value: Any, around: str) -> ShownField:
        words = _words(around, spec.label)
        if value is not None and not can_show(value, spec):
            return ShownField(key, words, spec=spec, untouched=_told(value))
        texts = tuple(self._posted[key]) if key in self._posted else shown(value, spec)
        return ShownField(key, words, spec=spec, texts=texts, suggested=suggestions_for(key))

    def _fields(self, spec: Fields, key: str, value: Any, around: str, words: str | None = None) -> ShownFields:
        words = words if words is not None else _words(around, spec.label)
        made = ShownFields(key, words, label=spec.label, help=spec.help)
        if value is not None and not isinstance(value, Mapping):
            made.untouched = _told(value)
            return made
        said = value or {}
        made.inside = [self.part(one, f"{key}.{one.name}", said.get(one.name), words) for one in spec.inside]
        return made

    def _rows(self, spec: Rows, key: str, value: Any, around: str) -> ShownRows:
        made = ShownRows(key, _words(around, spec.label), rows=spec)
        if value is not None and not is_list_of_tables(value):
            made.untouched = _told(value)
            return made
        made.in_file = len(value or [])
        numbers = sorted({*range(made.in_file), *self._sent.get(key, ())})
        new = max(numbers, default=-1) + 1 if key == self._add else None
        for i in [*numbers, *([] if new is None else [new])]:
            said = value[i] if i < made.in_file else {}
            made.shown.append(self._row(spec, f"{key}[{i}]", i, said, added=i == new))
        return made

    def _row(self, spec: Rows, key: str, number: int, said: Mapping[str, Any], *, added: bool) -> ShownRow:
        title = f"{spec.one[:1].upper()}{spec.one[1:]} {number + 1}"
        table = self._fields(spec.row, key, said, "", words=title)
        table.open = added
        first = next((part for part in table.inside if isinstance(part, ShownField)), None)
        name = first.texts[0] if first is not None and first.texts else ""
        row = ShownRow(
            key, title, title=title, name=name, removed=REMOVE + key in self._posted, added=added, table=table
        )
        self.parts[key] = row
        return row


def suggestions_for(key: str) -> str | None:
    """The id of the list of words that a field offers; its number does not matter."""
    from handline.web.form_words import offered_at

    return offered_at(re.sub(r"\[\d+\]", "", key))


def every_field(parts: Sequence[ShownPart]) -> Iterator[ShownField]:
    """The fields among parts and inside them."""
    for part in parts:
        if isinstance(part, ShownField):
            yield part
        elif isinstance(part, ShownFields):
            yield from every_field(part.inside)
        elif isinstance(part, ShownRows):
            yield from every_field([row.table for row in part.shown])


def _comes_first(part: ShownPart) -> bool:
    """Whether it is seen at once: it is needed, said in the file, a list that trips usually have, or wrong."""
    if isinstance(part, ShownField):
        return part.spec.needed or part.said or part.wrong
    if isinstance(part, ShownRows):
        return part.rows.headed or bool(part.shown) or part.wrong or part.untouched is not None
    return _is_said(part) or part.wrong


def _is_said(part: ShownPart) -> bool:
    if isinstance(part, ShownRows):
        return bool(part.shown) or part.untouched is not None
    return isinstance(part, ShownField | ShownFields) and part.said


def _label(part: ShownPart) -> str:
    if isinstance(part, ShownField):
        return part.spec.label
    return part.rows.label if isinstance(part, ShownRows) else getattr(part, "label", "")


def _words(around: str, label: str) -> str:
    return f"{around}, {label.lower()}" if around else label


def _told(value: object) -> str:
    """What the file has, in short, for people."""
    text = json.dumps(value, default=str, ensure_ascii=False)
    return text if len(text) <= _LONGEST_TOLD else f"{text[:_LONGEST_TOLD]} ..."
