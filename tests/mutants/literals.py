"""Which numbers in the source are coefficients, and the same source with one of them changed in its fourth digit."""

from __future__ import annotations

import ast
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

UP, DOWN = 1, -1

# A mistake in one of these changes what is allocated or looked up, not what is computed.
_SIZES = frozenset({"range", "zeros", "empty", "ones", "reshape", "repeat", "lru_cache"})
_BOUNDS = frozenset({"where", "maximum", "minimum", "clip", "max", "min", "full", "divide", "nan_to_num"})
_STARTS = frozenset({"initial", "default", "fill_value"})
_UNITS = (
    "_M",
    "_KM",
    "_S",
    "_C",
    "_KG",
    "_N",
    "_J",
    "_H",
    "_DEG",
    "_RAD",
    "_MM",
    "_L",
    "_W",
    "_HPA",
    "_PA",
    "_K",
    "_F",
)


@dataclass(frozen=True)
class Literal:
    """One number in the source: where it is, in which constant or function, its place there, and what it says.

    ``left_out`` is why it is no coefficient, or "".
    """

    file: str
    name: str
    place: int
    line: int
    start: int
    end: int
    value: float
    left_out: str

    @property
    def key(self) -> str:
        return f"{self.file}:{self.name}[{self.place}]"


def changed_value(value: float, way: int) -> float:
    """The value with its fourth significant digit moved by 1 to 5, which is 0.03 to 0.1 % of it."""
    lowest = math.floor(math.log10(abs(value)))
    units = max(1, round(abs(value) / 10.0**lowest * 0.5))
    return float(f"{value + way * units * 10.0 ** (lowest - 3):.12g}")


def changed_source(source: bytes, literal: Literal, way: int) -> bytes:
    """The source with that one number changed: Python's own offsets are in bytes."""
    lines = source.splitlines(keepends=True)
    line = lines[literal.line - 1]
    new = repr(changed_value(literal.value, way)).encode()
    lines[literal.line - 1] = line[: literal.start] + new + line[literal.end :]
    return b"".join(lines)


def literals_of(source_folder: Path, file: str) -> list[Literal]:
    """Every number of one module that a formula could depend on, in the order they are written."""
    tree = ast.parse((source_folder / file).read_bytes())
    found = sorted(_numbers(tree, (), file), key=lambda literal: (literal.line, literal.start))
    counted: dict[str, int] = {}
    numbered = []
    for literal in found:
        place = counted.get(literal.name, 0)
        counted[literal.name] = place + 1
        numbered.append(replace(literal, place=place))
    return numbered


def _numbers(node: ast.AST, above: tuple[ast.AST, ...], file: str) -> Iterator[Literal]:
    if isinstance(node, ast.Constant):
        value = node.value
        if isinstance(value, int | float) and not isinstance(value, bool):
            why = _why_not(node, above)
            if isinstance(value, float) or not why:
                assert node.end_col_offset is not None
                yield Literal(
                    file, _name(node, above), 0, node.lineno, node.col_offset, node.end_col_offset, value, why
                )
        return
    for child in ast.iter_child_nodes(node):
        yield from _numbers(child, (*above, node), file)


def _name(node: ast.Constant, above: tuple[ast.AST, ...]) -> str:
    """The functions and classes a number stands in, or the constant it makes up."""
    scopes = [part.name for part in above if isinstance(part, ast.FunctionDef | ast.ClassDef)]
    if not any(isinstance(part, ast.FunctionDef) for part in above):
        for part in above:
            if isinstance(part, ast.Assign | ast.AnnAssign):
                scopes.append(_target(part, node))
    return ".".join(scopes) or "module"


def _target(assignment: ast.Assign | ast.AnnAssign, node: ast.Constant) -> str:
    target = assignment.targets[0] if isinstance(assignment, ast.Assign) else assignment.target
    value = assignment.value
    if isinstance(target, ast.Tuple) and isinstance(value, ast.Tuple) and len(target.elts) == len(value.elts):
        for one, its in zip(target.elts, value.elts, strict=True):
            if any(part is node for part in ast.walk(its)):
                return ast.unparse(one)
    return ast.unparse(target)


def _called(node: ast.AST) -> str:
    if not isinstance(node, ast.Call):
        return ""
    return node.func.attr if isinstance(node.func, ast.Attribute) else ast.unparse(node.func)


def _why_not(node: ast.Constant, above: tuple[ast.AST, ...]) -> str:
    assert isinstance(node.value, int | float)
    value, parent = float(node.value), above[-1]
    if value == 0.0:
        return "nought has no fourth digit"
    if any(isinstance(part, ast.JoinedStr | ast.Raise) for part in above):
        return "part of a text"
    if any(isinstance(a, ast.Subscript) and b is a.slice for a, b in pairwise((*above, node))):
        return "an index"
    if any(_called(part) in _SIZES for part in above):
        return "a size"
    if abs(value) <= 1e-6 and math.log10(abs(value)).is_integer():
        return "a tolerance for rounding"
    inner = above[-2] if isinstance(parent, ast.UnaryOp) else parent
    if abs(value) == 1.0:
        if _called(inner) in _BOUNDS or isinstance(inner, ast.Compare | ast.IfExp):
            return "one as a bound, a filler or a choice"
        if isinstance(inner, ast.keyword) and inner.arg in _STARTS:
            return "one as a bound, a filler or a choice"
    return "" if isinstance(node.value, float) else _why_not_whole(node, above)


def _why_not_whole(node: ast.Constant, above: tuple[ast.AST, ...]) -> str:
    """A whole number is a coefficient as an exponent, a divisor, a factor from ten up, or a constant with a unit."""
    assert isinstance(node.value, int)
    parent, value = above[-1], abs(node.value)
    if isinstance(parent, ast.BinOp) and value > 1:
        divides = isinstance(parent.op, ast.Pow | ast.Div) and parent.right is node
        if divides or (isinstance(parent.op, ast.Mult) and value >= 10):
            return ""
    if isinstance(parent, ast.Assign) and isinstance(above[-2], ast.Module):
        return "" if ast.unparse(parent.targets[0]).endswith(_UNITS) else "a count"
    return "a count"
