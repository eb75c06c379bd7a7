"""The pace from a track of 100,000 points: ours against the same track read by gpxpy and fitted by scipy, one model."""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
import time
from pathlib import Path

import gpxpy
import numpy as np
from scipy.optimize import least_squares

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from referees.simulated_walker import Person, hills, recorded  # noqa: E402

from benchmarks.row import Row, noted  # noqa: E402
from handline.day.pace_fitting import fit_tracks  # noqa: E402
from handline.day.recorded import read_recorded  # noqa: E402
from handline.walking.fitting import fit_pace  # noqa: E402
from handline.walking.pace import walking_time  # noqa: E402

POINTS, REPEATS, ALLOWED_S = 100_000, 3, 2.0


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.gpx"
        path.write_text(long_track(), encoding="utf-8")
        fit_tracks([path])
        whole_s = min(timed(lambda: fit_tracks([path])) for _ in range(REPEATS))
        recording = read_recorded(path).recording
        fit_s = min(timed(lambda: fit_pace([recording])) for _ in range(REPEATS))
        plain_s = timed(lambda: plain(path))
    noted(
        Row(
            f"a pace from {POINTS:,} points, from file to report",
            f"{whole_s:.2f} s, {fit_s:.3f} s of it fitting {recording.pieces.size} pieces",
            f"gpxpy and scipy, one model without a held-out test, {plain_s:.2f} s",
            plain_s / whole_s,
            f"under {ALLOWED_S:g} s",
            whole_s < ALLOWED_S,
        )
    )


def long_track() -> str:
    """A simulated walk of 100,000 points, one a second, as GPX."""
    rng = np.random.default_rng(1)
    track = recorded(rng, Person(), hills(rng, 105_000.0), every_s=1.0)
    latitude, longitude = 46.5 + track.north_m / 111_195.0, -113.5 + track.east_m / 76_500.0
    lines = ['<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>']
    for lat, lon, high, at in list(zip(latitude, longitude, track.height_m, track.time_s, strict=True))[:POINTS]:
        stamp = dt.datetime.fromtimestamp(at, dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        lines.append(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{high:.1f}</ele><time>{stamp}</time></trkpt>')
    assert len(lines) == POINTS + 1
    return "\n".join((*lines, "</trkseg></trk></gpx>"))


def plain(path: Path) -> tuple[float, float]:
    """Scale and climb term of one model: read by gpxpy, pieces of 120 points that moved, a Huber loss by scipy."""
    with path.open(encoding="utf-8") as file:
        walked = gpxpy.parse(file).tracks[0].segments[0].points
    rows = []
    for here, there in zip(walked[:-120:120], walked[120::120], strict=False):
        run = here.distance_2d(there)
        if run > 30.0:
            rows.append((run, there.elevation - here.elevation, (there.time - here.time).total_seconds()))
    run, rise, time_s = np.array(rows).T
    model_s = walking_time("tobler_1993", run, rise).segment_s
    climb = np.maximum(rise, 0.0)
    found = least_squares(
        lambda x: np.log(np.maximum(np.exp(x[0]) * (model_s + x[1] * climb), 1.0) / time_s), [0.0, 0.0],
        loss="huber", f_scale=0.2,
    )  # fmt: skip
    return float(np.exp(found.x[0])), float(found.x[1])


def timed(work) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


if __name__ == "__main__":
    main()
