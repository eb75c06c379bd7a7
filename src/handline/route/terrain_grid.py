"""Heights around a place on a metric grid: what a terrain model holds of the ground that can hide the sun.

The grid lies on the azimuthal equidistant plane of the WGS84 ellipsoid around the place: directions and distances from
the place are those of geodesics. Needs the extra "dem" (rasterio).
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from handline.errors import Problem, TerrainError
from handline.quantity import in_both_units, show_distance, show_length
from handline.route.geodesy import between_m
from handline.route.terrain import cells_of, heights_at, opened_terrain
from handline.route.track import Array

REACH_M = 30_000.0
"""How far ground is looked at: 1,000 m of it stand 2 degrees high there. Sources: practice_horizon."""
HIGHEST_LATITUDE_DEG = 85.0
"""Nearer to a pole the coarse mesh of positions is off by a metre and more."""
MOST_NODES = 2001
"""Nodes along one side of the grid; a finer terrain model is read at a wider spacing, and that is said."""

_MESH_M = 1000.0
_STRIP_NODES = 400_000
_OUTLINE = 65
_SLACK = 1e-6


@dataclass(frozen=True)
class TerrainGrid:
    """Heights around a place. ``east_m`` and ``north_m`` rise evenly, and the place is the node at (0, 0).

    height_m : (rows, cols) [m], NaN where the terrain model has none; the first row is the southernmost
    east_m, north_m : (cols,), (rows,) [m]
    ``notes`` say in words where the terrain model ends, what it does not know, and how it was read.
    """

    height_m: Array
    east_m: Array
    north_m: Array
    latitude_deg: float
    longitude_deg: float
    notes: tuple[str, ...]
    file: str


def read_terrain_grid(path: Path, latitude_deg: float, longitude_deg: float, reach_m: float = REACH_M) -> TerrainGrid:
    """Heights around a place from a GeoTIFF or HGT file in any coordinate system.

    Parameters
    ----------
    path : Path
        A raster of heights in metres that names its coordinate system.
    latitude_deg, longitude_deg : float
        WGS84 [deg].
    reach_m : float
        How far to look to each side [m].

    Returns
    -------
    TerrainGrid
        Bilinear between the middles of cells, about as close as those (see ``MOST_NODES``), and cut where the terrain
        model ends.

    Raises
    ------
    TerrainError
        rasterio is not installed, the file is missing or is no terrain model, it does not hold the place or has no
        height there, or the place is nearer to a pole than 5 degrees.
    ValueError
        A reach that is not above zero.

    Validity: positions to 0.02 m at 45 degrees of latitude and 0.25 m at 85, from the mesh on which they are projected;
    what the heights are off between cells is more.
    Sources: karney_2013, practice_horizon.
    """
    if not 0.0 < reach_m < np.inf:
        raise ValueError("the reach must be above zero")
    with opened_terrain(path) as raster:
        try:
            cell_m = _held_cell_m(raster, latitude_deg, longitude_deg)
            mesh = _mesh(raster, latitude_deg, longitude_deg, reach_m)
            east_m, north_m, spacing_m = _axes_m(raster, latitude_deg, longitude_deg, reach_m, cell_m)
            height_m, inside = _read(raster, mesh, east_m, north_m)
        except TerrainError as error:
            raise TerrainError([problem.at(file=path) for problem in error.problems]) from None
    place = int(np.argmin(np.abs(north_m))), int(np.argmin(np.abs(east_m)))
    if np.isnan(height_m[place]):
        raise TerrainError(
            Problem(
                "the terrain model has no height at the place",
                read=_place_words(latitude_deg, longitude_deg),
                mend="give one without a gap there",
                file=str(path),
            )
        )
    notes = (
        *_end_notes(inside, east_m, north_m, place, reach_m),
        *_gap_notes(height_m, inside),
        *_spacing_notes(cell_m, spacing_m),
    )
    return TerrainGrid(height_m, east_m, north_m, latitude_deg, longitude_deg, notes, str(path))


@dataclass(frozen=True)
class _Mesh:
    """Columns and rows of the raster on a coarse mesh of the plane, straight between its nodes; all shapes (n, n).

    Positions bend so little within a mesh of a kilometre that this is far less than a cell off.
    """

    at_m: Array
    column: Array
    row: Array

    def cells(self, east_m: Array, north_m: Array) -> tuple[Array, Array]:
        """Column and row at every node of a grid, shapes (rows, cols)."""
        to_north, to_east = _between(self.at_m, north_m), _between(self.at_m, east_m).T
        return to_north @ self.column @ to_east, to_north @ self.row @ to_east


def _between(nodes: Array, wanted: Array) -> Array:
    """Weights of nodes for the straight line between them, shape (wanted, nodes)."""
    before = np.clip(np.searchsorted(nodes, wanted, side="right") - 1, 0, nodes.size - 2)
    share = (wanted - nodes[before]) / (nodes[before + 1] - nodes[before])
    weights, each = np.zeros((wanted.size, nodes.size)), np.arange(wanted.size)
    weights[each, before] = 1.0 - share
    weights[each, before + 1] = share
    return weights


def _held_cell_m(raster: Any, latitude_deg: float, longitude_deg: float) -> float:
    """The shorter side of a cell at the place [m]. Raises TerrainError where the raster does not hold the place."""
    from pyproj import Transformer

    if not (abs(latitude_deg) <= HIGHEST_LATITUDE_DEG and abs(longitude_deg) <= 180.0):
        raise TerrainError(
            Problem(
                "no terrain is read around such a place",
                read=_place_words(latitude_deg, longitude_deg),
                allowed=f"latitudes to {HIGHEST_LATITUDE_DEG:.0f} degrees, longitudes to 180",
            )
        )
    column, row = _unwrapped_cells(
        raster, latitude_deg, longitude_deg, np.array([latitude_deg]), np.array([longitude_deg])
    )
    if not _inside(raster, column, row)[0]:
        west, south, east, north = _bounds_deg(raster)
        raise TerrainError(
            Problem(
                "the terrain model does not hold the place",
                read=_place_words(latitude_deg, longitude_deg),
                allowed=f"latitudes {south:.4f} to {north:.4f}, longitudes {west:.4f} to {east:.4f}",
                mend="give a terrain model of the country around the place",
            )
        )
    corner = raster.transform
    x = corner.c + corner.a * (column[0] + np.array([0.5, 1.5, 0.5]))
    y = corner.f + corner.e * (row[0] + np.array([0.5, 0.5, 1.5]))
    to_place = Transformer.from_crs(raster.crs.to_wkt(), "EPSG:4326", always_xy=True)
    longitude, latitude = (np.asarray(values, dtype=float) for values in to_place.transform(x, y))
    sides_m = between_m(latitude[:1], longitude[:1], latitude[1:], longitude[1:])
    return float(sides_m.min())


def _bounds_deg(raster: Any) -> tuple[float, float, float, float]:
    from pyproj import Transformer

    to_place = Transformer.from_crs(raster.crs.to_wkt(), "EPSG:4326", always_xy=True)
    bounds: tuple[float, float, float, float] = to_place.transform_bounds(*raster.bounds)
    return bounds


def _mesh(raster: Any, latitude_deg: float, longitude_deg: float, reach_m: float) -> _Mesh:
    from pyproj import Transformer

    count = int(np.ceil(reach_m / _MESH_M))
    at_m = np.linspace(-reach_m, reach_m, 2 * count + 1)
    to_place = Transformer.from_crs(_plane(latitude_deg, longitude_deg), "EPSG:4326", always_xy=True)
    east_m, north_m = np.meshgrid(at_m, at_m)
    longitude, latitude = to_place.transform(east_m, north_m)
    column, row = _unwrapped_cells(raster, latitude_deg, longitude_deg, np.asarray(latitude), np.asarray(longitude))
    if not (np.all(np.isfinite(column)) and np.all(np.isfinite(row))):
        raise TerrainError(
            Problem(
                "the coordinate system of the terrain model does not reach as far as one looks from the place",
                mend="export it in another one, such as latitude and longitude",
            )
        )
    return _Mesh(at_m, column, row)


def _unwrapped_cells(
    raster: Any, latitude_deg: float, longitude_deg: float, at_latitude: Array, at_longitude: Array
) -> tuple[Array, Array]:
    """Columns and rows; in degrees without a jump at the 180th meridian, and as near to the raster as turns allow."""
    column, row = cells_of(raster, at_latitude, at_longitude)
    if not raster.crs.is_geographic:
        return column, row
    turn = 360.0 / raster.transform.a
    place, _ = cells_of(raster, np.array([latitude_deg]), np.array([longitude_deg]))
    place = place - turn * np.round((place - 0.5 * (raster.width - 1)) / turn)
    return column - turn * np.round((column - place) / turn), row


def _inside(raster: Any, column: Array, row: Array) -> Array:
    last_column, last_row = raster.width - 1 + _SLACK, raster.height - 1 + _SLACK
    inside: Array = (column >= -_SLACK) & (row >= -_SLACK) & (column <= last_column) & (row <= last_row)
    return inside


def _axes_m(
    raster: Any, latitude_deg: float, longitude_deg: float, reach_m: float, cell_m: float
) -> tuple[Array, Array, float]:
    """Nodes to the east and to the north, as far as the raster holds ground within the reach, and their spacing."""
    from pyproj import Transformer

    corner = raster.transform
    share = np.linspace(0.0, 1.0, _OUTLINE)
    x_m = corner.c + corner.a * (
        0.5 + (raster.width - 1) * np.concatenate((share, share, 0.0 * share, 0.0 * share + 1))
    )
    y_m = corner.f + corner.e * (
        0.5 + (raster.height - 1) * np.concatenate((0.0 * share, 0.0 * share + 1, share, share))
    )
    to_plane = Transformer.from_crs(raster.crs.to_wkt(), _plane(latitude_deg, longitude_deg), always_xy=True)
    ends_m = []
    for side in to_plane.transform(x_m, y_m):
        known = np.asarray(side, dtype=float)
        known = known[np.isfinite(known)]
        ends_m.append((max(-reach_m, min(known, default=-reach_m)), min(reach_m, max(known, default=reach_m))))
    widest_m = max(last_m - first_m for first_m, last_m in ends_m)
    spacing_m = max(cell_m, widest_m / (MOST_NODES - 1))
    east_m, north_m = (
        np.arange(np.ceil(first_m / spacing_m - _SLACK), np.floor(last_m / spacing_m + _SLACK) + 1.0) * spacing_m
        for first_m, last_m in ends_m
    )
    return east_m, north_m, spacing_m


def _read(raster: Any, mesh: _Mesh, east_m: Array, north_m: Array) -> tuple[Array, Array]:
    """Heights [m] at every node, and whether it lies on the raster; in strips, to be small in memory."""
    height_m = np.empty((north_m.size, east_m.size))
    inside = np.empty(height_m.shape, dtype=bool)
    rows = max(1, _STRIP_NODES // east_m.size)
    for first in range(0, north_m.size, rows):
        strip = slice(first, first + rows)
        column, row = mesh.cells(east_m, north_m[strip])
        height_m[strip], inside[strip] = heights_at(raster, column, row), _inside(raster, column, row)
    return height_m, inside


def _end_notes(inside: Array, east_m: Array, north_m: Array, place: tuple[int, int], reach_m: float) -> list[str]:
    """Where the terrain model ends before the reach, along the lines through the place."""
    row, column = place
    spacing_m = east_m[1] - east_m[0]
    to_sides = {
        "north": north_m[inside[:, column]].max(),
        "east": east_m[inside[row]].max(),
        "south": -north_m[inside[:, column]].min(),
        "west": -east_m[inside[row]].min(),
    }
    short = [
        f"{in_both_units(end_m, show_distance)} to the {side}"
        for side, end_m in to_sides.items()
        if end_m < reach_m - spacing_m
    ]
    if not short:
        return []
    return [f"the terrain model ends {', '.join(short)}; what lies beyond is not seen, and may stand higher"]


def _gap_notes(height_m: Array, inside: Array) -> list[str]:
    gaps = int(np.count_nonzero(inside & np.isnan(height_m)))
    if not gaps:
        return []
    share = gaps / np.count_nonzero(inside)
    part = f"{share:.1%}" if share >= 0.001 else "less than 0.1%"
    return [f"{part} of the terrain model around the place has no height; what stands there is not seen"]


def _spacing_notes(cell_m: float, spacing_m: float) -> list[str]:
    if spacing_m <= cell_m:
        return []
    cell, spacing = in_both_units(cell_m, show_length), in_both_units(spacing_m, show_length)
    return [f"the terrain model, of {cell}, is read every {spacing}; narrow tops between may be missed"]


def _plane(latitude_deg: float, longitude_deg: float) -> str:
    return f"+proj=aeqd +lat_0={latitude_deg!r} +lon_0={longitude_deg!r} +datum=WGS84 +units=m"


def _place_words(latitude_deg: float, longitude_deg: float) -> str:
    return f"latitude {latitude_deg:.4f}, longitude {longitude_deg:.4f}"
