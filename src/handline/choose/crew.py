"""Who does the pieces of a job: this process alone, or a pool of processes on its cores.

A crew takes pieces and gives futures. Leaving it with an error, Ctrl-C included, ends its processes at once.
"""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import tempfile
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import cache
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Generic, ParamSpec, TypeVar

from numpy.typing import NDArray

from handline.choose.piece import AnyPiece, Do, Shared, do_packed, packed, plain_arrays
from handline.errors import HandlineError, Problem

P = ParamSpec("P")
T = TypeVar("T")

Begin = Callable[[Shared], "Crew[AnyPiece]"]
"""Told what all pieces share, it gives the crew."""
PieceFuture = Future[dict[str, NDArray[Any]]]

THREADS_OF_LIBRARIES = (
    "OMP_NUM_THREADS",
    "OPENBLAS_NUM_THREADS",
    "MKL_NUM_THREADS",
    "VECLIB_MAXIMUM_THREADS",
    "NUMBA_NUM_THREADS",
)
MOST_PROCESSES = 61  # The most that Windows can wait for at once.
_BIRTH = threading.Lock()


@dataclass(frozen=True)
class Crew(Generic[AnyPiece]):
    """``submit`` hands out one piece; ``ahead`` is how many may be handed out and not done."""

    submit: Callable[[AnyPiece], PieceFuture]
    ahead: int


def all_cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class InThisProcess(Executor):
    """An executor that does what it is given right away, here."""

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        future: Future[T] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:  # Ctrl-C is no Exception: it goes its own way up.
            future.set_exception(error)
        return future


@contextmanager
def alone(do: Do[Shared, AnyPiece], shared: Shared) -> Iterator[Crew[AnyPiece]]:
    """This process does one piece after the other."""
    executor = InThisProcess()
    yield Crew(lambda piece: executor.submit(lambda: plain_arrays(do(shared, piece))), ahead=1)


@contextmanager
def pool_of_processes(do: Do[Shared, AnyPiece], shared: Shared, workers: int) -> Iterator[Crew[AnyPiece]]:
    """Processes of this computer, each with one thread and the shared part read once. Raises as ``processes_ahead``."""
    with processes_ahead(do, workers) as begin:
        yield begin(shared)


@contextmanager
def processes_ahead(do: Do[Shared, AnyPiece], workers: int) -> Iterator[Begin[Shared, AnyPiece]]:
    """Processes that come to life while this one still finds out what the pieces share; told that, they begin.

    They are started afresh (spawn), since a copy of a process with threads can hang. Each holds one end of a pipe and
    ends when the other end closes: at an error, at Ctrl-C, and when this process is killed. The job waits for them in a
    file: what is sent to a process at its birth has to fit a pipe, or a newborn that dies leaves this one waiting.

    Raises
    ------
    HandlineError
        A process could not be started, or ended before its piece was done.
    """
    workers = min(workers, MOST_PROCESSES)
    context = multiprocessing.get_context("spawn")
    far_end, near_end = context.Pipe(duplex=False)
    begun = False
    with ExitStack() as until_done:
        until_done.callback(far_end.close)
        until_done.callback(near_end.close)
        job_file = until_done.enter_context(_job_file())
        pool = ProcessPoolExecutor(workers, context, initializer=_begin, initargs=(do, str(job_file), far_end))

        def begin(shared: Shared) -> Crew[AnyPiece]:
            nonlocal begun
            _write_job(job_file, packed(do, shared))
            begun = True
            return Crew(lambda piece: _submitted(pool, _do_in_worker, piece), ahead=2 * workers + 1)

        try:
            for _ in range(workers):
                _submitted(pool, _come_to_life)
            yield begin
        except BrokenExecutor as error:
            raise HandlineError(str(ENDED_EARLY)) from error
        except BaseException:
            near_end.close()
            raise
        finally:
            if not begun:
                near_end.close()
            pool.shutdown(wait=True, cancel_futures=True)


ENDED_EARLY = Problem(
    "a worker process ended before its piece was done, most often for want of memory",
    mend="run it again with fewer workers, such as --workers 1: finished pieces are kept; in a script of your own, "
    'call it under if __name__ == "__main__":',
)


@contextmanager
def _job_file() -> Iterator[Path]:
    """Where the job will be, in a folder that only this user can read, until all is done."""
    with ExitStack() as until_done:
        try:
            folder = until_done.enter_context(tempfile.TemporaryDirectory(prefix="handline-"))
        except OSError as error:
            raise _not_written(error) from error
        yield Path(folder) / "job"


def _write_job(job_file: Path, job: bytes) -> None:
    try:
        job_file.write_bytes(job)
    except OSError as error:
        raise _not_written(error) from error


def _not_written(error: OSError) -> HandlineError:
    problem = Problem(f"no file could be written for the workers: {error}", mend="run it with --workers 1")
    return HandlineError(str(problem))


def _submitted(pool: ProcessPoolExecutor, fn: Callable[..., T], *args: Any) -> Future[T]:
    """Hand something to the pool, which starts a process for it while there are too few."""
    with _newborn_alike():
        try:
            return pool.submit(fn, *args)
        except OSError as error:
            problem = Problem(f"no worker process could be started: {error}", mend="run it with --workers 1")
            raise HandlineError(str(problem)) from error


@contextmanager
def _newborn_alike() -> Iterator[None]:
    """Processes born in here use one thread each, and leave Ctrl-C to this one from their first moment on.

    Threads of libraries would only fight over cores that already have a process each. Who set their number is obeyed.
    """
    masked = getattr(signal, "pthread_sigmask", None)
    with _BIRTH:
        ours = [name for name in THREADS_OF_LIBRARIES if name not in os.environ]
        before = masked(signal.SIG_BLOCK, {signal.SIGINT}) if masked else None
        try:
            os.environ.update(dict.fromkeys(ours, "1"))
            yield
        finally:
            for name in ours:
                os.environ.pop(name, None)
            if masked:
                masked(signal.SIG_SETMASK, before)


_own_job_file = Path()


def _begin(do: Do[Any, Any], job_file: str, far_end: Connection) -> None:
    """The first thing a worker process does. To be handed ``do`` it has imported all that this needs."""
    global _own_job_file
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _own_job_file = Path(job_file)
    threading.Thread(target=_end_with, args=(far_end, _own_job_file.parent), daemon=True).start()


def _come_to_life() -> None:
    """Nothing: a pool starts a process only for something to do."""


@cache
def _own_job() -> bytes:
    """The job of this worker, which has only one in its life."""
    return _own_job_file.read_bytes()


def _end_with(far_end: Connection, folder: Path) -> None:
    """End this process when the other end of the pipe is closed: nothing is ever sent.

    Where the other process was killed nobody else is left to take the folder of the job away.
    """
    far_end.poll(None)
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(1)


def _do_in_worker(piece: Any) -> dict[str, NDArray[Any]]:
    return do_packed(_own_job(), piece)
