"""What a command leaves to other programs: its result as JSON, and its exit code."""

from __future__ import annotations

import sys
from typing import Any

from handline.cli.failing import EXIT_STOP


def print_json(result: Any) -> None:
    """Print a result, a frozen dataclass, as JSON on stdout."""
    from handline.day.plan_json import result_json

    sys.stdout.write(result_json(result))


def exit_at(level: str) -> None:
    """Leave with the exit code of a finding at "stop" where that is the level."""
    if level == "stop":
        sys.exit(EXIT_STOP)
