"""Small pieces of work that leave a mark each time they are done."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline.choose.piece import Arrays
from handline.errors import InputError, OutputError, Problem

SHARED = np.linspace(-3.0, 3.0, 501)


@dataclass(frozen=True)
class DrawnPiece:
    """A piece that draws ``size`` numbers from its own seed."""

    key: str
    seed: int
    size: int = 40
    trouble: str = ""


@dataclass(frozen=True)
class Marked:
    """What the pieces share, and the folder in which each leaves a mark when it is done."""

    values: NDArray[np.float64]
    folder: str


def pieces(count: int) -> list[DrawnPiece]:
    return [DrawnPiece(f"day {number}", seed=number, size=40 + number) for number in range(count)]


def draw(shared: NDArray[np.float64], piece: DrawnPiece) -> dict[str, NDArray[Any]]:
    """Arrays of every kind that a result may have; one of them laid out column by column, one a view."""
    drawn = np.random.default_rng(piece.seed).standard_normal((piece.size, shared.size))
    drawn[0, 0], drawn[0, 1] = np.nan, -0.0
    return {
        "sum": (drawn * shared).sum(axis=1),
        "by column": np.asfortranarray(drawn[:3]),
        "view": drawn.T[::7, :2],
        "count": np.array(piece.seed),
        "true": drawn[:, 0] > 0,
        "none": np.zeros((0, 3)),
        "day": np.array(["2027-07-17"], dtype="datetime64[D]"),
        "word": np.array([piece.key]),
    }


def draw_marked(shared: Marked, piece: DrawnPiece) -> dict[str, NDArray[Any]]:
    """As ``draw``, with a mark, the process that did it, and trouble where the piece asks for it."""
    handle, _ = tempfile.mkstemp(prefix=f"{piece.key}.", dir=shared.folder)
    os.close(handle)
    return draw_or_meet(shared.values, piece) | {"process": np.array(os.getpid())}


def draw_or_meet(shared: NDArray[np.float64], piece: DrawnPiece) -> dict[str, NDArray[Any]]:
    """As ``draw``, or the trouble that the piece asks for."""
    _meet(piece.trouble)
    return draw(shared, piece)


def _meet(trouble: str) -> None:
    if trouble == "input":
        raise InputError([Problem("no light that day", read="polar night", key="trip.date"), Problem("no way")])
    if trouble == "output":
        raise OutputError("the disk is full")
    if trouble == "fault":
        raise ZeroDivisionError("a fault of the program")
    if trouble == "ends":
        os._exit(3)


def objects(shared: object, piece: DrawnPiece) -> dict[str, NDArray[Any]]:
    return {"days": np.array([shared, piece], dtype=object)}


def count_shared(shared: CountedOpening, piece: DrawnPiece) -> dict[str, NDArray[Any]]:
    return {"process": np.array(os.getpid())}


class CountedOpening:
    """Something shared that leaves a mark each time it is opened in another process."""

    def __init__(self, folder: str) -> None:
        self.folder = folder

    def __setstate__(self, state: dict[str, str]) -> None:
        self.folder = state["folder"]
        handle, _ = tempfile.mkstemp(prefix=f"{os.getpid()}.", dir=self.folder)
        os.close(handle)


def marks(folder: Path) -> list[str]:
    """The keys of the pieces done, each as often as it was done."""
    return sorted(file.name.rpartition(".")[0] for file in folder.iterdir())


def as_bytes(results: Sequence[Arrays]) -> list[list[tuple[str, str, tuple[int, ...], bool, bool, bytes]]]:
    """All of the results that can be told apart: names in order, types, shapes, layouts, bits."""
    return [
        [(n, a.dtype.str, a.shape, a.flags.c_contiguous, a.flags.writeable, a.tobytes()) for n, a in result.items()]
        for result in results
    ]
