"""Work that takes a while: done beside the pages, told how far it is, and stopped when nobody wants it any more.

What came out is kept for whoever asks the same again; what has not been asked for longest goes first.
"""

from __future__ import annotations

import asyncio
import logging
import secrets
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from handline.day.told import Told
from handline.errors import HandlineError

AT_ONCE = 2
MOST_KEPT = 48
FORGOTTEN_AFTER_S = 10.0
"""Work that has not begun when nobody has waited for it so long is not begun: a page looks again every two seconds."""
MOST_BASES = 8
"""Settings are large: a few megabytes each."""
MOST_WAITING = 256
"""Pieces of work that may be asked for and not done yet: a few for each of fifty people."""

_log = logging.getLogger(__name__)


class StoppedError(Exception):
    """Somebody stopped the work."""


class TooMuchError(HandlineError):
    """More is asked for at once than this machine should take on."""


@dataclass
class Work:
    """One piece of work. It is told by its thread and read by pages; each field is set in one step."""

    key: Hashable
    what: str
    number: str = field(default_factory=lambda: secrets.token_urlsafe(9))
    doing: str = "Waiting for its turn"
    share: float = 0.0
    stopped: bool = False
    future: Future[Any] = field(default_factory=Future)
    watchers: int = 0
    seen_s: float = field(default_factory=time.monotonic)
    """When somebody last asked for it or waited for it."""

    @property
    def forgotten(self) -> bool:
        """Whether nobody waits for it, nor has for a while."""
        return self.watchers == 0 and time.monotonic() - self.seen_s > FORGOTTEN_AFTER_S

    @property
    def done(self) -> bool:
        return self.future.done()

    def told(self, doing: str, share: float) -> None:
        """Say how far it is. Raises StoppedError where somebody stopped it."""
        if self.stopped:
            raise StoppedError
        self.doing, self.share = doing, share

    def stop(self) -> None:
        """Stop it at its next word."""
        self.stopped = True
        self.future.cancel()

    def result(self) -> Any:
        """What came out. Raises what went wrong; StoppedError where it was stopped."""
        if self.future.cancelled():
            raise StoppedError
        return self.future.result(timeout=0)


class Bench:
    """Where work is done: so much at once, each question only once."""

    def __init__(self, at_once: int = AT_ONCE, most_kept: int = MOST_KEPT) -> None:
        self._pool = ThreadPoolExecutor(at_once, thread_name_prefix="handline-work")
        self._kept: OrderedDict[Hashable, Work] = OrderedDict()
        self._bases: OrderedDict[Hashable, tuple[threading.Lock, list[Any]]] = OrderedDict()
        self._most_kept = most_kept
        self._lock = threading.Lock()

    def ask(self, key: Hashable, what: str, make: Callable[[Told], Any]) -> Work:
        """The work of a key: what is kept of it, or begun now.

        Raises
        ------
        TooMuchError
            Too much is waiting already.
        """
        with self._lock:
            work = self._kept.get(key)
            if work is not None and not _went_wrong(work):
                work.seen_s = time.monotonic()
                self._kept.move_to_end(key)
                return work
            if sum(not one.done for one in self._kept.values()) >= MOST_WAITING:
                raise TooMuchError("Too much is being worked on. Wait a little, or stop some of it.")
            work = Work(key, what)
            self._kept[key] = work
            self._kept.move_to_end(key)
            self._forget()
        self._pool.submit(_run, work, make)
        return work

    def known(self, key: Hashable) -> Any | None:
        """What came out of a key before; None where nothing did, or not yet."""
        with self._lock:
            work = self._kept.get(key)
        return work.result() if work is not None and work.done and not _went_wrong(work) else None

    def settled(self, key: Hashable, make: Callable[[], Any]) -> Any:
        """Something that several pieces of work stand on: as known, or made now by whoever comes first."""
        with self._lock:
            lock, known = self._bases.setdefault(key, (threading.Lock(), []))
            self._bases.move_to_end(key)
            while len(self._bases) > MOST_BASES:
                self._bases.popitem(last=False)
        with lock:
            if not known:
                known.append(make())
        return known[0]

    def numbered(self, number: str) -> Work | None:
        """The work of a number, while it is kept."""
        with self._lock:
            return next((work for work in self._kept.values() if work.number == number), None)

    def close(self) -> None:
        """Stop everything."""
        with self._lock:
            for work in self._kept.values():
                work.stop()
        self._pool.shutdown(wait=False, cancel_futures=True)

    def _forget(self) -> None:
        done = [key for key, work in self._kept.items() if work.done]
        for key in done[: max(len(self._kept) - self._most_kept, 0)]:
            del self._kept[key]


async def finished(work: Work, within_s: float | None = None) -> bool:
    """Wait until work is done, at most so long; whether it is."""
    if not work.done:
        work.watchers += 1
        try:
            await asyncio.wait([asyncio.wrap_future(_watched(work))], timeout=within_s)
        finally:
            work.watchers -= 1
            work.seen_s = time.monotonic()
    return work.done


def _watched(work: Work) -> Future[None]:
    """A future of its own for one watcher: giving up the watch must not stop the work."""
    watched: Future[None] = Future()

    def tell(_: Future[Any]) -> None:
        if not watched.done():
            watched.set_result(None)

    work.future.add_done_callback(tell)
    return watched


def _went_wrong(work: Work) -> bool:
    """Whether it is to be tried again when asked for again."""
    return work.done and (work.future.cancelled() or work.future.exception() is not None)


def _run(work: Work, make: Callable[[Told], Any]) -> None:
    if not work.future.set_running_or_notify_cancel():
        return
    try:
        if work.forgotten:
            raise StoppedError
        work.told("Beginning", 0.0)
        work.future.set_result(make(work.told))
    except BaseException as error:
        if not isinstance(error, HandlineError | StoppedError):
            _log.exception("work went wrong: %s", work.what)
        work.future.set_exception(error)
