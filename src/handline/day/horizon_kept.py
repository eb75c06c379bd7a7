"""Horizons kept on disk: reading a terrain model and looking around in it takes longer than all else about the sky.

A kept horizon counts only for the very bytes of the terrain model, the place and the program. A folder that
cannot be written, or a file that cannot be read, is no error: the horizon is made again.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from pathlib import Path

import numpy as np

from handline.cache_folder import cache_folder, program_stamp
from handline.errors import OutputError
from handline.sky.horizon import Horizon
from handline.whole_file import write_whole


def kept_horizon(terrain: Path, latitude_deg: float, longitude_deg: float) -> Horizon:
    """The horizon of a place in a terrain model, as kept or made now and kept.

    Raises
    ------
    TerrainError
        As ``read_terrain_grid``.
    """
    if not terrain.is_file():
        return _made(terrain, latitude_deg, longitude_deg)  # which says so in its own words
    made_of = f"{program_stamp()} {latitude_deg!r} {longitude_deg!r}".encode()
    name = hashlib.sha256(terrain.read_bytes() + made_of).hexdigest()
    file = cache_folder() / "horizons" / f"{name}.json"
    with suppress(OSError, ValueError, KeyError, TypeError):
        kept = json.loads(file.read_text(encoding="utf-8"))
        return Horizon(np.array(kept["azimuth_deg"]), np.array(kept["altitude_deg"]), tuple(kept["notes"]))
    horizon = _made(terrain, latitude_deg, longitude_deg)
    whole = {
        "azimuth_deg": horizon.azimuth_deg.tolist(),
        "altitude_deg": horizon.altitude_deg.tolist(),
        "notes": list(horizon.notes),
    }
    with suppress(OutputError):
        write_whole(file, json.dumps(whole))
    return horizon


def _made(terrain: Path, latitude_deg: float, longitude_deg: float) -> Horizon:
    from handline.route.terrain_grid import read_terrain_grid
    from handline.sky.terrain_horizon import horizon_of_grid

    grid = read_terrain_grid(terrain, latitude_deg, longitude_deg)
    return horizon_of_grid(grid.height_m, grid.east_m, grid.north_m, notes=grid.notes)
