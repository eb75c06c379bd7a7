"""How a command fails: a clear message on stderr, exit code 2, no traceback."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import wraps
from typing import NoReturn, ParamSpec, TypeVar

from handline.errors import HandlineError, InputError, OutputError

P = ParamSpec("P")
R = TypeVar("R")

EXIT_STOP, EXIT_UNUSABLE, EXIT_INTERRUPTED = 1, 2, 130


def plainly(function: Callable[P, R]) -> Callable[P, R]:
    """Turn what a user can mend into a message and exit code 2, and Ctrl-C into a word and 130."""

    @wraps(function)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return function(*args, **kwargs)
        except HandlineError as error:
            _say(error)
        except KeyboardInterrupt:
            print("Stopped. Nothing was written.", file=sys.stderr)
            sys.exit(EXIT_INTERRUPTED)

    return run


def _say(error: HandlineError) -> NoReturn:
    print(error, file=sys.stderr)
    if isinstance(error, InputError) and len(error.problems) > 1:
        print(f"\n{len(error.problems)} problems in all. Nothing was written.", file=sys.stderr)
    elif not (isinstance(error, OutputError) and error.written):
        print("\nNothing was written.", file=sys.stderr)
    sys.exit(EXIT_UNUSABLE)
