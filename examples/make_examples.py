"""Makes the recordings, the terrain and the forecast of the two example trips. Every place in them is invented.

    python examples/make_examples.py            # writes into this folder
    python examples/make_examples.py FOLDER     # writes into another one

Somebody walks the path of an invented place, and a recorder with the usual faults writes it down: wandering positions,
a drifting barometer, points written twice, a gap, a spike, a pause. The seed is fixed: the same bytes come out every
time.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from invented_places import INVENTED, PETREL, TAMSIN, TAMSIN_DAY, Pause, RecordedDay, Trip
from make_ground import PATH_STEP_M, Array, Path3, lay_out, slab_profile, terrain_tif, to_degrees
from make_weather import forecast_csv


@dataclass(frozen=True)
class Recording:
    time_s: Array
    latitude_deg: Array
    longitude_deg: Array
    height_m: Array


def wander(rng: np.random.Generator, time_s: Array, spread: float, memory_s: float) -> Array:
    """Noise that remembers itself (first-order autoregression at uneven times) and then moves smoothly."""
    value = np.empty(time_s.size)
    value[0] = rng.normal(0, spread)
    keep = np.exp(-np.diff(time_s) / memory_s)
    for i, kept in enumerate(keep):
        value[i + 1] = kept * value[i] + rng.normal(0, spread * np.sqrt(1 - kept**2))
    return np.convolve(np.pad(value, 4, mode="edge"), np.full(9, 1 / 9), mode="valid")


def walk(trip: Trip, path: Path3) -> tuple[Array, Array]:
    """Clock seconds and distance of the walk, pauses included: slower the steeper, slowest on the slab."""
    grade = np.gradient(path.height_m, path.distance_m)
    speed = 1.15 * np.exp(-2.6 * np.abs(grade + 0.04))
    slab_distance, _ = slab_profile(trip)
    on_slab = (path.distance_m >= slab_distance[0]) & (path.distance_m <= slab_distance[-1])
    speed[on_slab] = 0.11
    clock = np.concatenate(([0.0], np.cumsum(np.diff(path.distance_m) / speed[1:])))
    return with_pauses(clock, path.distance_m, trip.pauses)


def out_and_back(path: Path3) -> Path3:
    """The path walked to its end and back."""
    there = path.distance_m
    back = [values[-2::-1] for values in (path.along_m, path.across_m, path.height_m)]
    distance = np.concatenate((there, 2 * there[-1] - there[-2::-1]))
    return Path3(distance, *map(np.append, (path.along_m, path.across_m, path.height_m), back))


def walk_day(trip: Trip, day: RecordedDay, path: Path3) -> tuple[Array, Array]:
    """Clock seconds and distance of a whole day: slower the steeper and the longer, slowest on the slab."""
    grade = np.gradient(path.height_m, path.distance_m)
    pace = np.exp(2.6 * np.abs(grade + 0.04)) / day.level_m_s
    foot, head = slab_profile(trip)[0][[0, -1]]
    turn = path.distance_m[-1] / 2
    from_start = turn - np.abs(path.distance_m - turn)
    on_slab = (from_start >= foot) & (from_start <= head)
    pace[on_slab] = np.where(path.distance_m < turn, 1 / day.line_m_s[0], 1 / day.line_m_s[1])[on_slab]
    fresh = np.cumsum(pace) * PATH_STEP_M
    pace *= np.where(on_slab, 1.0, 1 + day.slower_an_hour * fresh / 3600)
    clock = np.concatenate(([0.0], np.cumsum(np.diff(path.distance_m) * pace[1:])))
    return with_pauses(clock, path.distance_m, day.pauses)


def with_pauses(clock: Array, where: Array, pauses: tuple[Pause, ...]) -> tuple[Array, Array]:
    """The same walk, stopping for a while here and there."""
    for pause in pauses:
        i = int(np.searchsorted(where, pause.at_m))
        clock = np.concatenate((clock[: i + 1], clock[i:] + pause.length_s))
        where = np.concatenate((where[: i + 1], where[i:]))
    return clock, where


def record(trip: Trip, path: Path3, rng: np.random.Generator) -> Recording:
    """The walk as a wrist recorder writes it down."""
    return write_down(trip, path, walk(trip, path), trip.gap_m, (5, 13), trip.spike, rng)


def record_day(trip: Trip, day: RecordedDay, path: Path3) -> Recording:
    """The whole day as the same recorder writes it down."""
    there_and_back = out_and_back(path)
    walked = walk_day(trip, day, there_and_back)
    return write_down(trip, there_and_back, walked, day.gap_m, day.every_s, trip.spike, np.random.default_rng(day.seed))


def write_down(
    trip: Trip, path: Path3, walked: tuple[Array, Array], gap_m: tuple[float, float], every_s: tuple[int, int],
    spike: tuple[float, float], rng: np.random.Generator,
) -> Recording:  # fmt: skip
    """A walk with the recorder's faults: points at uneven times, a gap, wandering, drift, a spike, points twice."""
    clock, where = walked
    time = np.cumsum(rng.integers(*every_s, int(clock[-1] / every_s[0]))).astype(float)
    time = np.concatenate(([0.0], time[time < clock[-1]], [np.ceil(clock[-1])]))
    at = np.interp(time, clock, where)

    time, at = (values[(at < gap_m[0]) | (at > gap_m[1])] for values in (time, at))
    along = np.interp(at, path.distance_m, path.along_m) + wander(rng, time, 3.6, 240.0) + rng.normal(0, 0.25, at.size)
    across = (
        np.interp(at, path.distance_m, path.across_m) + wander(rng, time, 3.6, 240.0) + rng.normal(0, 0.25, at.size)
    )
    drift = wander(rng, time, 2.6, 3000.0)
    height = np.interp(at, path.distance_m, path.height_m) + drift + rng.normal(0, 0.35, at.size)
    height[int(np.searchsorted(at, spike[0]))] += spike[1]
    latitude, longitude = to_degrees(trip, along, across)

    twice = np.sort(np.concatenate((np.arange(at.size), rng.choice(at.size, 7, replace=False))))
    return Recording(time[twice], latitude[twice], longitude[twice], height[twice])


def gpx_text(name: str, title: str, leaves: datetime, recording: Recording) -> str:
    """The recording as GPX 1.1."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<gpx version="1.1" creator="handline examples" xmlns="http://www.topografix.com/GPX/1/1">',
        f"<metadata><name>{name}</name><desc>{INVENTED}</desc></metadata>",
        f"<trk><name>{title}</name><desc>{INVENTED}</desc><trkseg>",
    ]
    for time, latitude, longitude, height in zip(
        recording.time_s, recording.latitude_deg, recording.longitude_deg, recording.height_m, strict=True
    ):
        stamp = (leaves + timedelta(seconds=float(time))).strftime("%Y-%m-%dT%H:%M:%SZ")
        lines.append(
            f'<trkpt lat="{latitude:.6f}" lon="{longitude:.6f}"><ele>{height:.1f}</ele><time>{stamp}</time></trkpt>'
        )
    return "\n".join((*lines, "</trkseg></trk>", "</gpx>", ""))


def make_all(folder: Path) -> list[Path]:
    """Write every file; the paths written."""
    written: list[Path] = []
    for trip in (TAMSIN, PETREL):
        rng = np.random.default_rng(trip.seed)
        ground, path = lay_out(trip, rng)
        home = folder / trip.folder
        home.mkdir(parents=True, exist_ok=True)
        one_way = gpx_text(trip.name, f"{trip.name}, one way up", trip.leaves, record(trip, path, rng))
        (home / "track.gpx").write_bytes(one_way.encode())
        written.append(home / "track.gpx")
        if trip is TAMSIN:
            day = TAMSIN_DAY
            whole = gpx_text(trip.name, day.title, day.leaves, record_day(trip, day, path))
            (home / day.file).write_bytes(whole.encode())
            written.append(home / day.file)
            (home / "terrain.tif").write_bytes(terrain_tif(ground))
            written.append(home / "terrain.tif")
            (home / "forecast.csv").write_bytes(forecast_csv().encode())
            written.append(home / "forecast.csv")
    return written


if __name__ == "__main__":
    for made in make_all(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent):
        print(f"{made}: {made.stat().st_size / 1000:.0f} kB")
