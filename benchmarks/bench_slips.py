"""100,000 slips: the kernel against a loop of scipy's solve_ivp that is no more exact than it has to be.

The loop is as coarse as still gives every peak of the sample within 0.1 %; a sample of it is timed and scaled.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from referees.slip_ode import slip_ode  # noqa: E402

from benchmarks.row import Row, noted  # noqa: E402
from handline.line.chain import BODY_FROM_MEMORY, Chain, GivingPart  # noqa: E402
from handline.line.dynamic_arrest import dynamic_arrest  # noqa: E402

SLIPS, SAMPLE, REPEATS = 100_000, 200, 3
WITHIN = 1e-3
COARSE = (1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7)


def _draw(count: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(1)
    ranges = {
        "mass": (40, 140), "angle": (0.3, 1.57), "mu": (0, 0.6), "speed": (0, 15), "strand": (1e4, 2e5),
        "length": (0.4, 1.5), "absorber": (2000, 6000), "travel": (0.3, 2.2), "hitch": (2000, 8000),
    }  # fmt: skip
    return {name: rng.uniform(*span, count) for name, span in ranges.items()}


def main() -> None:
    draw = _draw(SLIPS)
    rows = [dict(zip(draw, row, strict=True)) for row in zip(*(draw[name][:SAMPLE] for name in draw), strict=True)]
    for name, body in (("rigid body", None), ("body with a dashpot", BODY_FROM_MEMORY)):
        giving = (
            GivingPart(draw["absorber"], draw["absorber"], draw["travel"]),
            GivingPart(draw["hitch"], draw["hitch"], 0.5),
        )
        chain = Chain(draw["strand"], draw["length"], giving=giving, body=body)
        slip = (draw["mass"], draw["angle"], draw["mu"], draw["speed"])
        dynamic_arrest(chain, *slip)
        took = []
        for _ in range(REPEATS):
            began = time.perf_counter()
            peak_N = dynamic_arrest(chain, *slip).peak_force_N
            took.append(time.perf_counter() - began)

        def loop(rtol: float, soft: bool = body is not None) -> tuple[float, np.ndarray]:
            began = time.perf_counter()
            peaks = [
                slip_ode(
                    mass=row["mass"], angle=row["angle"], mu=row["mu"], speed=row["speed"],
                    springs=[row["strand"] / row["length"]],
                    giving=[(row["absorber"],) * 2 + (row["travel"],), (row["hitch"],) * 2 + (0.5,)],
                    body=(300e3, 1000.0) if soft else None, rtol=rtol,
                ).peak_N
                for row in rows
            ]  # fmt: skip
            return (time.perf_counter() - began) / SAMPLE * SLIPS, np.array(peaks)

        _, exact_N = loop(1e-10)
        error = float(np.abs(peak_N[:SAMPLE] / exact_N - 1.0).max())
        assert error < WITHIN
        for rtol in COARSE:
            plain_s, plain_N = loop(rtol)
            plain_error = float(np.abs(plain_N / exact_N - 1.0).max())
            if plain_error < WITHIN:
                break
        else:
            raise AssertionError("no tolerance of the loop is fine enough")
        ours, theirs = f"{min(took):.3f} s, peaks within {error:.0e}", f"{plain_s:.0f} s, within {plain_error:.0e}"
        ratio = plain_s / min(took)
        baseline = f"solve_ivp at rtol {rtol:.0e} {theirs}"
        noted(Row(f"{SLIPS:,} slips, {name}", ours, baseline, ratio, "at least 100", ratio >= 100.0))


if __name__ == "__main__":
    main()
