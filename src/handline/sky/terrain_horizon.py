"""The horizon that a terrain model gives a place: along every ray, the highest angle of the ground.

The ground is taken as bilinear between the nodes of the grid. A ray is cut where it crosses lines of the grid; between
two cuts the height along it is a parabola, whose highest angle is known in closed form: nothing on a ray is missed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.sky.curve import FloatArray
from handline.sky.horizon import Horizon

EARTH_RADIUS_M = 6_371_008.8
"""Mean radius of the Earth. Sources: earth_mean_radius."""
REFRACTION_K = 0.13
"""How much of the Earth's curve a ray of light near the ground follows. Sources: terrestrial_refraction."""
EYE_HEIGHT_M = 2.0
"""Of the eye over the ground. Sources: practice_horizon."""

_PARALLEL = 1e-12
"""A ray that leaves a line of the grid by less than this part of its way never crosses it: rounding."""
_LIFT = (1.0 - REFRACTION_K) / (2.0 * EARTH_RADIUS_M)


@dataclass(frozen=True)
class _Ground:
    """A regular grid with both axes rising, seen from (0, 0)."""

    height_m: FloatArray
    east_m: FloatArray
    north_m: FloatArray

    def at(self, east_m: FloatArray, north_m: FloatArray) -> FloatArray:
        """Bilinear height [m]; NaN where one of the four nodes around has none."""
        column = (east_m - self.east_m[0]) / (self.east_m[1] - self.east_m[0])
        row = (north_m - self.north_m[0]) / (self.north_m[1] - self.north_m[0])
        left = np.clip(column.astype(np.intp), 0, self.east_m.size - 2)
        below = np.clip(row.astype(np.intp), 0, self.north_m.size - 2)
        share_x, share_y = column - left, row - below
        flat, first = self.height_m.ravel(), below * self.east_m.size + left
        south = flat[first] * (1.0 - share_x) + flat[first + 1] * share_x
        first += self.east_m.size
        north = flat[first] * (1.0 - share_x) + flat[first + 1] * share_x
        return south * (1.0 - share_y) + north * share_y

    @property
    def cell_m(self) -> float:
        """The longer side of a cell."""
        return float(max(self.east_m[1] - self.east_m[0], self.north_m[1] - self.north_m[0]))


def horizon_of_grid(
    height_m: FloatArray,
    east_m: FloatArray,
    north_m: FloatArray,
    eye_height_m: float = EYE_HEIGHT_M,
    azimuths: int = 360,
    ground_m: float | None = None,
    notes: tuple[str, ...] = (),
) -> Horizon:
    """The horizon at (0, 0) of a grid of heights.

    tan(altitude) = max over the ray of (height - eye - (1 - k) d^2 / (2 R)) / d

    d is the distance, R the radius of the Earth, k its refraction. Ground nearer than one cell is left out: the grid
    does not know its shape. Beyond the grid, and where it has no data, the ground is taken to lie at the level of the
    sea, or of the lowest node if that is lower; so the horizon is nowhere lower than that of the open sea.

    Parameters
    ----------
    height_m : array, shape (rows, cols)
        [m]; NaN where not known.
    east_m, north_m : arrays, shapes (cols,) and (rows,)
        Evenly spaced, rising or falling; azimuths and distances from (0, 0) must be true in them [m].
    eye_height_m : float
        Over the ground [m].
    azimuths : int
        How many rays, evenly around from north.
    ground_m : float, optional
        Height of the place; that of the grid if not given [m].
    notes : tuple of str
        What the grid does not know, in the words of whoever read it; without them, missing heights are counted here.

    Returns
    -------
    Horizon
        The altitude along each ray exactly; what stands between two rays counts only if one of them meets it.

    Raises
    ------
    ValueError
        Shapes or axes that do not fit, a place off the grid or without height, no ray, an eye under the ground.

    Validity: to some 100 km. Trees are not in it; air near the ground bends light by k from 0 to 0.3 and more.
    Sources: earth_mean_radius, terrestrial_refraction, our_terrain_horizon.
    """
    ground = _checked(height_m, east_m, north_m, eye_height_m, azimuths)
    origin = np.zeros(1)
    own_m = float(ground.at(origin, origin)[0]) if ground_m is None else ground_m
    if not np.isfinite(own_m):
        raise ValueError("the grid has no height at the place")
    eye_m = own_m + eye_height_m
    azimuth_deg = np.arange(azimuths, dtype=np.float64) * (360.0 / azimuths)
    altitude_deg = np.degrees(np.arctan(np.maximum(_highest(ground, azimuth_deg, eye_m), _sea(ground, eye_m))))
    unknown = int(np.count_nonzero(np.isnan(ground.height_m)))
    if unknown and not notes:
        share = unknown / ground.height_m.size
        notes = (f"{share:.1%} of the grid has no height; what stands there is not seen",)
    return Horizon(azimuth_deg, altitude_deg, notes)


def _checked(
    height_m: FloatArray, east_m: FloatArray, north_m: FloatArray, eye_height_m: float, azimuths: int
) -> _Ground:
    height, east, north = (np.asarray(array, dtype=float) for array in (height_m, east_m, north_m))
    if east.ndim != 1 or north.ndim != 1 or height.shape != (north.size, east.size) or min(height.shape, default=0) < 2:
        raise ValueError(f"heights {height.shape} do not fit rows {north.shape} and columns {east.shape}, two at least")
    if azimuths < 1 or not 0.0 <= eye_height_m < np.inf:
        raise ValueError("a horizon needs one ray at least, and an eye that is not under the ground")
    for axis in (east, north):
        steps = np.diff(axis)
        if not np.allclose(steps, steps[0], rtol=1e-6, atol=0.0) or steps[0] == 0.0:
            raise ValueError("the lines of the grid must be evenly spaced")
        if not min(axis[0], axis[-1]) <= 0.0 <= max(axis[0], axis[-1]):
            raise ValueError("the place at (0, 0) is not on the grid")
    if east[0] > east[-1]:
        height, east = height[:, ::-1], east[::-1]
    if north[0] > north[-1]:
        height, north = height[::-1], north[::-1]
    return _Ground(np.ascontiguousarray(height), east, north)


def _sea(ground: _Ground, eye_m: float) -> float:
    """Tangent of the altitude of the open sea, or of the lowest ground: -sqrt(2 (1 - k) H / R)."""
    known = ground.height_m[np.isfinite(ground.height_m)]
    lowest_m = min(0.0, float(known.min())) if known.size else 0.0
    return float(-2.0 * np.sqrt(_LIFT * max(eye_m - lowest_m, 0.0)))


def _highest(ground: _Ground, azimuth_deg: FloatArray, eye_m: float) -> FloatArray:
    """The greatest tangent along each ray, shape of ``azimuth_deg``; -inf where nothing is known."""
    sine, cosine = np.sin(np.radians(azimuth_deg)), np.cos(np.radians(azimuth_deg))
    highest = np.full(azimuth_deg.shape, -np.inf)
    for to_east in (1.0, -1.0):
        for to_north in (1.0, -1.0):  # in one quarter of the circle all rays cross the same lines
            rays = ((sine >= 0.0) == (to_east > 0.0)) & ((cosine >= 0.0) == (to_north > 0.0))
            if rays.any():
                distance_m = _cuts_m(ground, np.abs(sine[rays]), np.abs(cosine[rays]), to_east, to_north)
                highest[rays] = _highest_between(ground, distance_m, sine[rays, None], cosine[rays, None], eye_m)
    return highest


def _cuts_m(ground: _Ground, sine: FloatArray, cosine: FloatArray, to_east: float, to_north: float) -> FloatArray:
    """Where rays of one quarter cross lines of the grid, from one cell away to its edge [m], shape (rays, cuts)."""
    across_m, along_m = (axis[axis > 0.0] for axis in (to_east * ground.east_m, to_north * ground.north_m))
    width_m = max(to_east * ground.east_m[0], to_east * ground.east_m[-1])
    depth_m = max(to_north * ground.north_m[0], to_north * ground.north_m[-1])

    def crossed_m(lines_m: FloatArray, part: FloatArray) -> FloatArray:
        return np.where(part > _PARALLEL, lines_m / np.maximum(part, _PARALLEL), np.inf)

    edge_m = np.minimum(crossed_m(np.array([width_m]), sine[:, None]), crossed_m(np.array([depth_m]), cosine[:, None]))
    cuts_m = np.concatenate((crossed_m(across_m, sine[:, None]), crossed_m(along_m, cosine[:, None])), axis=1)
    first_m = np.minimum(ground.cell_m, edge_m)
    return np.sort(np.concatenate((first_m, np.clip(cuts_m, first_m, edge_m)), axis=1), axis=1)


def _highest_between(
    ground: _Ground, distance_m: FloatArray, sine: FloatArray, cosine: FloatArray, eye_m: float
) -> FloatArray:
    """The greatest tangent over each ray and all between its cuts, shape (rays,).

    Between two cuts the height over the eye is a + b d + c d^2, and its tangent a / d + b + (c - lift) d is greatest
    where d^2 = a / (c - lift), if that is between them.
    """

    def over_eye_m(away_m: FloatArray) -> FloatArray:
        height_m = ground.at(away_m * sine, away_m * cosine) - eye_m
        return np.where(away_m >= ground.cell_m, height_m, np.nan)

    def tangent(over_m: FloatArray, away_m: FloatArray) -> FloatArray:
        return over_m / np.maximum(away_m, ground.cell_m) - _LIFT * away_m

    near_m, far_m = distance_m[:, :-1], distance_m[:, 1:]
    middle_m, width_m = 0.5 * (near_m + far_m), far_m - near_m
    at_cuts_m, at_middle_m = over_eye_m(distance_m), over_eye_m(middle_m)
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = (at_cuts_m[:, 1:] - at_cuts_m[:, :-1]) / width_m
        bend = 2.0 * (at_cuts_m[:, 1:] - 2.0 * at_middle_m + at_cuts_m[:, :-1]) / width_m**2
        constant_m = at_middle_m - slope * middle_m + bend * middle_m**2
        top_m = np.sqrt(constant_m / (bend - _LIFT))
        past_m = np.where((constant_m < 0.0) & (top_m > near_m) & (top_m < far_m), top_m - middle_m, np.nan)
        tops = tangent(at_middle_m + slope * past_m + bend * past_m**2, top_m)
    found = np.concatenate((tangent(at_cuts_m, distance_m), tops), axis=1)
    return np.max(np.where(np.isnan(found), -np.inf, found), axis=1)
