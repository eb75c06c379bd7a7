"""Shaded ground kept on disk, as horizons are: reading a terrain model takes longer than all else about the map.

What is kept counts only for the very bytes of the terrain model, the sheet and the program. A folder that cannot be
written, or a file that cannot be read, is no error: the ground is shaded again.
"""

from __future__ import annotations

import hashlib
import json
import math
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

import numpy as np

from handline.cache_folder import cache_folder, program_stamp
from handline.day.plan_map import GroundShade
from handline.errors import OutputError, Problem, TerrainError
from handline.route.hillshade import block_means, hillshade
from handline.route.track import Array
from handline.whole_file import write_whole

MOST_CELLS = 80
"""Along one side: a sketch to find oneself on, not a map, in a page that stays small."""
_BRIGHTEST = 255.0


def kept_shade(
    terrain: Path, latitude_deg: float, longitude_deg: float, width_m: float, height_m: float
) -> GroundShade:
    """The shaded ground of a sheet, as kept or made now and kept.

    Parameters
    ----------
    terrain : Path
    latitude_deg, longitude_deg : float [deg]
        The middle of the sheet.
    width_m, height_m : float [m]

    Raises
    ------
    TerrainError
        As ``read_terrain_grid``.
    """
    if not terrain.is_file():
        return shade_of(terrain, latitude_deg, longitude_deg, width_m, height_m)  # which says so in its own words
    made_of = f"{program_stamp()} {latitude_deg!r} {longitude_deg!r} {width_m!r} {height_m!r}".encode()
    name = hashlib.sha256(terrain.read_bytes() + made_of).hexdigest()
    file = cache_folder() / "shades" / f"{name}.json"
    with suppress(OSError, ValueError, KeyError, TypeError):
        kept = json.loads(file.read_text(encoding="utf-8"))
        return GroundShade(**{**kept, "rows": tuple(tuple(row) for row in kept["rows"])})
    shade = shade_of(terrain, latitude_deg, longitude_deg, width_m, height_m)
    with suppress(OutputError):
        write_whole(file, json.dumps(asdict(shade)))
    return shade


def shade_of(terrain: Path, latitude_deg: float, longitude_deg: float, width_m: float, height_m: float) -> GroundShade:
    """The shaded ground of a sheet, in cells as large as the most along one side allow.

    Heights are averaged over each cell before they are shaded: single steep spots would only make noise.

    Raises
    ------
    TerrainError
        As ``read_terrain_grid``; and a terrain model that ends within two cells of the middle.
    """
    from handline.route.terrain_grid import read_terrain_grid

    longer_m = max(width_m, height_m)
    # One cell more all round: a cell is shaded by its neighbours.
    reach_m = 0.5 * longer_m * (1.0 + 4.0 / MOST_CELLS)
    grid = read_terrain_grid(terrain, latitude_deg, longitude_deg, reach_m)
    spacing_m = float(grid.east_m[1] - grid.east_m[0])
    size = max(1, math.ceil(longer_m / MOST_CELLS / spacing_m))
    cell_m = size * spacing_m
    columns, rows = (_cells(axis_m, spacing_m, size, side_m) for axis_m, side_m in
                     ((grid.east_m, width_m), (grid.north_m, height_m)))  # fmt: skip
    height = block_means(grid.height_m[rows, columns], size)
    if min(height.shape) < 3:
        raise TerrainError(Problem("the terrain model ends too near to the middle of the way", file=str(terrain)))
    shade = hillshade(height, cell_m)
    west_m, south_m = (float(axis_m[cut.start]) - 0.5 * spacing_m + cell_m for axis_m, cut in
                       ((grid.east_m, columns), (grid.north_m, rows)))  # fmt: skip
    return GroundShade(
        rows=_bytes(shade[::-1]),
        cell_m=cell_m,
        west_m=west_m,
        south_m=south_m,
        east_m=west_m + cell_m * shade.shape[1],
        north_m=south_m + cell_m * shade.shape[0],
    )


def _cells(axis_m: Array, spacing_m: float, size: int, side_m: float) -> slice:
    """The nodes of whole blocks, of which all but the outermost make up the side, as far as the grid goes."""
    blocks = min(MOST_CELLS, math.ceil(side_m / (size * spacing_m))) + 2
    first_m = -0.5 * blocks * size * spacing_m
    first = max(0, int(np.searchsorted(axis_m, first_m)))
    return slice(first, first + blocks * size)


def _bytes(shade: Array) -> tuple[tuple[int | None, ...], ...]:
    return tuple(
        tuple(None if math.isnan(value) else round(_BRIGHTEST * value) for value in row) for row in shade.tolist()
    )
