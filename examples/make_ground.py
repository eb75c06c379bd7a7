"""Makes the ground of an invented place and the path on it.

Terrain is a ridge of chosen heights along a straight axis, with side hills and smooth noise. The path winds up that
axis such that it has the chosen heights at the chosen distances. ``make_examples.py`` calls it.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from invented_places import INVENTED, Trip
from numpy.typing import NDArray

Array = NDArray[np.float64]

METRES_PER_DEGREE = 111_195.0  # of a great circle; the plane below is small enough for it
PATH_STEP_M = 0.5


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
