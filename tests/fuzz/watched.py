"""One fuzzed input, watched: nothing but HandlineError may be raised, and none may take longer than five seconds.

An input that fails is kept in .cache/fuzz, to be tried again by hand.
"""

from __future__ import annotations

import faulthandler
import hashlib
import os
import signal
import sys
import tempfile
import traceback
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from handline.errors import HandlineError, InputError

ROOT = Path(__file__).parents[2]
KEPT = ROOT / ".cache" / "fuzz"

LONGEST_S = 5.0
"""Of this process's own time on the processor, so that a busy machine is no hang of ours."""
LONGEST_CLOCK_S = 60.0
"""By the clock: whoever waits for something that never comes uses no processor."""
STUCK_S = 120.0
"""By the clock: stuck where no Python runs, so that no exception can be raised. The whole process ends, with its place.
"""
SHARED = Path("/dev/shm")

Case = Callable[[], None]


class Overrun(BaseException):
    """Not an Exception, so that no handler in between takes it for one of its own."""


@contextmanager
def _in_time() -> Iterator[None]:
    """Raise Overrun where the time is up."""

    def up(number: int, frame: FrameType | None) -> None:
        raise Overrun(f"longer than {LONGEST_S:g} s of work, or {LONGEST_CLOCK_S:g} s by the clock")

    before = {one: signal.signal(one, up) for one in (signal.SIGPROF, signal.SIGALRM)}
    faulthandler.dump_traceback_later(STUCK_S, exit=True, file=sys.__stderr__)
    signal.setitimer(signal.ITIMER_PROF, LONGEST_S)
    signal.setitimer(signal.ITIMER_REAL, LONGEST_CLOCK_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        faulthandler.cancel_dump_traceback_later()
        for one, handler in before.items():
            signal.signal(one, handler)


def watched(kind: str, content: bytes, ending: str, case: Case, file_says: str | None = None) -> HandlineError | None:
    """Run a case in time. What it refused with, or None where it took the input.

    Parameters
    ----------
    kind : str
        What is fuzzed, for the name of an input that is kept.
    content, ending : bytes, str
        The input as a file would hold it, and the ending of such a file.
    case : callable
        May raise HandlineError; its text is looked at.
    file_says : str, optional
        The name of the file, which every problem must tell.

    Raises
    ------
    AssertionError
        It raised anything else, or took too long; the input is kept, and the message says where.
    """
    now = _begun(content, ending)
    try:
        with _in_time(), warnings.catch_warnings():
            # What numpy warns of would stand on the user's screen.
            warnings.simplefilter("error")
            case()
    except HandlineError as error:
        if wrong := says_too_little(error, file_says):
            raise AssertionError(f"{wrong}\n{error}\n{_keep(kind, wrong, content, ending)}") from error
        return error
    except (Exception, Overrun) as error:
        says = f"{type(error).__name__}: {str(error)[:300]}"
        raise AssertionError(f"{says}\n{_keep(kind, _where(error), content, ending)}") from error
    finally:
        now.unlink(missing_ok=True)
    return None


def says_too_little(error: HandlineError, file_says: str | None) -> str:
    """What a leader would miss in an error: which file, and what is wrong with it. Empty where all is there."""
    if not isinstance(error, InputError):
        return "" if str(error).strip() else "an error without words"
    if not error.problems:
        return "an error without a problem"
    for problem in error.problems:
        if not problem.what.strip():
            return "a problem without words"
        if file_says is not None and not (problem.file or "").endswith(file_says):
            return f"a problem that does not name {file_says}"
        text = str(problem)
        if not text.replace("\n", "").isprintable():
            return "a problem with letters that no screen shows"
    return ""


def _begun(content: bytes, ending: str) -> Path:
    """The input on the disk before it is tried, for a process that ends at once leaves no other trace of it."""
    place = SHARED if SHARED.is_dir() else Path(tempfile.gettempdir())
    now = place / f"handline-fuzz-{os.getpid()}{ending}"
    now.write_bytes(content)
    return now


def _where(error: BaseException) -> str:
    """What failed and where in our own code: alike for all inputs that fail in the same way."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if "handline" in frame.filename] or frames
    return f"{type(error).__name__} {own[-1].filename}:{own[-1].lineno}"


def _keep(kind: str, fault: str, content: bytes, ending: str) -> str:
    """Keep an input, the last one for each fault: Hypothesis ends with the smallest it finds. Says where it is."""
    KEPT.mkdir(parents=True, exist_ok=True)
    file = KEPT / f"{kind}-{hashlib.sha256(fault.encode()).hexdigest()[:8]}{ending}"
    file.write_bytes(content)
    return f"the input is kept in {file.relative_to(ROOT)}"
