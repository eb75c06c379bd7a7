"""Makes the recordings, the terrain and the forecast of the two example trips. Every place in them is invented.

    python examples/make_examples.py            # writes into this folder
    python examples/make_examples.py FOLDER     # writes into another one

Terrain is a ridge of chosen heights along a straight axis, with side hills and smooth noise. A path winds up that axis,
somebody walks it, and a recorder with the usual faults writes it down: wandering positions, a drifting barometer,
points written twice, a gap, a spike, a pause. The seed is fixed: the same bytes come out every time.
"""

from __future__ import annotations

import struct
import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from make_weather import forecast_csv
from numpy.typing import NDArray

Array = NDArray[np.float64]

METRES_PER_DEGREE = 111_195.0  # of a great circle; the plane below is small enough for it
PATH_STEP_M = 0.5
INVENTED = "INVENTED: made by examples/make_examples.py. No such place exists and nobody walked it."


@dataclass(frozen=True)
class Pause:
    at_m: float
    length_s: float


@dataclass(frozen=True)
class Trip:
    """What one example is made of. Distances are along the path, one way, on the map."""

    name: str
    folder: str
    seed: int
    start_deg: tuple[float, float]
    summit_deg: tuple[float, float]
    length_m: float
    heights_m: tuple[tuple[float, float], ...]  # (distance, height), the slab left out
    slab_foot_m: float
    slab_foot_height_m: float
    slab: tuple[tuple[float, float], ...]  # (length along the slope, angle in degrees), from the foot up
    bends: tuple[tuple[float, float], ...]  # (share of the axis, how strongly the path winds there)
    bend_length_m: float
    side_hills: tuple[tuple[float, float, float, float], ...]  # along, across, height, radius
    leaves: datetime
    pauses: tuple[Pause, ...]
    gap_m: tuple[float, float]
    spike: tuple[float, float]  # where, how high


TAMSIN = Trip(
    name="Tamsin Dome",
    folder="tamsin-dome",
    seed=20260711,
    start_deg=(46.5570, -113.4620),
    summit_deg=(46.6200, -113.4100),
    length_m=11_000.0,
    heights_m=(
        (0, 1262), (700, 1290), (1500, 1338), (2400, 1402), (2950, 1421), (3250, 1398), (3400, 1394), (3600, 1402),
        (4500, 1556), (5300, 1702), (5800, 1806), (6100, 1798), (6450, 1784), (7200, 1926), (7900, 2098),
        (8300, 2086), (8500, 2088), (9100, 2262), (9600, 2420), (9700, 2426), (9950, 2412), (10250, 2452),
        (10480, 2508), (10720, 2604), (10880, 2635), (11_000, 2648),
    ),
    slab_foot_m=10_550.0,
    slab_foot_height_m=2519.0,
    slab=((18, 34), (24, 41), (30, 49), (24, 43)),
    bends=(
        (0, 0.25), (0.33, 0.35), (0.42, 1.0), (0.53, 1.1), (0.6, 0.5), (0.72, 1.1), (0.9, 1.3), (0.94, 0.0), (1, 0.0),
    ),
    bend_length_m=270.0,
    side_hills=(
        (1500, -2300, 520, 1100), (3200, 2500, 760, 1300), (5600, -2400, 640, 1200), (7000, 2900, 420, 900),
    ),
    leaves=datetime(2026, 7, 11, 10, 4, 12, tzinfo=UTC),
    pauses=(Pause(3400, 560), Pause(6100, 840), Pause(9700, 330), Pause(10_550, 620)),
    gap_m=(7020.0, 7105.0),
    spike=(4210.0, 86.0),
)  # fmt: skip

PETREL = Trip(
    name="Petrel Slab",
    folder="petrel-slab",
    seed=20260124,
    start_deg=(-42.0820, 146.2750),
    summit_deg=(-42.0500, 146.3000),
    length_m=5_900.0,
    heights_m=(
        (0, 640), (600, 668), (1400, 726), (1900, 742), (2120, 724), (2200, 720), (2350, 730), (3200, 846),
        (3900, 950), (4150, 944), (4700, 1026), (5180, 1098), (5480, 1222), (5700, 1254), (5900, 1270),
    ),
    slab_foot_m=5_300.0,
    slab_foot_height_m=1116.0,
    slab=((40, 38), (52, 55), (40, 44)),
    bends=((0, 0.3), (0.36, 0.4), (0.45, 1.0), (0.7, 1.1), (0.84, 0.9), (0.9, 0.0), (1, 0.0)),
    bend_length_m=230.0,
    side_hills=((900, 1500, 280, 800), (2600, -1700, 340, 900), (4300, 1300, 160, 600)),
    leaves=datetime(2026, 1, 23, 20, 2, 40, tzinfo=UTC),
    pauses=(Pause(2200, 510), Pause(5300, 700)),
    gap_m=(3010.0, 3070.0),
    spike=(1540.0, -64.0),
)  # fmt: skip


@dataclass(frozen=True)
class RecordedDay:
    """A whole day out and back on the path of a trip. Distances are along the path out and back, on the map."""

    file: str
    title: str
    seed: int
    leaves: datetime
    level_m_s: float  # on the grade that is walked fastest
    line_m_s: tuple[float, float]  # up and down the slab
    slower_an_hour: float  # how much slower with each hour on the move
    pauses: tuple[Pause, ...]
    gap_m: tuple[float, float]  # no signal
    every_s: tuple[int, int]  # from one point to the next


# A party of six that leaves twelve minutes late, waits at the slab longer than most, and rests where it likes.
TAMSIN_DAY = RecordedDay(
    file="recorded.gpx",
    title="Tamsin Dome, the whole day",
    seed=20270717,
    leaves=datetime(2027, 7, 17, 9, 4, 20, tzinfo=UTC),
    level_m_s=0.98,
    line_m_s=(0.075, 0.085),
    slower_an_hour=0.018,
    pauses=(
        Pause(0, 470), Pause(3405, 1140), Pause(5020, 380), Pause(6095, 760), Pause(7450, 430), Pause(8620, 310),
        Pause(9702, 540), Pause(10_549, 3180), Pause(10_623, 820), Pause(10_990, 1980), Pause(11_377, 1260),
        Pause(11_453, 760), Pause(12_306, 280),
        Pause(14_200, 620), Pause(15_902, 640), Pause(18_601, 1320), Pause(20_350, 300), Pause(21_996, 700),
    ),
    gap_m=(13_050.0, 13_420.0),
    every_s=(15, 26),
)  # fmt: skip


# --- the ground --------------------------------------------------------------------------------------------------


def monotone_curve(x: Array, y: Array, at: Array) -> Array:
    """A smooth curve through points that makes no bumps of its own (Fritsch and Carlson's slopes), level outside."""
    step = np.diff(x)
    secant = np.diff(y) / step
    slope = np.zeros_like(y)
    same_way = secant[:-1] * secant[1:] > 0
    left, right = 2 * step[1:] + step[:-1], step[1:] + 2 * step[:-1]
    with np.errstate(divide="ignore"):
        harmonic = (left + right) / (left / secant[:-1] + right / secant[1:])
    slope[1:-1] = np.where(same_way, harmonic, 0.0)
    i = np.clip(np.searchsorted(x, at, side="right") - 1, 0, x.size - 2)
    t = np.clip((at - x[i]) / step[i], 0.0, 1.0)
    rise_from, rise_to = slope[i] * step[i], slope[i + 1] * step[i]
    bend = 2 * t**3 - 3 * t**2
    curve: Array = y[i] * (1 + bend) - y[i + 1] * bend + rise_from * (t**3 - 2 * t**2 + t) + rise_to * (t**3 - t**2)
    return curve


@dataclass(frozen=True)
class Ground:
    """Heights of a tract around an axis that runs from the start of the trip to its summit."""

    trip: Trip
    axis_m: Array  # of the ridge's control points, along the axis
    ridge_m: Array  # their heights, side terms taken off
    waves: Array  # rows of (wave number along, wave number across, phase, height)

    @property
    def axis_length_m(self) -> float:
        east, north = degrees_to_plane(self.trip, *map(np.float64, self.trip.summit_deg))
        return float(np.hypot(east, north))

    def side_height_m(self, along_m: Array, across_m: Array) -> Array:
        """Everything but the ridge: side hills, a valley that turns into a dome, and the smooth noise."""
        height = np.zeros(np.broadcast(along_m, across_m).shape)
        for hill_along, hill_across, hill_height, radius in self.trip.side_hills:
            height += hill_height * np.exp(
                -((along_m - hill_along) ** 2 + (across_m - hill_across) ** 2) / (2 * radius**2)
            )
        for along_number, across_number, phase, wave_height in self.waves:
            height += wave_height * np.sin(along_number * along_m + across_number * across_m + phase)
        share = np.clip(along_m / self.axis_length_m, 0.0, 1.2)
        opening = 1.0 - share**2 * 2.9  # above zero the sides rise: a valley; below they fall away: a dome
        height += opening * 260.0 * (1.0 - np.exp(-((across_m / 1500.0) ** 2)))
        past = np.maximum(along_m - self.axis_length_m, 0.0)
        before = np.maximum(-along_m, 0.0)
        return height - 0.35 * past**2 / (past + 300.0) - 0.02 * before

    def height_m(self, along_m: Array, across_m: Array) -> Array:
        return monotone_curve(self.axis_m, self.ridge_m, along_m) + self.side_height_m(along_m, across_m)


def degrees_to_plane(trip: Trip, latitude_deg: Array, longitude_deg: Array) -> tuple[Array, Array]:
    """East and north of the start, in metres."""
    narrowing = np.cos(np.radians(trip.start_deg[0]))
    east = (longitude_deg - trip.start_deg[1]) * METRES_PER_DEGREE * narrowing
    return east, (latitude_deg - trip.start_deg[0]) * METRES_PER_DEGREE


def axis_direction(trip: Trip) -> tuple[float, float]:
    east, north = degrees_to_plane(trip, *map(np.float64, trip.summit_deg))
    length = float(np.hypot(east, north))
    return float(east) / length, float(north) / length


def to_axis(trip: Trip, latitude_deg: Array, longitude_deg: Array) -> tuple[Array, Array]:
    """Along and across the axis, in metres."""
    east, north = degrees_to_plane(trip, latitude_deg, longitude_deg)
    e, n = axis_direction(trip)
    return east * e + north * n, north * e - east * n


def to_degrees(trip: Trip, along_m: Array, across_m: Array) -> tuple[Array, Array]:
    e, n = axis_direction(trip)
    east, north = along_m * e - across_m * n, along_m * n + across_m * e
    narrowing = np.cos(np.radians(trip.start_deg[0]))
    latitude = trip.start_deg[0] + north / METRES_PER_DEGREE
    return latitude, trip.start_deg[1] + east / (METRES_PER_DEGREE * narrowing)


def smooth_waves(rng: np.random.Generator, count: int = 48) -> Array:
    """Noise as many long waves in all directions, higher where longer, as ground is."""
    wave_length_m = np.geomspace(330.0, 2600.0, count)
    direction = rng.uniform(0, 2 * np.pi, count)
    number = 2 * np.pi / wave_length_m
    height = 0.0016 * wave_length_m * rng.uniform(0.5, 1.0, count)
    return np.column_stack(
        (number * np.cos(direction), number * np.sin(direction), rng.uniform(0, 6.28, count), height)
    )


# --- the path ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Path3:
    distance_m: Array
    along_m: Array
    across_m: Array
    height_m: Array


def winding_path(trip: Trip, axis_length_m: float) -> tuple[Array, Array, Array]:
    """A path of the wanted length that winds about the axis: distance, along and across."""
    along = np.linspace(0.0, axis_length_m, int(axis_length_m / PATH_STEP_M * 2))
    shares, strengths = (np.array(column, dtype=float) for column in zip(*trip.bends, strict=True))
    strength = monotone_curve(shares, strengths, along / axis_length_m)
    wave_length = trip.bend_length_m * (1 + 0.3 * np.sin(along / 610.0) + 0.3 * np.sin(along / 171.0))
    phase = np.concatenate(([0.0], np.cumsum(2 * np.pi / wave_length[1:] * np.diff(along))))
    ends = np.clip(np.minimum(along, 0.93 * axis_length_m - along) / 500.0, 0.0, 1.0)
    bends = np.sin(phase) * strength * ends
    share = along / axis_length_m
    slow = axis_length_m * (0.05 * np.sin(2.2 * np.pi * share) + 0.012 * np.sin(9.7 * np.pi * share)) * ends

    def walked(width_m: float) -> Array:
        steps = np.hypot(np.diff(along), np.diff(slow + width_m * bends))
        return np.concatenate(([0.0], np.cumsum(steps)))

    narrow, wide = 0.0, 400.0
    for _ in range(60):
        middle = (narrow + wide) / 2
        narrow, wide = (middle, wide) if walked(middle)[-1] < trip.length_m else (narrow, middle)
    return walked(narrow), along, slow + narrow * bends


def slab_profile(trip: Trip) -> tuple[Array, Array]:
    """Distance and height of the slab's breaks, from its foot to its head."""
    length, angle = (np.array(column, dtype=float) for column in zip(*trip.slab, strict=True))
    run = np.concatenate(([0.0], np.cumsum(length * np.cos(np.radians(angle)))))
    rise = np.concatenate(([0.0], np.cumsum(length * np.sin(np.radians(angle)))))
    return trip.slab_foot_m + run, trip.slab_foot_height_m + rise


def lay_out(trip: Trip, rng: np.random.Generator) -> tuple[Ground, Path3]:
    """The ground and the path on it, such that the path has the chosen heights at the chosen distances."""
    slab_distance, slab_height = slab_profile(trip)
    distance, height = (np.array(column, dtype=float) for column in zip(*trip.heights_m, strict=True))
    order = np.argsort(wanted_at := np.concatenate((distance, slab_distance)))
    wanted_at, wanted_height = wanted_at[order], np.concatenate((height, slab_height))[order]

    bare = Ground(trip, np.zeros(0), np.zeros(0), smooth_waves(rng))
    walked, along, across = winding_path(trip, bare.axis_length_m)
    control_along, control_across = np.interp(wanted_at, walked, along), np.interp(wanted_at, walked, across)
    ridge = wanted_height - bare.side_height_m(control_along, control_across)
    ground = Ground(trip, control_along, ridge, bare.waves)

    even = np.arange(0.0, trip.length_m, PATH_STEP_M)
    along, across = np.interp(even, walked, along), np.interp(even, walked, across)
    return ground, Path3(even, along, across, ground.height_m(along, across))


# --- the recording -----------------------------------------------------------------------------------------------


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


# --- the terrain model -------------------------------------------------------------------------------------------


def geotiff_bytes(
    height_m: NDArray[np.int16], west_deg: float, north_deg: float, cell_deg: tuple[float, float]
) -> bytes:
    """A small uncompressed GeoTIFF on WGS84: whole metres, rows from the north, one strip."""
    rows, columns = height_m.shape
    pixels = height_m.astype("<i2").tobytes()
    text, byte2, byte4, real = 2, 3, 4, 12
    fields: list[tuple[int, int, bytes, int]] = [
        (256, byte4, struct.pack("<I", columns), 1),
        (257, byte4, struct.pack("<I", rows), 1),
        (258, byte2, struct.pack("<H", 16), 1),  # bits a sample
        (259, byte2, struct.pack("<H", 1), 1),  # not compressed
        (262, byte2, struct.pack("<H", 1), 1),  # black is low
        (270, text, INVENTED.encode() + b"\0", len(INVENTED) + 1),
        (273, byte4, b"\0\0\0\0", 1),  # where the strip starts, filled in below
        (277, byte2, struct.pack("<H", 1), 1),
        (278, byte4, struct.pack("<I", rows), 1),
        (279, byte4, struct.pack("<I", len(pixels)), 1),
        (339, byte2, struct.pack("<H", 2), 1),  # signed whole numbers
        (33550, real, struct.pack("<3d", *cell_deg, 0.0), 3),  # size of a cell
        (33922, real, struct.pack("<6d", 0, 0, 0, west_deg, north_deg, 0), 6),  # the north-west corner
        # longitude and latitude, the value is the cell's, WGS 84
        (34735, byte2, struct.pack("<16H", 1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, 4326), 16),
        (42113, text, b"-32768\0", 7),  # stands for no data
    ]
    directory_length = 2 + 12 * len(fields) + 4
    spill_at = 8 + directory_length
    spill = b""
    strip_at = spill_at + sum(len(value) + len(value) % 2 for _, _, value, _ in fields if len(value) > 4)
    directory = struct.pack("<H", len(fields))
    for tag, kind, value, count in fields:
        content = struct.pack("<I", strip_at) if tag == 273 else value
        if len(content) > 4:
            directory += struct.pack("<HHII", tag, kind, count, spill_at + len(spill))
            spill += content + b"\0" * (len(content) % 2)
        else:
            directory += struct.pack("<HHI", tag, kind, count) + content.ljust(4, b"\0")
    return b"II*\0" + struct.pack("<I", 8) + directory + b"\0\0\0\0" + spill + pixels


def terrain_tif(ground: Ground, cells: int = 200, margin_deg: float = 0.015) -> bytes:
    """The ground over the whole trip and some way round it, one height in the middle of each cell."""
    (south, west), (north, east) = (
        np.minimum(ground.trip.start_deg, ground.trip.summit_deg) - margin_deg,
        np.maximum(ground.trip.start_deg, ground.trip.summit_deg) + margin_deg,
    )
    cell_latitude, cell_longitude = (north - south) / cells, (east - west) / cells
    latitude = north - (np.arange(cells) + 0.5) * cell_latitude
    longitude = west + (np.arange(cells) + 0.5) * cell_longitude
    along, across = to_axis(ground.trip, latitude[:, None], longitude[None, :])
    height = np.rint(ground.height_m(along, across)).astype(np.int16)
    return geotiff_bytes(height, float(west), float(north), (float(cell_longitude), float(cell_latitude)))


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
