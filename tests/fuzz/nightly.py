"""Many inputs in rounds, with progress: ``make fuzz``. Ctrl-C stops it; faults are told and kept in .cache/fuzz.

HANDLINE_FUZZ says how many inputs in all, HANDLINE_FUZZ_SEED which ones: left out, others every time. A fault does not
end the run: the same kind of input goes on in the next round.
"""

from __future__ import annotations

import os
import random
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from tests.fuzz.entrances import FUZZED, Fuzzed, seen
from tests.fuzz.watched import KEPT

USUAL_INPUTS = 100_000
OF_A_ROUND = 2_000
"""Short enough that a fault in one kind of input leaves the rest of the night to it."""


@dataclass
class Night:
    """How far a run is, and what it found."""

    inputs: int
    base_seed: int
    tried: int = 0
    faults: dict[str, int] = field(default_factory=dict)
    began_s: float = field(default_factory=time.monotonic)

    def told(self, kind: str) -> None:
        """One line, over the last one on a terminal."""
        past_s = time.monotonic() - self.began_s
        left_s = past_s * (self.inputs - self.tried) / max(self.tried, 1)
        line = (
            f"{self.tried:,} of {self.inputs:,} inputs, {len(self.faults)} faults, {past_s / 60:.1f} min, "
            f"about {left_s / 60:.0f} min left ({kind})"
        )
        print(f"\r{line:<100}" if sys.stdout.isatty() else line, end="" if sys.stdout.isatty() else "\n", flush=True)


def main() -> int:
    """Fuzz; 0 where nothing was found, else 1."""
    inputs = int(os.environ.get("HANDLINE_FUZZ", USUAL_INPUTS))
    base_seed = int(os.environ.get("HANDLINE_FUZZ_SEED", random.SystemRandom().randrange(2**32)))
    night = Night(inputs, base_seed)
    print(f"HANDLINE_FUZZ={inputs} HANDLINE_FUZZ_SEED={base_seed}. Ctrl-C stops it.")
    try:
        rounds = -(-inputs // OF_A_ROUND)
        for number in range(rounds):
            for fuzzed in FUZZED:
                one_round(fuzzed, min(OF_A_ROUND, inputs), base_seed + number, night)
    except KeyboardInterrupt:
        print("\nStopped.")
    print(f"\n{night.tried:,} inputs tried; {', '.join(f'{count:,} {what}' for what, count in seen.items())}.")
    if not night.faults:
        print("No fault.")
        return 0
    for fault, count in night.faults.items():
        print(f"\n{count} times: {fault}")
    print(f"\n{len(night.faults)} faults; their inputs are in {KEPT}.")
    return 1


def one_round(fuzzed: Fuzzed, of_all: int, round_seed: int, night: Night) -> None:
    """One kind's part of a round. Nothing is made smaller here: the input that is kept can be tried by hand."""
    count = max(of_all * fuzzed.of_thousand // 1000, 1)
    every_time = settings(
        max_examples=count, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck), print_blob=False,
    )  # fmt: skip
    run: Callable[[], None] = every_time(seed(round_seed)(given(fuzzed.inputs)(_noting(fuzzed, night))))
    run()
    night.told(fuzzed.kind)


def _noting(fuzzed: Fuzzed, night: Night) -> Callable[[Any], None]:
    """The check, which notes a fault and goes on."""

    def noting(given: Any) -> None:
        night.tried += 1
        try:
            fuzzed.check(given)
        except AssertionError as error:
            # The last line names the file that is kept, one for each fault.
            told = f"{fuzzed.kind}: {error}"
            key = next((known for known in night.faults if known.splitlines()[-1] == told.splitlines()[-1]), told)
            night.faults[key] = night.faults.get(key, 0) + 1

    return noting


if __name__ == "__main__":
    sys.exit(main())
