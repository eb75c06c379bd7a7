"""A piece of a large job, and how it is done: alike in this process, in another one and on another machine.

What a piece gives are named arrays and nothing else, so that it travels and is kept exactly, with no code in it. A
whole job, the function and what all pieces share, is packed into bytes once; each worker opens them once.
"""

from __future__ import annotations

import pickle
import platform
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from handline import __version__
from handline.errors import InputError, Problem

Arrays = Mapping[str, NDArray[Any]]
"""What a piece gives: arrays of numbers, truths, times or text of one length, by name."""


class Piece(Protocol):
    """One piece of a job: it can be pickled, and no other piece of the job has its key.

    The key is the name of the piece on screen and stays the same from one run to the next: "2027-07-17 at 05:30".
    """

    @property
    def key(self) -> str: ...


AnyPiece = TypeVar("AnyPiece", bound=Piece)
Shared = TypeVar("Shared")
Do = Callable[[Shared, AnyPiece], Arrays]
"""Does one piece with what all pieces share. A pure function at the top of a module; it changes neither."""


def packed(do: Do[Shared, AnyPiece], shared: Shared) -> bytes:
    """A job as bytes for workers, with the versions it was packed with."""
    inside = pickle.dumps((do, shared), protocol=pickle.HIGHEST_PROTOCOL)
    return pickle.dumps((versions(), inside), protocol=pickle.HIGHEST_PROTOCOL)


def do_packed(job: bytes, piece: Piece) -> dict[str, NDArray[Any]]:
    """Do one piece of a packed job, in whichever process this runs.

    Raises
    ------
    InputError
        This worker has other versions than the job was packed with, so that its numbers might differ.
    """
    do, shared = _opened(job)
    return plain_arrays(do(shared, piece))


def plain_arrays(found: Arrays) -> dict[str, NDArray[Any]]:
    """Copies of arrays, each laid out row by row: a sum over them is the same wherever they have been.

    Raises
    ------
    TypeError
        An array holds Python objects.
    """
    arrays = {name: np.array(values, order="C") for name, values in found.items()}
    for name, values in arrays.items():
        if values.dtype.hasobject:
            raise TypeError(f"{name} holds Python objects; a piece gives arrays without any")
    return arrays


def versions() -> str:
    """What has to be the same everywhere for the same numbers."""
    return f"handline {__version__}, numpy {np.__version__}, Python {platform.python_version()}"


@lru_cache(maxsize=1)  # A worker has one job at a time, and does many pieces of it.
def _opened(job: bytes) -> tuple[Do[Any, Any], Any]:
    packed_with, inside = pickle.loads(job)
    if packed_with != versions():
        raise InputError(
            Problem(
                "a worker has other versions than this computer, so that its numbers might differ",
                read=versions(),
                allowed=packed_with,
                mend="install the same versions on every worker and start the workers again",
                key="--dask",
            )
        )
    opened: tuple[Do[Any, Any], Any] = pickle.loads(inside)
    return opened
