"""A large job spread over workers: the same results in the same order, whoever does the pieces.

Finished pieces are kept as they come. A job that was stopped, by Ctrl-C, by an error or by who is told how far it is,
does only the rest when it is run again.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import replace
from queue import Empty, SimpleQueue
from typing import Any

from numpy.typing import NDArray

from handline.choose.crew import Begin, Crew, PieceFuture, all_cores, alone, pool_of_processes, processes_ahead
from handline.choose.piece import AnyPiece, Arrays, Do, Piece, Shared
from handline.choose.pieces_kept import pieces_kept
from handline.day.told import Told
from handline.errors import HandlineError, InputError, Problem

TOLD_EVERY_S = 0.2
"""How often progress is told at least [s], so that a wish to stop is heard during long pieces too."""


def spread(
    work: Sequence[AnyPiece],
    do: Do[Shared, AnyPiece],
    shared: Shared,
    *,
    job_key: str,
    what: str = "working",
    workers: int | None = None,
    dask: str | None = None,
    told: Told = lambda what, share: None,
    keep_when_done: bool = False,
    begin: Begin[Shared, AnyPiece] | None = None,
) -> list[Arrays]:
    """Do every piece of a job.

    The same bytes come out of any number of workers, as long as the processors are of one kind and ``do`` does not
    depend on how many threads a library uses.

    Parameters
    ----------
    work : sequence of Piece
        In any order that matters to the caller; no two with the same key.
    do : function of (shared, piece) to a mapping of arrays
        Pure, and at the top of a module.
    shared
        What all pieces need; sent to each worker once.
    job_key : str
        Stands for all that the results depend on beside the keys of pieces: ``do``, ``shared``, what a piece holds.
    what : str
        What is being worked on, as it is told.
    workers : int, optional
        Processes on this computer; 1 does all of it in this one. All cores unless given.
    dask : str, optional
        The address of a Dask scheduler whose workers do it instead.
    told : Told
        Told how far it is, in the thread that called; what it raises stops the work.
    keep_when_done : bool
        Whether finished pieces are kept when all are done, so that the same job again is only read.
    begin : optional
        Workers of the same ``do`` that ``workers_ahead`` has already brought to life.

    Returns
    -------
    list of mapping of arrays
        In the order of ``work``; the arrays belong to the caller.

    Raises
    ------
    InputError
        ``workers`` is below 1 or given with ``dask``; the cluster cannot be used; or a piece met one, which then
        names the piece.
    HandlineError
        As a piece met it, with its key; or the workers were lost.
    ValueError
        Two pieces have the same key.
    """
    _check(work, workers, dask)
    kept = pieces_kept(job_key)
    found: dict[int, Arrays] = {}
    for place, piece in enumerate(work):
        if (arrays := kept.read(piece.key)) is not None:
            found[place] = arrays
    missing = [place for place in range(len(work)) if place not in found]

    def keep(place: int, arrays: dict[str, NDArray[Any]]) -> None:
        kept.write(work[place].key, arrays)
        found[place] = arrays

    def tell() -> None:
        told(what, len(found) / max(1, len(work)))

    tell()
    if missing:
        several = min(workers or all_cores(), len(missing))
        with nullcontext(begin(shared)) if begin else _crew(do, shared, several, dask) as crew:
            _gather(crew, work, missing, keep, tell)
    if not keep_when_done:
        kept.delete()
    return [found[place] for place in range(len(work))]


@contextmanager
def workers_ahead(
    do: Do[Shared, AnyPiece], pieces: int, workers: int | None, dask: str | None
) -> Iterator[Begin[Shared, AnyPiece] | None]:
    """Workers that come to life while a job is still prepared, for ``spread``; None where that needs none of this.

    They take about a second, which would else be added to the preparation. Raises as ``spread``.
    """
    several = min(workers or all_cores(), pieces)
    if dask is not None or several <= 1:
        yield None
        return
    with processes_ahead(do, several) as begin:
        yield begin


def _check(work: Sequence[Piece], workers: int | None, dask: str | None) -> None:
    if len({piece.key for piece in work}) < len(work):
        raise ValueError("two pieces of the job have the same key")
    if workers is not None and workers < 1:
        raise InputError(Problem("nobody would do the work", read=str(workers), allowed="1 or more", key="--workers"))
    if workers is not None and dask is not None:
        raise InputError(
            Problem("a cluster has as many workers as it has", mend="leave --workers or --dask", key="--workers")
        )


def _crew(
    do: Do[Shared, AnyPiece], shared: Shared, workers: int, dask: str | None
) -> AbstractContextManager[Crew[AnyPiece]]:
    if dask is not None:
        from handline.choose.dask_crew import cluster

        return cluster(do, shared, dask)
    return alone(do, shared) if workers == 1 else pool_of_processes(do, shared, workers)


def _gather(
    crew: Crew[AnyPiece],
    work: Sequence[AnyPiece],
    places: Sequence[int],
    keep: Callable[[int, dict[str, NDArray[Any]]], None],
    tell: Callable[[], None],
) -> None:
    """Hand out the pieces at these places and keep each as it comes; what is done is kept at an error too."""
    waiting, out = deque(places), dict[PieceFuture, int]()
    done: SimpleQueue[PieceFuture] = SimpleQueue()
    try:
        while waiting or out:
            while waiting and len(out) < crew.ahead:
                place = waiting.popleft()
                future = crew.submit(work[place])
                out[future] = place
                future.add_done_callback(done.put)
            try:
                future = done.get(timeout=TOLD_EVERY_S)
            except Empty:
                tell()
                continue
            keep(out[future], _result(future, work[out[future]].key))
            del out[future]
            tell()
    except BaseException:
        for future, place in out.items():
            if future.done() and not future.cancelled() and future.exception() is None:
                keep(place, future.result())
        raise


def _result(future: PieceFuture, key: str) -> dict[str, NDArray[Any]]:
    """What a piece gave; what it raised says which piece it was."""
    try:
        return future.result()
    except HandlineError as error:
        raise _named(error, key) from error
    except Exception as error:
        error.add_note(f"in the piece {key}")
        raise


def _named(error: HandlineError, key: str) -> HandlineError:
    if isinstance(error, InputError):
        return type(error)(replace(problem, what=f"{key}: {problem.what}") for problem in error.problems)
    return type(error)(f"{key}: {error}")
