"""The horizon of one place on a terrain model of 1,000 x 1,000 nodes, against a plain loop of small steps.

The heights are invented and seeded. The loop is the referee of the tests; some of its rays are timed and scaled.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from referees.ray_march import ray_horizon_deg, sea_deg  # noqa: E402

from benchmarks.row import Row, noted  # noqa: E402
from handline.sky.terrain_horizon import horizon_of_grid  # noqa: E402

NODES, CELL_M, RAYS, SAMPLE, REPEATS = 1000, 30.0, 360, 12, 5
WITHIN_DEG = 0.2


def _invented_heights_m() -> np.ndarray:
    """Waves of all lengths, the long ones high: 0 to 2,000 m or so."""
    rng = np.random.default_rng(1)
    wave = np.hypot(*np.meshgrid(np.fft.fftfreq(NODES), np.fft.fftfreq(NODES)))
    wave[0, 0] = np.inf
    rough = np.fft.ifft2(np.fft.fft2(rng.normal(size=(NODES, NODES))) * wave**-1.7).real
    return 2000.0 * (rough - rough.min()) / np.ptp(rough)


def main() -> None:
    height_m, axis_m = _invented_heights_m(), (np.arange(NODES) - 0.5 * (NODES - 1)) * CELL_M
    took = []
    for _ in range(REPEATS):
        began = time.perf_counter()
        horizon = horizon_of_grid(height_m, axis_m, axis_m, azimuths=RAYS)
        took.append(time.perf_counter() - began)
    as_lists = height_m.tolist(), axis_m.tolist(), axis_m.tolist()
    rays = np.arange(0, RAYS, RAYS // SAMPLE)
    began = time.perf_counter()
    brute_deg = np.array([ray_horizon_deg(*as_lists, float(ray), eye_m=2.0) for ray in rays])
    brute_s = (time.perf_counter() - began) * RAYS / SAMPLE
    middle_m = float(height_m[NODES // 2 - 1 : NODES // 2 + 1, NODES // 2 - 1 : NODES // 2 + 1].mean())
    error_deg = float(np.abs(horizon.altitude_deg[rays] - np.maximum(brute_deg, sea_deg(middle_m + 2.0))).max())
    assert error_deg < WITHIN_DEG
    ours = f"{min(took) * 1e3:.0f} ms, within {error_deg:.3f} deg"
    baseline = f"plain loop of small steps {brute_s:.0f} s, scaled"
    noted(Row(f"horizon of {RAYS} rays on {NODES} x {NODES} nodes", ours, baseline, brute_s / min(took)))


if __name__ == "__main__":
    main()
