"""The page of formulas: every function with a source, as its docstring has it, read from the code as text."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path

ROOT = Path(__file__).parents[1]
CODE = ROOT / "src" / "handline"
ROOMS: Mapping[str, str] = {
    "route": "The way",
    "walking": "Walking, effort, water, food, packs",
    "sky": "Light",
    "weather": "Weather, storms, rock",
    "line": "The line",
    "crowd": "The crowd on the line",
    "season": "Dates and permits",
    "day": "The day",
    "choose": "Dates and ways side by side",
    "brief": "What is carried",
}
"""The rooms of the house in which formulas live, in the order of a trip."""
_PARTS = ("Parameters", "Returns", "Raises", "Validity", "Notes", "Sources", "Example")


@dataclass(frozen=True)
class Formula:
    """One function: what it is with its equation, where it ends, and the keys of its sources."""

    room: str
    file: str
    name: str
    what: str
    equation: str
    validity: str
    keys: tuple[str, ...]
    rests_on: str
    """What the docstring says of sources, where it names no key."""


def formulas() -> Iterator[Formula]:
    """Every function of the code whose docstring names a source, room by room."""
    known = _known_keys()
    for room in ROOMS:
        for path in sorted((CODE / room).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    told = parts_of(ast.get_docstring(node) or "")
                    if "Sources" in told:
                        yield _formula(room, path, node.name, told, known)


def parts_of(docstring: str) -> dict[str, str]:
    """A docstring by its parts: "what", "equation" (the rest of its beginning), "Validity", "Sources" and so on."""
    parts: dict[str, list[str]] = {"what": []}
    at = "what"
    lines = docstring.splitlines()
    for line, below in zip_longest(lines, lines[1:], fillvalue=""):
        if line in _PARTS and set(below) == {"-"}:
            at = line
            parts.setdefault(at, [])
        elif set(line) != {"-"}:
            parts[at].append(line)
    whole = {name: "\n".join(text).strip() for name, text in parts.items()}
    for name in list(whole):
        whole.update(_inline(whole, name))
    what, _, equation = whole["what"].partition("\n\n")
    return {**whole, "what": _joined(what), "equation": equation}


def _inline(whole: Mapping[str, str], name: str) -> dict[str, str]:
    """Parts that stand in a line of another part: "Validity: 0 to 1. Sources: wexler_1950."."""
    found = re.split(r"(?:^|(?<=[.;)\]`] )|(?<=\n))(Equations?|Validity|Sources|Notes|Raises): ", whole[name])
    if len(found) == 1:
        return {}
    parts = {name: found[0].strip()}
    for label, text in zip(found[1::2], found[2::2], strict=True):
        if label.startswith("Equation"):
            parts[name] = f"{parts[name]}\n\n{text.strip()}"
        else:
            parts[label] = text.strip()
    return parts


def _formula(room: str, path: Path, name: str, told: Mapping[str, str], known: frozenset[str]) -> Formula:
    keys = tuple(dict.fromkeys(key for key in re.findall(r"\b[a-z0-9_]+\b", told["Sources"]) if key in known))
    like = re.search(r"Parameters\b([^.`]*)as (`+\w+`+)", told["equation"])
    equation = re.sub(r"(?:^|(?<=\n))Parameters\b[^.]*(?:\.|$)", "", told["equation"])
    validity = told.get("Validity", "")
    if not validity and like is not None and "Validity" in like[1]:
        validity = f"as {like[2]}."
    return Formula(
        room,
        path.relative_to(CODE).as_posix(),
        name,
        told["what"],
        equation,
        _joined(validity),
        keys,
        _joined(told["Sources"]),
    )


def _joined(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def _known_keys() -> frozenset[str]:
    from handline.sources import sources

    return frozenset(sources())


def formulas_page() -> str:
    """Every formula with its equation, its limits and its sources, with how far each was seen."""
    from handline.sources import SEEN, source

    found = list(formulas())
    parts = [
        "# Formulas\n",
        f"Every function of the code that rests on a source, {len(found)} of them, in the words that stand beside it "
        "in the code. [Methods](methods.md) tells how they work together, [names and units](nomenclature.md) how to "
        "read their names, [sources](sources.md) what each key stands for. Lengths are in m, times in s, forces in N, "
        "masses in kg and angles in rad unless a name says otherwise.\n",
    ]
    for room, title in ROOMS.items():
        here = [formula for formula in found if formula.room == room]
        if not here:
            continue
        parts.append(f"## {title}\n")
        for formula in here:
            parts.append(f"**`{formula.name}`** ({formula.file}). {_marked(formula.what)}\n")
            parts += [_paragraph(text) for text in re.split(r"\n\s*\n", formula.equation) if text.strip(" :")]
            if formula.validity:
                parts.append(f"Where it ends: {_marked(formula.validity)}\n")
            told = "; ".join(f"{key} ({SEEN[source(key).seen] if key != 'typed' else 'typed'})" for key in formula.keys)
            parts.append(f"Rests on: {told or _marked(formula.rests_on.rstrip('.'))}.\n")
    return "\n".join(parts)


def _paragraph(text: str) -> str:
    """A paragraph of a docstring: quoted, and as it stands where it is drawn in letters."""
    lines = text.strip("\n").splitlines()
    if all(line.startswith("    ") for line in lines):
        return "```\n" + "\n".join(line.removeprefix("    ") for line in lines) + "\n```\n"
    return f"> {_marked(_joined(text.removesuffix('::')))}\n"


def _marked(text: str) -> str:
    """Text with what Markdown would take for markup taken as it stands."""
    text = text.replace("``", "`")
    outside = re.split(r"(`[^`]*`)", text)
    return "".join(part if part.startswith("`") else re.sub(r"([*<>_|])", r"\\\1", part) for part in outside)
