"""A Dask cluster as the crew: workers on other machines do the pieces. Needs the extra "cluster" (distributed)."""

from __future__ import annotations

import asyncio
import logging
import sys
from collections.abc import Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from typing import TYPE_CHECKING

from handline.choose.crew import Crew
from handline.choose.piece import AnyPiece, Do, Shared, do_packed, packed, versions
from handline.errors import HandlineError, InputError, Problem

if TYPE_CHECKING:
    from distributed import Client

INSTALL_HINT = 'install it with: pip install "handline[cluster]"'
ANSWER_S = 5.0
"""How long a scheduler may take to answer, and a first worker to be there [s]."""


@contextmanager
def cluster(do: Do[Shared, AnyPiece], shared: Shared, address: str) -> Iterator[Crew[AnyPiece]]:
    """The workers of the scheduler at ``address``; the shared part is sent to each once.

    Raises
    ------
    InputError
        distributed is not installed, nothing answers there, it has no worker, or a worker has other versions.
    HandlineError
        The cluster was lost, or a worker ended before its piece was done.
    """
    with _connected(address) as client:
        from distributed import KilledWorker

        try:
            executor = client.get_executor()
            (job,) = client.scatter([packed(do, shared)], broadcast=True, hash=False)
            yield Crew(lambda piece: executor.submit(do_packed, job, piece), ahead=sys.maxsize)
        except (CancelledError, KilledWorker) as error:
            raise HandlineError(str(_lost(address))) from error
        except (ModuleNotFoundError, RuntimeError) as error:
            # A worker says it plainly; a scheduler, which reads every piece too, in the cause of another error.
            lacking = error if isinstance(error, ModuleNotFoundError) else error.__cause__
            if not isinstance(lacking, ModuleNotFoundError):
                raise
            raise InputError(_lacks(lacking.name)) from error


@contextmanager
def _connected(address: str) -> Iterator[Client]:
    """A client of the scheduler, which has a worker."""
    try:
        from distributed import Client
    except ImportError:
        raise InputError(
            Problem('a cluster needs the extra "cluster" (distributed)', mend=INSTALL_HINT, key="--dask")
        ) from None
    with _no_traces_of_the_client():
        try:
            asyncio.run(_ask(address))
            client = Client(address, timeout=ANSWER_S, set_as_default=False)
        except OSError:
            raise InputError(_no_scheduler("no Dask scheduler answers there", address)) from None
        except ValueError as error:
            raise InputError(_no_scheduler(f"this is no address of a Dask scheduler: {error}", address)) from None
        try:
            _wait_for_a_worker(client, address)
            yield client
        finally:
            client.close()


async def _ask(address: str) -> None:
    """Shake hands with a scheduler once.

    A client that cannot start leaves its loop behind, and closes it whenever it is collected, which may be in the
    thread of the next client's loop: that then waits for itself.
    """
    from distributed.comm.core import connect
    from distributed.security import Security

    comm = await connect(address, timeout=ANSWER_S, **Security().get_connection_args("client"))
    await comm.close()


def _wait_for_a_worker(client: Client, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=ANSWER_S)
    except TimeoutError:
        raise InputError(
            Problem("the cluster has no worker", read=address, mend="start a worker for its scheduler", key="--dask")
        ) from None


@contextmanager
def _no_traces_of_the_client() -> Iterator[None]:
    """A lost scheduler is said once, in our words: the client would print a trace of its own beside them."""
    log = logging.getLogger("distributed.client")
    before = log.level
    log.setLevel(logging.CRITICAL + 1)
    try:
        yield
    finally:
        log.setLevel(before)


def _no_scheduler(what: str, address: str) -> Problem:
    return Problem(
        what,
        read=address,
        allowed="the address a scheduler gives when it starts, such as tcp://10.0.0.5:8786",
        mend="start the scheduler, or leave --dask to use the cores of this computer",
        key="--dask",
    )


def _lost(address: str) -> Problem:
    return Problem(
        "the cluster was lost, or its workers ended before a piece was done",
        read=address,
        mend=f"see that its scheduler and every worker run with {versions()}; then run it again: finished pieces are"
        " kept",
        key="--dask",
    )


def _lacks(module: str | None) -> Problem:
    return Problem(
        f"the cluster lacks the module {module}",
        allowed=versions(),
        mend="install the same versions for its scheduler and every worker and start them again",
        key="--dask",
    )
