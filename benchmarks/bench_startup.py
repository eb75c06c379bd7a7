"""How soon a command answers: help, and the example plan after its first run, each against Python that does nothing.

The commands are run in turn, so that a machine that others use slows all alike, and the least of several runs counts:
whatever is over it is the machine's. What the first run of a plan takes is measured in bench_plan.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from benchmarks.row import Row, noted

TRIP = Path(__file__).parents[1] / "examples" / "tamsin-dome" / "trip.toml"
HANDLINE = Path(sys.executable).with_name("handline")
REPEATS = 9
NOTHING = "python -c pass"
HELP_S, PLAN_S = 0.15, 3.0


def main() -> None:
    # As a user runs it: Python keeps its bytecode.
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryDirectory() as folder:
        commands: dict[str, tuple[list[str | Path], float | None]] = {
            NOTHING: ([sys.executable, "-c", "pass"], None),
            "handline --help": ([HANDLINE, "--help"], HELP_S),
            "handline line --help": ([HANDLINE, "line", "--help"], HELP_S),
            "handline check": ([HANDLINE, "check", TRIP], None),
            "handline plan, after its first run": ([HANDLINE, "plan", TRIP, "--out", folder], PLAN_S),
        }
        best_s = dict.fromkeys(commands, float("inf"))
        for repeat in range(REPEATS + 1):
            for name, (command, _) in commands.items():
                took_s = _timed(command, environment)
                # The first run makes bytecode and what is kept.
                best_s[name] = min(best_s[name], took_s) if repeat else best_s[name]
    nothing_s = best_s.pop(NOTHING)
    for name, took_s in best_s.items():
        target_s = commands[name][1]
        noted(
            Row(
                f"`{name}`",
                f"{took_s:.3f} s",
                f"`{NOTHING}` {nothing_s * 1e3:.0f} ms",
                took_s / nothing_s,
                "" if target_s is None else f"under {target_s:g} s",
                None if target_s is None else took_s < target_s,
            )
        )


def _timed(command: list[str | Path], environment: dict[str, str]) -> float:
    began_s = time.perf_counter()
    done = subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=False)
    took_s = time.perf_counter() - began_s
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} failed")
    return took_s


if __name__ == "__main__":
    main()
